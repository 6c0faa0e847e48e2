// SPDX-License-Identifier: Apache-2.0
// How often tables must come, how close they may follow each other, and which tables a PID may carry
// (TR 101 290 V1.4.1, clause 5.2; EN 300 468, 5.1.4).
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <vector>

#include "indicators.hpp"
#include "mastline/mpeg/pid.hpp"
#include "mastline/ts/section.hpp"
#include "table_register.hpp"

namespace mastline {

// Raises its indicators when something stays away for longer than its limit.
class Watchdog {
public:
    Watchdog(Duration limit, std::vector<Indicator> indicators)
        : limit_(limit), indicators_(std::move(indicators)) {}
    // From here on it is waited for.
    void begin(const Moment& at) {
        if (!last_) last_ = at.time;
    }
    void seen(const Moment& at, IndicatorTally& tally);
    // What is missing at the end of what was observed.
    void end(const Moment& now, IndicatorTally& tally) const;
    bool waiting() const { return last_.has_value(); }
    // What came until then is not known.
    void begin_anew(const Moment& at) {
        if (last_) last_ = at.time;
    }

private:
    Duration limit_;
    std::vector<Indicator> indicators_;
    std::optional<Duration> last_;
};

class SiTiming {
public:
    SiTiming();

    // The first packet of the stream: from here on the PAT is waited for.
    void begin(const Moment& at);
    // Now PMTs are expected on exactly these PIDs.
    void expect_pmts(const std::vector<Pid>& pids, const Moment& at);
    // Whatever may have come until then, we lost it ourselves.
    void begin_anew(const Moment& at);
    // Any packet of PID 0.
    void pat_packet(const Moment& at, IndicatorTally& tally) { pat_packet_.seen(at, tally); }
    // A section whose CRC, where it has one, is right. `gap`: stream time between the end of the
    // last section of its sub-table and its beginning, where that can be told.
    void section(Pid pid, const Section& section, std::optional<Duration> gap, const Moment& at,
                 IndicatorTally& tally);

    // Adds what is overdue at `now`, and names what could not be judged.
    void finish(const Moment& now, IndicatorTally& tally) const;

private:
    struct Rule {
        std::uint8_t table_id;
        int section_number;  // -1: any
        Watchdog watchdog;
    };
    struct Pair {  // present and following of one EIT sub-table
        std::optional<Moment> first_of[2];
    };

    static bool is_lone(const Pair& pair) { return pair.first_of[0].has_value() != pair.first_of[1].has_value(); }
    bool seen_any(std::initializer_list<std::uint8_t> table_ids) const;

    Watchdog pat_packet_, pat_;
    std::map<Pid, Watchdog> pmts_;
    std::vector<Rule> rules_;
    std::array<bool, 256> seen_{};
    std::map<std::pair<std::uint8_t, std::uint16_t>, Pair> events_;
};

}  // namespace mastline
