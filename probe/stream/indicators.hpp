// SPDX-License-Identifier: Apache-2.0
// The indicators of ETSI TR 101 290 V1.4.1, clause 5.2 (tables 5.0a to 5.0c), and their tally.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/stream/observation.hpp"

namespace mastline {

enum class Indicator : std::uint8_t {
    sync_loss, sync_byte, pat, pat_2, continuity, pmt, pmt_2, pid,
    transport, crc, pcr, pcr_repetition, pcr_discontinuity, pcr_accuracy, pts, cat,
    nit, nit_actual, nit_other, si_repetition, buffer, unreferenced_pid, sdt, sdt_actual, sdt_other,
    eit, eit_actual, eit_other, eit_pf, rst, tdt, empty_buffer, data_delay,
};
inline constexpr std::size_t kIndicatorCount = 33;

struct IndicatorName {
    std::string_view number, name;
    int priority;
};
const std::array<IndicatorName, kIndicatorCount>& indicator_names();

// Where in the stream something happened.
struct Moment {
    std::uint64_t packet = 0;
    std::optional<Duration> time;
    Duration late{};  // how much earlier it was due, as far as known: its packet waited for others in its datagram
};

void add_occurrence(Occurrences& to, const Moment& at, std::uint64_t times = 1);

// Counts per indicator. Allocates nothing after construction.
class IndicatorTally {
public:
    IndicatorTally();
    void hit(Indicator which, const Moment& at, std::uint64_t times = 1) {
        add_occurrence(found_[static_cast<std::size_t>(which)], at, times);
    }
    void put(Indicator which, Occurrences found) {
        found_[static_cast<std::size_t>(which)] = std::move(found);
    }
    const Occurrences& of(Indicator which) const { return found_[static_cast<std::size_t>(which)]; }
    void not_judged(Indicator which, std::string reason) {
        reasons_[static_cast<std::size_t>(which)] = std::move(reason);
    }
    std::vector<IndicatorObservation> observe() const;

private:
    std::array<Occurrences, kIndicatorCount> found_;
    std::array<std::string, kIndicatorCount> reasons_;
};

}  // namespace mastline
