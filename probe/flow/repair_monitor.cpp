// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/repair_monitor.hpp"

#include <algorithm>
#include <bit>

namespace mastline {

namespace {

constexpr std::size_t kFixedHeader = 12;  // RFC 3550 section 5.1
// One recovery makes another possible along rows and columns in turn: a matrix of 20 x 20 needs no more.
constexpr int kMostPasses = 64;

std::size_t place(std::int64_t number, std::int64_t window) {
    return static_cast<std::size_t>((number % window + window) % window);
}

}  // namespace

void RepairMonitor::Parity::mix(const Parity& other) {
    payload ^= other.payload;
    timestamp ^= other.timestamp;
    length ^= other.length;
    payload_type ^= other.payload_type;
}

RepairMonitor::RepairMonitor(const RtpSequence& so_far) : slots_(static_cast<std::size_t>(kWindow)) {
    pending_.reserve(kMostPending);
    if (!so_far.started()) return;
    const auto reach = static_cast<std::int64_t>(RtpSequence::kWindow) - 1;
    const std::int64_t from = std::max(so_far.base(), so_far.highest() - reach);
    started_ = true;
    judged_ = from;
    highest_ = so_far.highest();
    for (std::int64_t n = from; n <= highest_; ++n) {
        enter(n, so_far.came(n) ? came : lost);
        open_ += so_far.came(n) ? 0 : 1;
    }
}

// Rotating and the exclusive or both keep the fold of a sum the sum of the folds.
std::uint64_t RepairMonitor::fold(ByteView bytes) {
    std::uint64_t out = 0;
    std::size_t at = 0;
    int turn = 0;
    for (; at + 8 <= bytes.size(); at += 8, turn = (turn + 11) & 63) out ^= std::rotl(read_u64(bytes, at), turn);
    std::uint64_t rest = 0;
    for (unsigned shift = 56; at < bytes.size(); ++at, shift -= 8) rest |= std::uint64_t{read_u8(bytes, at)} << shift;
    return out ^ std::rotl(rest, turn);
}

RepairMonitor::Slot* RepairMonitor::find(std::int64_t number) {
    Slot& s = slots_[place(number, kWindow)];
    return s.number == number && s.marks != 0 ? &s : nullptr;
}

const RepairMonitor::Slot* RepairMonitor::find(std::int64_t number) const {
    const Slot& s = slots_[place(number, kWindow)];
    return s.number == number && s.marks != 0 ? &s : nullptr;
}

RepairMonitor::Slot& RepairMonitor::enter(std::int64_t number, std::uint8_t marks) {
    Slot& s = slots_[place(number, kWindow)];
    s = {number, {}, marks};
    return s;
}

// Up to `number`, which came; those in between did not.
void RepairMonitor::advance(std::int64_t number, bool own) {
    for (std::int64_t n = highest_ + 1; n <= number; ++n) {
        enter(n, n == number ? came : own ? 0 : lost);
        open_ += n == number || own ? 0 : 1;
        highest_ = n;
        if (highest_ - judged_ < kPatience + kStep) continue;
        recover();
        judge(highest_ - kPatience, false);
        drop_settled();
    }
}

void RepairMonitor::media(std::int64_t number, const RtpHeader& header, ByteView datagram, bool whole, bool own) {
    if (!started_) {
        started_ = true;
        highest_ = judged_ = number;
        enter(number, came);
    } else if (number > highest_) {
        advance(number, own);
    }
    Slot* slot = find(number);
    if (slot == nullptr) {
        if (number <= highest_ - kWindow || number < judged_) return;
        slot = &enter(number, came);  // of our own loss after all, or from before the first
    }
    if (slot->has(lost)) {
        if (number < judged_) return;  // it came too late to help
        --open_;
    }
    slot->marks = came;
    if (!whole) return;
    slot->marks |= told;
    const ByteView rest = datagram.subspan(kFixedHeader);
    slot->parity = {fold(rest), header.timestamp, static_cast<std::uint16_t>(rest.size()), header.payload_type};
}

void RepairMonitor::repair(RepairKind kind, ByteView body, bool whole) {
    auto& seen = kind == RepairKind::column ? out_.column : out_.row;
    if (!seen) seen.emplace();
    ++seen->datagrams;
    const auto header = parse_fec_header(body);
    if (!header || header->span() > kLargestSpan || !started_) {
        ++seen->unusable;
        return;
    }
    Pending p{nearest(header->base), header->step, header->count, kind, whole,
              {fold(body.subspan(FecHeader::kSize)), header->timestamp, header->length, header->payload_type}};
    if (p.base > highest_ + kPatience || p.last() < highest_ - kPatience) {
        ++seen->unusable;
        return;
    }
    seen->step = header->step;
    seen->count = header->count;
    reach_ = std::max(reach_, header->span() + header->step);
    if (pending_.size() == kMostPending) pending_.erase(pending_.begin());
    pending_.push_back(p);
}

std::int64_t RepairMonitor::nearest(std::uint16_t base) const {
    return highest_ + static_cast<std::int16_t>(
                          static_cast<std::uint16_t>(base - static_cast<std::uint16_t>(highest_)));
}

// A packet is recovered by one that protects it, all others of which came or were recovered before.
bool RepairMonitor::recover_once(Mark by) {
    bool news = false;
    for (const auto& p : pending_) {
        if (by == by_column && p.kind != RepairKind::column) continue;
        if (by == by_row && p.kind != RepairKind::row) continue;
        Slot* missing = nullptr;
        bool possible = true;
        for (std::int64_t n = p.base; n <= p.last() && possible; n += p.step) {
            Slot* slot = find(n);
            if (slot != nullptr && (slot->has(came) || slot->has(by))) continue;
            possible = slot != nullptr && missing == nullptr;
            missing = slot;
        }
        if (!possible || missing == nullptr) continue;
        missing->marks |= by;
        news = true;
    }
    return news;
}

void RepairMonitor::recover() {
    if (open_ == 0) return;
    recover_once(by_column);
    recover_once(by_row);
    for (int pass = 0; pass < kMostPasses && recover_once(by_both); ++pass) {}
}

// Something that was not watched stands between a packet and its recovery.
bool RepairMonitor::can_be_told(std::int64_t number, bool at_end) const {
    if (at_end && number > highest_ - 2 * std::int64_t{reach_}) return false;  // sent during the next matrix
    return std::ranges::none_of(pending_, [&](const Pending& p) {
        if (!p.covers(number)) return false;
        for (std::int64_t n = p.base; n <= p.last(); n += p.step)
            if (find(n) == nullptr) return true;
        return false;
    });
}

void RepairMonitor::judge(std::int64_t upto, bool at_end) {
    for (; judged_ < upto; ++judged_) {
        const Slot* slot = find(judged_);
        if (slot == nullptr || !slot->has(lost)) continue;
        --open_;
        ++out_.lost;
        out_.by_column += slot->has(by_column) ? 1 : 0;
        out_.by_row += slot->has(by_row) ? 1 : 0;
        if (slot->has(by_both)) ++out_.by_both;
        else if (can_be_told(judged_, at_end)) ++out_.unrecoverable;
        else ++out_.untold;
    }
}

void RepairMonitor::compare(const Pending& p) {
    if (!p.whole) return;
    Parity sum;
    for (std::int64_t n = p.base; n <= p.last(); n += p.step) {
        const Slot* slot = find(n);
        if (slot == nullptr || !slot->has(told)) return;
        sum.mix(slot->parity);
    }
    ++out_.compared;
    if (sum != p.parity) ++out_.contradicting;
}

void RepairMonitor::drop_settled() {
    std::erase_if(pending_, [&](const Pending& p) {
        if (p.last() >= judged_) return false;
        compare(p);
        return true;
    });
}

void RepairMonitor::finish() {
    recover();
    judge(highest_ + 1, true);
    for (const auto& p : pending_) compare(p);
    pending_.clear();
}

void RepairMonitor::restart() {
    finish();
    std::ranges::fill(slots_, Slot{});
    started_ = false;
    open_ = 0;
}

RepairObservation RepairMonitor::observe() const {
    RepairMonitor ended(*this);
    ended.finish();
    return ended.out_;
}

}  // namespace mastline
