// SPDX-License-Identifier: Apache-2.0
// The program clock reference of one PID: intervals, steps, rate, accuracy, jitter
// (ISO/IEC 13818-1, 2.4.2.2 and 2.7.2; TR 101 290, 5.2.2 and annex I).
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "indicators.hpp"
#include "mastline/stream/pcr_observation.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

struct PcrReading {
    PcrTicks pcr{};
    Moment at;
    bool by_arrival = false;      // `at.time` is a stamp, not derived from a PCR
    bool discontinuity = false;   // discontinuity_indicator of the packet
};

class PcrTrack {
public:
    explicit PcrTrack(Pid pid) : pid_(pid) { block_.reserve(kBlock); }

    void read(const PcrReading& reading, IndicatorTally& tally);
    // Packets were lost or added somewhere behind that one: position says nothing across it.
    void disturbed(std::uint64_t behind_packet);
    // We lost packets ourselves: nothing is told from what was before to what comes.
    void begin_anew() { last_.reset(); }
    // has_stuffing: null packets were seen, as a stream kept at a constant rate has them.
    PcrObservation observe(bool has_stuffing) const;
    // 2.4 PCR_accuracy_error so far; none: cannot be judged (see observe().jitter.reason).
    std::optional<Occurrences> accuracy_errors(bool has_stuffing) const;

    std::optional<Duration> last_time() const { return last_ ? last_->at.time : std::nullopt; }
    // Ticks per packet over the last undisturbed interval; none before the first.
    std::optional<double> ticks_per_packet() const { return ticks_per_packet_; }

private:
    static constexpr std::size_t kBlock = 512;  // samples that are judged together
    struct Sample {
        std::uint64_t packet;
        Duration time;
        std::int64_t ticks;  // unwrapped
    };
    struct Verdicts {  // of the blocks that are done
        std::uint64_t varying_blocks = 0, constant_blocks = 0;
        Duration jitter_by_packet{}, jitter_by_arrival{};
        double drift_ppm = 0;
        Occurrences inaccurate;
    };

    void step(const PcrReading& reading, IndicatorTally& tally);
    void judge_interval(PcrTicks delta, bool in_range, const PcrReading& reading, IndicatorTally& tally);
    void note_interval(Duration interval);
    void note_rate(PcrTicks delta, std::uint64_t packets);
    void begin_span();
    void add_sample(const PcrReading& reading);
    void judge_block(Verdicts& into, bool has_stuffing) const;
    Verdicts verdicts(bool has_stuffing) const;

    Pid pid_;
    std::optional<PcrReading> last_;
    std::int64_t unwrapped_ = 0;
    bool stamped_ = false, disturbed_ = false;
    PcrObservation seen_{};
    std::uint64_t intervals_ = 0;
    Duration interval_sum_{};
    double bits_ = 0, ticks_ = 0;
    std::optional<double> ticks_per_packet_;
    std::vector<Sample> block_;
    std::array<Verdicts, 2> done_;  // judged without and with stuffing in view
    std::optional<Duration> offset_low_, offset_high_;  // arrival minus PCR since the last step
    Duration widest_{};
};

}  // namespace mastline
