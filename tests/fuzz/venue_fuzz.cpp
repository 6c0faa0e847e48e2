// SPDX-License-Identifier: Apache-2.0
// Any bytes given as venue.toml and channel list are a venue or findings with places; a small venue
// that loads can be planned, and its plan file read back.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "mastline/expectation/read_plan_file.hpp"
#include "mastline/plan/write_plan.hpp"
#include "mastline/text/escape.hpp"
#include "mastline/venue/load_venue.hpp"

using namespace mastline;

namespace {

// The channel list follows the line "# channels.csv".
class TwoFiles : public VenueFiles {
public:
    explicit TwoFiles(const std::string& text) {
        const std::string mark = "\n# channels.csv\n";
        const auto at = text.find(mark);
        venue_ = text.substr(0, at);
        if (at != std::string::npos) channels_ = text.substr(at + mark.size());
    }
    std::optional<std::string> read(const std::string& name) override {
        if (name == "venue.toml") return venue_;
        if (name == "channels.csv") return channels_;
        return std::nullopt;
    }

private:
    std::string venue_;
    std::optional<std::string> channels_;
};

bool small(const Venue& venue) {
    return venue.channels.size() <= 12 && venue.cards.size() <= 6 && venue.devices.size() <= 12 &&
           venue.runs.size() <= 12 && venue.switches.size() <= 8 && venue.links.size() <= 12;
}

void plan_and_read_back(const Venue& venue) {
    const auto plan = make_plan(venue);
    if (plan.lineup.flows.empty()) return;  // nothing to read back; readers refuse such a plan
    Findings findings;
    const auto lineup = read_plan_file(write_plan(venue, plan), "plan.toml", findings);
    if (!lineup || lineup->flows.size() != plan.lineup.flows.size()) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    TwoFiles files(std::string(data, data + size));
    Findings findings;
    const auto venue = load_venue(files, "venue.toml", findings);
    for (const auto& finding : findings) {
        if (finding.place.file.empty() || finding.id.empty() || finding.what.empty()) std::abort();
        (void)plain_line(to_line(finding));
    }
    if (!has_errors(findings) && small(venue)) plan_and_read_back(venue);
    return 0;
}
