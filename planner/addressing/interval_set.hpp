// SPDX-License-Identifier: Apache-2.0
// A set of whole numbers kept as runs, so that a million of them cost as little as one.
#pragma once

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <map>
#include <optional>

namespace mastline {

// Half-open: first belongs to it, end does not.
struct NumberSpan {
    std::uint64_t first = 0, end = 0;
};

class IntervalSet {
public:
    void add(NumberSpan span) {
        if (span.first >= span.end) return;
        auto at = runs_.upper_bound(span.first);
        if (at != runs_.begin() && std::prev(at)->second >= span.first) --at;
        while (at != runs_.end() && at->first <= span.end) {
            span.first = std::min(span.first, at->first);
            span.end = std::max(span.end, at->second);
            at = runs_.erase(at);
        }
        runs_.emplace(span.first, span.end);
    }

    void remove(NumberSpan span) {
        if (span.first >= span.end) return;
        auto at = runs_.upper_bound(span.first);
        if (at != runs_.begin() && std::prev(at)->second > span.first) --at;
        while (at != runs_.end() && at->first < span.end) {
            const NumberSpan run{at->first, at->second};
            at = runs_.erase(at);
            if (run.first < span.first) runs_.emplace(run.first, span.first);
            if (run.end > span.end) runs_.emplace(span.end, run.end);
        }
    }

    bool contains(std::uint64_t n) const { return run_with(n).has_value(); }

    // The run that holds `n`.
    std::optional<NumberSpan> run_with(std::uint64_t n) const {
        auto at = runs_.upper_bound(n);
        if (at == runs_.begin()) return std::nullopt;
        --at;
        return at->second > n ? std::optional(NumberSpan{at->first, at->second}) : std::nullopt;
    }

    // The least member that is not below `n`.
    std::optional<std::uint64_t> next(std::uint64_t n) const {
        if (run_with(n)) return n;
        const auto at = runs_.lower_bound(n);
        return at == runs_.end() ? std::nullopt : std::optional(at->first);
    }

    // The greatest member that is not above `n`.
    std::optional<std::uint64_t> last_up_to(std::uint64_t n) const {
        auto at = runs_.upper_bound(n);
        if (at == runs_.begin()) return std::nullopt;
        --at;
        return std::min(n, at->second - 1);
    }

    std::uint64_t count() const {
        std::uint64_t sum = 0;
        for (const auto& [first, end] : runs_) sum += end - first;
        return sum;
    }

    const std::map<std::uint64_t, std::uint64_t>& runs() const { return runs_; }

private:
    std::map<std::uint64_t, std::uint64_t> runs_;  // first -> end, apart from each other
};

}  // namespace mastline
