// SPDX-License-Identifier: Apache-2.0
#include "probe/source/grouped_delivery.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <functional>

namespace mastline {

namespace {

// How many datagrams ahead memory is asked for.
constexpr std::size_t kPayloadAhead = 2, kDatagramAhead = 6;

bool lies_in(ByteView inner, ByteView outer) {
    const std::less_equal<const std::byte*> not_behind;
    return not_behind(outer.data(), inner.data()) &&
           not_behind(inner.data() + inner.size(), outer.data() + outer.size());
}

std::size_t hash_of(const IpAddress& address) {
    std::array<std::uint64_t, 2> words{};
    std::memcpy(words.data(), address.bytes().data(), sizeof words);
    return static_cast<std::size_t>(((words[0] ^ std::rotl(words[1], 29)) * 0x9E3779B97F4A7C15ULL) >> 32);
}

// The headers of its packets; what stands between is hardly looked at.
void fetch_headers(ByteView payload) {
    constexpr std::size_t packet = 188;
    for (std::size_t at = 0; at < payload.size(); at += packet) __builtin_prefetch(payload.data() + at);
}

}  // namespace

void GroupedDelivery::on_datagram(const Datagram& datagram) {
    if (lies_in(datagram.payload, lasting_)) {
        held_.push_back(datagram);
        return;
    }
    deliver();
    sink_->on_datagram(datagram);
}

std::uint32_t GroupedDelivery::group_of(const IpAddress& address) {
    const std::size_t mask = table_.size() - 1;
    for (std::size_t at = hash_of(address) & mask;; at = (at + 1) & mask) {
        if (table_[at] == 0) {
            groups_.push_back({address});
            table_[at] = static_cast<std::uint32_t>(groups_.size());
            return table_[at] - 1;
        }
        if (groups_[table_[at] - 1].address == address) return table_[at] - 1;
    }
}

void GroupedDelivery::sort() {
    groups_.clear();
    group_of_.clear();
    table_.assign(std::bit_ceil(2 * held_.size()), 0);
    for (const auto& d : held_) {
        group_of_.push_back(group_of(d.destination));
        ++groups_[group_of_.back()].count;
    }
    std::uint32_t from = 0;
    for (auto& group : groups_) {
        group.from = from;
        from += group.count;
    }
    order_.resize(held_.size());
    for (std::uint32_t i = 0; i < held_.size(); ++i) order_[groups_[group_of_[i]].from++] = i;
}

void GroupedDelivery::deliver() {
    if (held_.empty()) return;
    sort();
    const std::size_t count = order_.size();
    for (std::size_t i = 0; i < count; ++i) {
        if (i + kDatagramAhead < count) __builtin_prefetch(&held_[order_[i + kDatagramAhead]]);
        if (i + kPayloadAhead < count) fetch_headers(held_[order_[i + kPayloadAhead]].payload);
        sink_->on_datagram(held_[order_[i]]);
    }
    held_.clear();
}

}  // namespace mastline
