// SPDX-License-Identifier: Apache-2.0
// A venue of the RF room's sections and the lineup room's, read from TOML text.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/signal/make_signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline::test {

struct SignalRoom {
    Venue venue;
    Findings findings;  // of loading
    SignalPlan plan;    // made where loading found no error
    Findings planned;   // findings of the plan

    static std::vector<std::string> lines_of(Findings findings);
    // Every finding of loading as one line, worst first.
    std::vector<std::string> lines() const { return lines_of(findings); }
    std::vector<std::string> plan_lines() const { return lines_of(planned); }

    // The level of a lane at a conductor of a port; the test fails when it does not come there.
    const PortLevel& at(const std::string& device, const std::string& port, int conductor = 1,
                        const std::string& feed = "", int lane = 0) const;
    bool planned_with(std::string_view id) const;

    SignalRoom();  // here and below: compiled once, not in every test file
    SignalRoom(SignalRoom&&) noexcept;
    SignalRoom& operator=(SignalRoom&&) noexcept;
    ~SignalRoom();
};

// Loaded without cross-checks of the lineup room: channels are not what these tests are about.
SignalRoom loaded_signal_room(std::string_view toml);
SignalRoom signal_room(std::string_view toml);

}  // namespace mastline::test
