// SPDX-License-Identifier: Apache-2.0
#include "indicators.hpp"

namespace mastline {

const std::array<IndicatorName, kIndicatorCount>& indicator_names() {
    static constexpr std::array<IndicatorName, kIndicatorCount> names{{
        {"1.1", "TS_sync_loss", 1},
        {"1.2", "Sync_byte_error", 1},
        {"1.3", "PAT_error", 1},
        {"1.3.a", "PAT_error_2", 1},
        {"1.4", "Continuity_count_error", 1},
        {"1.5", "PMT_error", 1},
        {"1.5.a", "PMT_error_2", 1},
        {"1.6", "PID_error", 1},
        {"2.1", "Transport_error", 2},
        {"2.2", "CRC_error", 2},
        {"2.3", "PCR_error", 2},
        {"2.3a", "PCR_repetition_error", 2},
        {"2.3b", "PCR_discontinuity_indicator_error", 2},
        {"2.4", "PCR_accuracy_error", 2},
        {"2.5", "PTS_error", 2},
        {"2.6", "CAT_error", 2},
        {"3.1", "NIT_error", 3},
        {"3.1.a", "NIT_actual_error", 3},
        {"3.1.b", "NIT_other_error", 3},
        {"3.2", "SI_repetition_error", 3},
        {"3.3", "Buffer_error", 3},
        {"3.4", "Unreferenced_PID", 3},
        {"3.5", "SDT_error", 3},
        {"3.5.a", "SDT_actual_error", 3},
        {"3.5.b", "SDT_other_error", 3},
        {"3.6", "EIT_error", 3},
        {"3.6.a", "EIT_actual_error", 3},
        {"3.6.b", "EIT_other_error", 3},
        {"3.6.c", "EIT_PF_error", 3},
        {"3.7", "RST_error", 3},
        {"3.8", "TDT_error", 3},
        {"3.9", "Empty_buffer_error", 3},
        {"3.10", "Data_delay_error", 3},
    }};
    return names;
}

void add_occurrence(Occurrences& to, const Moment& at, std::uint64_t times) {
    if (times == 0) return;
    to.count += times;
    if (at.time && !to.first) to.first = at.time;
    if (at.time) to.last = at.time;
    if (to.packets.size() < Occurrences::kPacketsKept) to.packets.push_back(at.packet);
}

IndicatorTally::IndicatorTally() {
    for (auto& found : found_) found.packets.reserve(Occurrences::kPacketsKept);
}

std::vector<IndicatorObservation> IndicatorTally::observe() const {
    std::vector<IndicatorObservation> out;
    for (std::size_t i = 0; i < kIndicatorCount; ++i) {
        const IndicatorName& name = indicator_names()[i];
        // What was found stands, even where absence could not have been vouched for.
        const bool judged = reasons_[i].empty() || found_[i].count > 0;
        out.push_back({name.number, name.name, name.priority, judged,
                       judged ? std::string() : reasons_[i], found_[i]});
    }
    return out;
}

}  // namespace mastline
