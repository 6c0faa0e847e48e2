// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <vector>

#include "planner/network/carriage_table.hpp"

namespace mastline {

// A set of carriages.
class CarriageSet {
public:
    explicit CarriageSet(std::size_t carriages = 0) : words_((carriages + 63) / 64) {}
    void set(CarriageIndex c) { words_[c / 64] |= std::uint64_t{1} << (c % 64); }
    void add(const CarriageSet& other) {
        for (std::size_t i = 0; i < words_.size(); ++i) words_[i] |= other.words_[i];
    }
    std::vector<CarriageIndex> list() const;  // ascending
    BitRate rate(const std::vector<NetworkCarriage>& carriages, bool tagged) const;

private:
    std::vector<std::uint64_t> words_;
};

// The same ones, ascending. REQUIRES: each is there once
std::vector<CarriageIndex> ascending(std::vector<CarriageIndex> list, std::size_t carriages);

}  // namespace mastline
