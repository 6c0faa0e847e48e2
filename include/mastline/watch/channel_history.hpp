// SPDX-License-Identifier: Apache-2.0
// The last hour of one channel in memory of fixed size: cells of ten seconds.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "mastline/units/bit_rate.hpp"
#include "mastline/units/ticks.hpp"
#include "mastline/verdict/verdict.hpp"

namespace mastline {

// What one stretch of time saw. `looks` 0: nothing is known of it.
struct HistoryStretch {
    std::uint32_t looks = 0, failed = 0, unsure = 0;
    std::optional<BitRate> rate;  // mean of the looks that told one

    // Of the looks, those that failed: 0 to 1.
    double failed_share() const { return looks == 0 ? 0 : static_cast<double>(failed) / looks; }
    bool operator==(const HistoryStretch&) const = default;
};

class ChannelHistory {
public:
    static constexpr Duration kCell = std::chrono::seconds(10);
    static constexpr std::size_t kCells = 360;

    // REQUIRES: `at` does not fall from call to call.
    void add(Duration at, Outcome outcome, std::optional<BitRate> rate) {
        const auto number = at / kCell;
        for (auto n = std::max(newest_ + 1, number - static_cast<std::int64_t>(kCells) + 1); n <= number; ++n) cell(n) = {};
        newest_ = number;
        Cell& c = cell(number);
        ++c.looks;
        c.failed += outcome == Outcome::failed ? 1 : 0;
        c.unsure += outcome == Outcome::not_judged ? 1 : 0;
        if (!rate) return;
        ++c.rates;
        c.rate_sum += rate->bits_per_second();
    }

    // The hour up to `now` in `parts` stretches of equal length, oldest first; the last one is still going on.
    // REQUIRES: parts divides kCells.
    std::vector<HistoryStretch> stretches(Duration now, std::size_t parts) const {
        const std::int64_t each = static_cast<std::int64_t>(kCells / parts), last = now / kCell / each;
        std::vector<HistoryStretch> out;
        for (auto s = last - static_cast<std::int64_t>(parts) + 1; s <= last; ++s) out.push_back(sum(s * each, (s + 1) * each));
        return out;
    }

private:
    struct Cell {
        std::uint32_t looks = 0, failed = 0, unsure = 0, rates = 0;
        std::int64_t rate_sum = 0;
    };
    Cell& cell(std::int64_t number) { return cells_[static_cast<std::size_t>(number) % kCells]; }

    HistoryStretch sum(std::int64_t from, std::int64_t to) const {
        HistoryStretch out;
        std::int64_t rates = 0, rate_sum = 0;
        for (auto n = std::max(from, newest_ - static_cast<std::int64_t>(kCells) + 1); n < std::min(to, newest_ + 1); ++n) {
            if (n < 0) continue;
            const Cell& c = cells_[static_cast<std::size_t>(n) % kCells];
            out.looks += c.looks;
            out.failed += c.failed;
            out.unsure += c.unsure;
            rates += c.rates;
            rate_sum += c.rate_sum;
        }
        if (rates > 0) out.rate = BitRate(rate_sum / rates);
        return out;
    }

    std::array<Cell, kCells> cells_{};
    std::int64_t newest_ = -1;  // number of the newest cell, from the Unix epoch
};

}  // namespace mastline
