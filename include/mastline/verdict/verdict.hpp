// SPDX-License-Identifier: Apache-2.0
// The judgement of what was seen against what the plan says, check by check, each with its evidence.
#pragma once

#include <algorithm>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "mastline/net/wire_number.hpp"

namespace mastline {

// Worst first. `noted`: worth knowing, the channel is right all the same. `not_judged`: it could not
// be told from where the probe stands, or another fault hides it; never a pass.
enum class Outcome : std::uint8_t { failed, not_judged, noted, passed };

constexpr std::string_view to_text(Outcome o) {
    switch (o) {
        case Outcome::failed: return "failed";
        case Outcome::not_judged: return "not judged";
        case Outcome::noted: return "noted";
        case Outcome::passed: return "passed";
    }
    return "";
}

struct Check {
    std::string_view id;   // stable: "stream.continuity"
    Outcome outcome = Outcome::passed;
    std::string expected;  // "no errors"
    std::string found;     // "17 errors"
    std::string evidence;  // where and when: "PID 257; first at 1.204 s"; for not_judged the reason
    bool operator==(const Check&) const = default;
};

// One channel (one carriage of it).
struct Verdict {
    std::string channel;
    int copy = 1;
    std::string name;
    FlowAddress flow;
    std::vector<std::string> parts;  // of the plan, that this flow rests on
    std::vector<Check> checks;       // the most telling first
    WireNumber wire{};               // that the judged flow was heard on
    std::string interface{};         // its name, where a capture has media on several; else empty

    // failed if any check failed; else not_judged if it could not be told whether the stream is
    // there at all; else passed.
    Outcome outcome() const {
        if (headline() != nullptr) return Outcome::failed;
        const bool any = std::any_of(checks.begin(), checks.end(), [](const Check& c) {
            return c.outcome == Outcome::passed || c.outcome == Outcome::noted;
        });
        return any ? Outcome::passed : Outcome::not_judged;
    }
    // The first check that failed, or nullptr.
    const Check* headline() const {
        for (const auto& c : checks)
            if (c.outcome == Outcome::failed) return &c;
        return nullptr;
    }
    std::size_t count(Outcome o) const {
        return static_cast<std::size_t>(std::count_if(
            checks.begin(), checks.end(), [o](const Check& c) { return c.outcome == o; }));
    }
    bool operator==(const Verdict&) const = default;
};

// "239.192.10.20:5004", or "239.192.10.20:5004 on eth1".
inline std::string heard_text(const Verdict& v) {
    return to_text(v.flow) + (v.interface.empty() ? "" : " on " + v.interface);
}

// "101", or "101 (2nd)" for the second carriage of a protected channel.
inline std::string channel_text(const std::string& channel, int copy) {
    return copy == 2 ? channel + " (2nd)" : channel;
}

}  // namespace mastline
