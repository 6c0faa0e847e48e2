// SPDX-License-Identifier: Apache-2.0
// The checks of one verdict in the making.
#pragma once

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "mastline/flow/flow_observation.hpp"
#include "mastline/verdict/judge.hpp"

namespace mastline {

// What all checks of one flow look at.
struct Case {
    const Expectation& expected;
    const FlowObservation& seen;
    const ExpectedLineup& lineup;
    const Watch& watch;
};

inline std::string counted_noun(std::string_view noun, std::uint64_t number) {
    std::string out(noun);
    if (const auto star = out.find('*'); star != std::string::npos)
        out.replace(star, 1, number == 1 ? "" : "s");
    return out;
}
// "3 lost datagrams" from "lost datagram*".
inline std::string counted(std::uint64_t number, std::string_view noun) {
    return std::to_string(number) + " " + counted_noun(noun, number);
}
// "8.0 s"
inline std::string seconds_text(Duration d, int digits = 1) {
    return fixed_text(static_cast<double>(d.count()) / 1e9, digits) + " s";
}

// Milliseconds or seconds with that many digits, and as many more as it takes to tell the time from a
// limit on whose other side it is.
enum class TimeUnit : std::uint8_t { milliseconds, seconds };
inline std::string time_text(Duration d, Duration limit, TimeUnit unit, int digits) {
    const double nanoseconds = unit == TimeUnit::seconds ? 1e9 : 1e6;
    const int exact = unit == TimeUnit::seconds ? 9 : 6;
    const auto text = [&](Duration t) { return fixed_text(static_cast<double>(t.count()) / nanoseconds, digits); };
    while (digits < exact && d != limit && text(d) == text(limit)) ++digits;
    return text(d) + (unit == TimeUnit::seconds ? " s" : " ms");
}

class Checklist {
public:
    void pass(std::string_view id, std::string expected, std::string found) {
        add({id, Outcome::passed, std::move(expected), std::move(found), {}});
    }
    void fail(std::string_view id, std::string expected, std::string found,
              std::string evidence = {}) {
        add({id, Outcome::failed, std::move(expected), std::move(found), std::move(evidence)});
    }
    void note(std::string_view id, std::string expected, std::string found,
              std::string evidence = {}) {
        add({id, Outcome::noted, std::move(expected), std::move(found), std::move(evidence)});
    }
    void skip(std::string_view id, std::string reason) {
        add({id, Outcome::not_judged, {}, {}, std::move(reason)});
    }
    // Zero is right. In the noun "*" stands for the s of the plural: "lost datagram*".
    void count(std::string_view id, std::uint64_t number, std::string_view noun,
               std::string evidence) {
        const std::string none = "no " + counted_noun(noun, 0);
        if (number == 0) pass(id, none, "none");
        else fail(id, none, counted(number, noun), std::move(evidence));
    }
    std::vector<Check> take() { return std::move(checks_); }

private:
    void add(Check check) { checks_.push_back(std::move(check)); }
    std::vector<Check> checks_;
};

// What was sent and is not in the capture cannot be missed.
inline bool is_cut(const Case& c) { return c.seen.truncated_datagrams > 0; }
inline constexpr const char* kCut = "the capture kept parts of the datagrams only";

// By it alone: its first card is silent.
inline bool sent_by_standby(const Expectation& expected, const FlowObservation& seen) {
    const auto& standby = expected.standby_source;
    return standby && standby != expected.source && !seen.sources.empty() &&
           std::ranges::all_of(seen.sources, [&](const SourceObservation& s) { return s.address == *standby; });
}

inline constexpr const char* kWhyRepeats = "a loop in the network, or a sender that sends twice";

// Time since the start of the watch, "3.204 s".
std::string moment(const Watch& watch, Duration at);
// "first at 1.204 s, last at 3.310 s, packets 17, 40, 41"; empty when nothing is known.
std::string when(const Watch& watch, const Occurrences& found);

void check_flow(const Case& c, Checklist& list);       // who sends, and how
void check_transport(const Case& c, Checklist& list);  // sync, loss, continuity, clock
// Which service it is. False when it is another one, or when none can be told: then what is inside
// is not compared with the plan.
bool check_service(const Case& c, Checklist& list);
void check_components(const Case& c, Checklist& list);

}  // namespace mastline
