// SPDX-License-Identifier: Apache-2.0
// What lies on one side of a link: displays that want streams, and sources that send them. Sides
// add up and can be taken away again, so that a moved subtree costs only its path.
#pragma once

#include <algorithm>
#include <bit>
#include <cstdint>
#include <vector>

#include "planner/network/carriage_table.hpp"

namespace mastline {

// A set of sources: a source is what one card sends into one switch, protected channels and others
// apart, and those that different cards stand by for, since in a failure each of these goes or moves as one.
class SourceMask {
public:
    explicit SourceMask(std::size_t sources = 0) : words_((sources + 63) / 64) {}
    void set(std::size_t i) { words_[i / 64] |= std::uint64_t{1} << (i % 64); }
    void clear(std::size_t i) { words_[i / 64] &= ~(std::uint64_t{1} << (i % 64)); }
    bool empty() const {
        return std::all_of(words_.begin(), words_.end(), [](std::uint64_t w) { return w == 0; });
    }
    bool has(std::size_t i) const { return (words_[i / 64] >> (i % 64) & 1) != 0; }
    void add(const SourceMask& other) {
        for (std::size_t i = 0; i < words_.size(); ++i) words_[i] |= other.words_[i];
    }
    bool meets(const SourceMask& other) const {
        for (std::size_t i = 0; i < words_.size(); ++i)
            if ((words_[i] & other.words_[i]) != 0) return true;
        return false;
    }
    void remove(const SourceMask& other) {
        for (std::size_t i = 0; i < words_.size(); ++i) words_[i] &= ~other.words_[i];
    }
    const std::vector<std::uint64_t>& words() const { return words_; }
    // Calls f(source) for each, ascending.
    template <class F>
    void for_each(F f) const {
        for (std::size_t w = 0; w < words_.size(); ++w)
            for (auto bits = words_[w]; bits != 0; bits &= bits - 1)
                f(64 * w + static_cast<std::size_t>(std::countr_zero(bits)));
    }
    bool has_all_of(const SourceMask& other) const {
        for (std::size_t i = 0; i < words_.size(); ++i)
            if ((other.words_[i] & ~words_[i]) != 0) return false;
        return true;
    }
    std::size_t hash() const {
        std::uint64_t out = 0;
        for (const auto w : words_) out = (out ^ w) * 0x9E3779B97F4A7C15ULL, out ^= out >> 32;
        return out;
    }
    friend bool operator==(const SourceMask&, const SourceMask&) = default;

private:
    std::vector<std::uint64_t> words_;
};

struct SourceMaskHash {
    std::size_t operator()(const SourceMask& m) const { return m.hash(); }
};

// Carriages that are joined all the time, with the number of joins, in order of index.
class JoinCounts {
public:
    struct Entry {
        CarriageIndex carriage;
        std::int32_t joins;
        friend bool operator==(const Entry&, const Entry&) = default;
    };
    void add(const JoinCounts& other, std::int32_t times = 1) {
        if (other.entries_.empty()) return;
        std::vector<Entry> sum;
        auto a = entries_.begin();
        for (const auto& b : other.entries_) {
            while (a != entries_.end() && a->carriage < b.carriage) sum.push_back(*a++);
            std::int32_t joins = times * b.joins;
            if (a != entries_.end() && a->carriage == b.carriage) joins += a++->joins;
            if (joins != 0) sum.push_back({b.carriage, joins});
        }
        sum.insert(sum.end(), a, entries_.end());
        entries_ = std::move(sum);
    }
    void remove(const JoinCounts& other) { add(other, -1); }
    void join(CarriageIndex carriage) {
        JoinCounts one;
        one.entries_ = {{carriage, 1}};
        add(one);
    }
    const std::vector<Entry>& entries() const { return entries_; }
    bool empty() const { return entries_.empty(); }
    bool has(CarriageIndex carriage) const {
        const auto at = std::lower_bound(entries_.begin(), entries_.end(), carriage,
                                         [](const Entry& e, CarriageIndex c) { return e.carriage < c; });
        return at != entries_.end() && at->carriage == carriage;
    }
    friend bool operator==(const JoinCounts&, const JoinCounts&) = default;

private:
    std::vector<Entry> entries_;
};

struct Reach {
    std::int64_t displays = 0;
    std::int64_t routers = 0;  // places to which every group goes
    SourceMask sources;
    JoinCounts always;

    explicit Reach(std::size_t source_count = 0) : sources(source_count) {}
    void add(const Reach& other) {
        displays += other.displays;
        routers += other.routers;
        sources.add(other.sources);
        always.add(other.always);
    }
    // REQUIRES: `other` was added before
    void remove(const Reach& other) {
        displays -= other.displays;
        routers -= other.routers;
        sources.remove(other.sources);
        always.remove(other.always);
    }
};

}  // namespace mastline
