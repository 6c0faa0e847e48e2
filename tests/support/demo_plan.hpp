// SPDX-License-Identifier: Apache-2.0
// The demo venue of the repository, read and planned as the program does.
#pragma once

#include <stdexcept>

#include "mastline/plan/plan.hpp"
#include "mastline/venue/load_venue.hpp"
#include "support/paths.hpp"
#include "tests/support/sample_plan.hpp"
#include "tests/support/temp_folder.hpp"

namespace mastline::sample {

inline VenueAndPlan demo() {
    class DemoFiles : public VenueFiles {
    public:
        std::optional<std::string> read(const std::string& name) override {
            return test::read_text(MASTLINE_SOURCE_DIR "/lineups/quillwater-arena/" + name);
        }
    };
    DemoFiles files;
    Findings findings;
    VenueAndPlan out;
    out.venue = load_venue(files, "venue.toml", findings);
    if (has_errors(findings)) throw std::runtime_error("the demo venue has errors");
    out.plan = make_plan(out.venue);
    return out;
}

}  // namespace mastline::sample
