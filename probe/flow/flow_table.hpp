// SPDX-License-Identifier: Apache-2.0
// Flows by their destination, found with one look into a table small enough for the processor's cache.
#pragma once

#include <bit>
#include <cstdint>
#include <deque>
#include <vector>

#include "mastline/flow/flow_monitor.hpp"

namespace mastline {

class FlowTable {
public:
    struct Entry {
        Destination to;
        FlowMonitor monitor;
    };

    FlowTable() : slots_(64) {}

    FlowMonitor* find(const Destination& to) { return slots_[place_of(to)].flow; }
    const FlowMonitor* find(const Destination& to) const { return slots_[place_of(to)].flow; }

    // REQUIRES: find(to) == nullptr
    FlowMonitor& add(const Destination& to, FlowMonitor monitor) {
        if (2 * (entries_.size() + 1) > slots_.size()) grow();
        entries_.push_back({to, std::move(monitor)});
        slots_[place_of(to)] = {to, &entries_.back().monitor};
        return entries_.back().monitor;
    }

    std::size_t size() const { return entries_.size(); }
    // In order of appearance.
    std::deque<Entry>& entries() { return entries_; }
    const std::deque<Entry>& entries() const { return entries_; }

private:
    struct Slot {
        Destination to;
        FlowMonitor* flow = nullptr;  // none: free
    };

    // Groups differ in few bits: what the multiplication carries up is brought down again.
    static std::size_t hash(const Destination& to) {
        const auto words = to.address.words();
        std::uint64_t out = words[0] ^ std::rotl(words[1], 29) ^ (std::uint64_t{to.port.number} << 48) ^ (std::uint64_t{to.wire.number} << 32);
        out *= 0x9E3779B97F4A7C15ULL;
        return static_cast<std::size_t>(out ^ (out >> 32));
    }
    // Where it is, or would be.
    std::size_t place_of(const Destination& to) const {
        std::size_t at = hash(to) & (slots_.size() - 1);
        while (slots_[at].flow != nullptr && slots_[at].to != to) at = (at + 1) & (slots_.size() - 1);
        return at;
    }
    void grow() {
        slots_.assign(2 * slots_.size(), Slot{});
        for (Entry& e : entries_) slots_[place_of(e.to)] = {e.to, &e.monitor};
    }

    std::vector<Slot> slots_;  // a power of two of them, at most half of them taken
    std::deque<Entry> entries_;  // which stay where they are
};

}  // namespace mastline
