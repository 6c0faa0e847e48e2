// SPDX-License-Identifier: Apache-2.0
#include "pcr_track.hpp"

#include <algorithm>
#include <cmath>

#include "pcr_fit.hpp"

namespace mastline {

namespace {

constexpr PcrTicks kLongestStep = std::chrono::milliseconds(100);  // TR 101 290 2.3a, 2.3b
constexpr Duration kRecommended = std::chrono::milliseconds(40);   // TS 101 154, 4.1.7
constexpr double kTolerance = 13.5;       // ticks in 500 ns, ISO/IEC 13818-1 2.4.2.1
constexpr std::size_t kFewest = 8;        // samples below which a block says nothing
constexpr double kBitsPerPacket = 8.0 * kTsPacketSize;

Duration of_ticks(double ticks) { return Duration(std::llround(ticks * 1000.0 / 27.0)); }
Duration of_ticks(PcrTicks ticks) { return Duration(ticks.count() * 1000 / 27); }

BitRate rate_of(double bits, double ticks) { return BitRate(std::llround(bits * 27e6 / ticks)); }

// Where the line lies that PCRs are right by: in the middle of those that may all be right. The median would lie at one
// side of a jitter that takes two values only.
double centre_of(const std::vector<double>& deviations) {
    double sum = 0, count = 0;
    for (const double d : deviations)
        if (std::abs(d) <= 2 * kTolerance) sum += d, count += 1;
    return count > 0 ? sum / count : 0;
}

PcrTicks wrapped_difference(PcrTicks from, PcrTicks to) {
    const PcrTicks d = to - from;
    return d < PcrTicks(0) ? d + kPcrWrap : d;
}

}  // namespace

void PcrTrack::read(const PcrReading& reading, IndicatorTally& tally) {
    ++seen_.count;
    stamped_ = reading.by_arrival;
    if (!last_) begin_span();
    else if (reading.discontinuity) {
        ++seen_.signalled_discontinuities;
        // How long there was no PCR can be told even across a new time base.
        judge_interval(PcrTicks(0), false, reading, tally);
        begin_span();
    } else step(reading, tally);
    last_ = reading;
    add_sample(reading);
}

void PcrTrack::step(const PcrReading& reading, IndicatorTally& tally) {
    const PcrTicks delta = wrapped_difference(last_->pcr, reading.pcr);
    const bool in_range = delta <= kLongestStep;
    if (in_range && reading.pcr < last_->pcr) ++seen_.wraps;
    if (!in_range) {
        ++seen_.discontinuities;
        tally.hit(Indicator::pcr_discontinuity, reading.at);
    }
    const std::uint64_t before = tally.of(Indicator::pcr_repetition).count;
    judge_interval(delta, in_range, reading, tally);
    // The combined indicator of the older text: either of the two.
    if (!in_range && tally.of(Indicator::pcr_repetition).count == before)
        tally.hit(Indicator::pcr, reading.at);
    if (!in_range) return begin_span();
    unwrapped_ += delta.count();
    if (disturbed_) {
        begin_span();
    } else if (delta > PcrTicks(0)) {
        note_rate(delta, reading.at.packet - last_->at.packet);
    }
}

// Between two PCRs of one time base the PCR itself tells the interval best: stamps carry the
// jitter of the network. Across a step only the time base can.
void PcrTrack::judge_interval(PcrTicks delta, bool in_range, const PcrReading& reading,
                              IndicatorTally& tally) {
    if (in_range) return note_interval(of_ticks(delta));
    if (!reading.at.time || !last_->at.time) return;
    const Duration elapsed = *reading.at.time - *last_->at.time;
    note_interval(elapsed);
    if (elapsed <= kLongestStep) return;
    ++seen_.intervals_above_100_ms;
    tally.hit(Indicator::pcr_repetition, reading.at);
    tally.hit(Indicator::pcr, reading.at);
}

void PcrTrack::note_interval(Duration interval) {
    if (interval > kRecommended) ++seen_.intervals_above_40_ms;
    ++intervals_;
    interval_sum_ += interval;
    seen_.min_interval = std::min(seen_.min_interval.value_or(interval), interval);
    seen_.max_interval = std::max(seen_.max_interval.value_or(interval), interval);
}

void PcrTrack::note_rate(PcrTicks delta, std::uint64_t packets) {
    const double bits = static_cast<double>(packets) * kBitsPerPacket;
    const auto ticks = static_cast<double>(delta.count());
    const BitRate rate = rate_of(bits, ticks);
    bits_ += bits;
    ticks_ += ticks;
    ticks_per_packet_ = ticks / static_cast<double>(packets);
    if (!seen_.rate) seen_.rate = RateObservation{rate, rate, rate};
    seen_.rate->min = std::min(seen_.rate->min, rate);
    seen_.rate->max = std::max(seen_.rate->max, rate);
}

// A gap shows only with the next packet of its PID: PCRs since the one before may lie behind it.
void PcrTrack::disturbed(std::uint64_t behind_packet) {
    disturbed_ = true;
    while (!block_.empty() && block_.back().packet > behind_packet) block_.pop_back();
}

void PcrTrack::begin_span() {
    disturbed_ = false;
    for (std::size_t stuffing = 0; stuffing < 2; ++stuffing) judge_block(done_[stuffing], stuffing == 1);
    block_.clear();
    offset_low_.reset();
    offset_high_.reset();
}

void PcrTrack::add_sample(const PcrReading& reading) {
    if (block_.size() == kBlock) {
        for (std::size_t stuffing = 0; stuffing < 2; ++stuffing) judge_block(done_[stuffing], stuffing == 1);
        block_.clear();
    }
    const Duration time = reading.at.time.value_or(Duration{});
    block_.push_back({reading.at.packet, time, unwrapped_});
    if (!reading.by_arrival) return;
    const Duration offset = time - of_ticks(PcrTicks(unwrapped_));
    offset_low_ = std::min(offset_low_.value_or(offset), offset);
    offset_high_ = std::max(offset_high_.value_or(offset), offset);
    widest_ = std::max(widest_, *offset_high_ - *offset_low_);
}

// A stream of constant rate is known by its PCRs: most lie on the line. Where PCRs jitter all
// over, null packets show that the rate is held, and the jitter is small against the interval.
void PcrTrack::judge_block(Verdicts& into, bool has_stuffing) const {
    if (block_.size() < kFewest) return;
    std::vector<ClockSample> by_packet, by_arrival;
    for (const auto& s : block_) {
        const auto ticks = static_cast<double>(s.ticks - block_[0].ticks);
        by_packet.push_back({static_cast<double>(s.packet - block_[0].packet), ticks});
        by_arrival.push_back({static_cast<double>((s.time - block_[0].time).count()), ticks});
    }
    if (const auto fit = stamped_ ? fit_clock(by_arrival) : std::nullopt; fit && fit->slope > 0) {
        into.jitter_by_arrival = std::max(into.jitter_by_arrival, of_ticks(fit->peak_to_peak));
        into.drift_ppm = (fit->slope / 0.027 - 1) * 1e6;
    }
    const auto fit = fit_clock(by_packet);
    if (!fit) return;
    const double centre = centre_of(fit->deviations);
    const auto is_accurate = [&](double deviation) { return std::abs(deviation - centre) <= kTolerance; };
    const auto accurate = std::ranges::count_if(fit->deviations, is_accurate);
    const double interval = by_packet.back().y / static_cast<double>(block_.size() - 1);
    const bool constant = static_cast<std::size_t>(accurate) * 10 >= block_.size() * 9 ||
                          (has_stuffing && fit->peak_to_peak < interval / 10);
    ++(constant ? into.constant_blocks : into.varying_blocks);
    if (!constant) return;
    into.jitter_by_packet = std::max(into.jitter_by_packet, of_ticks(fit->peak_to_peak));
    for (std::size_t i = 0; i < block_.size(); ++i)
        if (!is_accurate(fit->deviations[i]))
            add_occurrence(into.inaccurate, {block_[i].packet, block_[i].time});
}

PcrTrack::Verdicts PcrTrack::verdicts(bool has_stuffing) const {
    Verdicts all = done_[has_stuffing ? 1 : 0];
    judge_block(all, has_stuffing);
    return all;
}

std::optional<Occurrences> PcrTrack::accuracy_errors(bool has_stuffing) const {
    const Verdicts all = verdicts(has_stuffing);
    if (all.constant_blocks == 0 || all.varying_blocks > 0) return std::nullopt;
    return all.inaccurate;
}

PcrObservation PcrTrack::observe(bool has_stuffing) const {
    PcrObservation out = seen_;
    out.pid = pid_;
    if (intervals_ > 0) out.mean_interval = interval_sum_ / static_cast<std::int64_t>(intervals_);
    if (out.rate) out.rate->mean = rate_of(bits_, ticks_);
    const Verdicts all = verdicts(has_stuffing);
    JitterObservation& jitter = out.jitter;
    if (stamped_) {
        jitter.judged = out.count >= kFewest;
        jitter.overall = widest_;
        jitter.drift_free = all.jitter_by_arrival;
        jitter.drift_ppm = all.drift_ppm;
    } else {
        jitter.judged = all.constant_blocks > 0 && all.varying_blocks == 0;
        jitter.overall = jitter.drift_free = all.jitter_by_packet;
    }
    if (jitter.judged) return out;
    jitter = {.judged = false,
              .reason = out.count < kFewest ? "fewer than 8 PCRs"
                        : all.constant_blocks + all.varying_blocks == 0
                            ? "no 8 PCRs in a row without a loss or a step between them"
                            : "the transport rate is not constant between PCRs"};
    return out;
}

}  // namespace mastline
