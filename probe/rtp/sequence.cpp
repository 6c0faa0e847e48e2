// SPDX-License-Identifier: Apache-2.0
#include "mastline/rtp/sequence.hpp"

#include <algorithm>

namespace mastline {

namespace {
constexpr std::int64_t kWindowSize = static_cast<std::int64_t>(RtpSequence::kWindow);

std::size_t slot(std::int64_t extended) {
    return static_cast<std::size_t>(((extended % kWindowSize) + kWindowSize) % kWindowSize);
}
}  // namespace

RtpSequence::Arrival RtpSequence::first(std::uint16_t sequence_number) {
    started_ = true;
    base_ = highest_ = sequence_number;
    seen_.reset();
    seen_.set(slot(highest_));
    suspect_.reset();
    ++received_;
    return Arrival::next;
}

RtpSequence::Arrival RtpSequence::add(std::uint16_t sequence_number) {
    if (!started_) return first(sequence_number);
    const std::int64_t number = extended(sequence_number);
    const std::int64_t step = number - highest_;
    if (step > kMaxDropout || step <= -kWindowSize) {
        // RFC 3550 A.1: two in sequence say that the other side restarted; one alone is a stray.
        if (suspect_ == sequence_number) {
            ++restarts_;
            first(static_cast<std::uint16_t>(sequence_number - 1));
            ahead(extended(sequence_number));
            return Arrival::restart;
        }
        suspect_ = static_cast<std::uint16_t>(sequence_number + 1);
        return Arrival::stray;
    }
    suspect_.reset();
    return step > 0 ? ahead(number) : behind(number);
}

bool RtpSequence::came(std::int64_t number) const { return seen_.test(slot(number)); }

RtpSequence::Arrival RtpSequence::ahead(std::int64_t extended) {
    const auto gap = static_cast<std::uint64_t>(extended - highest_ - 1);
    for (std::int64_t n = std::max(highest_ + 1, extended - kWindowSize); n < extended; ++n)
        seen_.reset(slot(n));
    seen_.set(slot(extended));
    highest_ = extended;
    ++received_;
    const std::uint64_t own = std::min(gap, own_pending_);
    own_pending_ = 0;
    own_lost_ += own;
    last_gap_own_ = own > 0;
    if (gap == 0) return Arrival::next;
    last_gap_ = gap - own;
    if (last_gap_ > 0) ++gaps_;
    largest_gap_ = std::max(largest_gap_, last_gap_);
    missing_ += last_gap_;
    return Arrival::after_gap;
}

RtpSequence::Arrival RtpSequence::behind(std::int64_t extended) {
    if (seen_.test(slot(extended))) {
        ++duplicates_;
        return Arrival::duplicate;
    }
    seen_.set(slot(extended));
    ++reordered_;
    ++received_;
    // Numbers from before the first packet were never counted as missing.
    if (extended > base_ && missing_ > 0) --missing_;
    return Arrival::late;
}

}  // namespace mastline
