// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/delivery_index.hpp"

#include <algorithm>
#include <cmath>

namespace mastline {

namespace {
constexpr Duration kInterval = std::chrono::seconds(1);

double seconds(Duration d) { return std::chrono::duration<double>(d).count(); }
}  // namespace

void DeliveryIndex::sample(double virtual_buffer) {
    least_ = std::min(least_, virtual_buffer);
    most_ = std::max(most_, virtual_buffer);
}

void DeliveryIndex::start(Duration at) {
    start_ = at;
    rate_ = planned_;
}

// RFC 4445 section 3.1: VB(i,pre) = sum(S_j, j < i) - MR * T_i, VB(i,post) = VB(i,pre) + S_i, and
// VB(0) = 0 at the start of the interval; DF = (max - min) / MR.
void DeliveryIndex::arrived(Duration at, std::size_t bytes) {
    if (!start_) start(at);
    if (at - *start_ >= kInterval) close(at);
    if (rate_) {
        const double drained = static_cast<double>(rate_->bits_per_second()) / 8 * seconds(at - *start_);
        sample(bytes_ - drained);
        sample(bytes_ - drained + static_cast<double>(bytes));
    }
    bytes_ += static_cast<double>(bytes);
}

void DeliveryIndex::close(Duration at) {
    const double length = seconds(at - *start_);
    if (rate_ && rate_->bits_per_second() > 0) {
        const double media = static_cast<double>(rate_->bits_per_second()) / 8;
        ++out_.intervals;
        out_.last_delay_factor = Duration(std::llround((most_ - least_) / media * 1e9));
        out_.max_delay_factor = std::max(out_.max_delay_factor, out_.last_delay_factor);
        out_.media_rate = *rate_;
    }
    out_.max_media_loss_rate = std::max(out_.max_media_loss_rate, lost_);
    rate_ = planned_ ? *planned_ : BitRate(std::llround(bytes_ * 8 / length));
    // The next interval starts with the arrival that closes this one.
    start_ = at;
    bytes_ = least_ = most_ = 0;
    lost_ = 0;
}

}  // namespace mastline
