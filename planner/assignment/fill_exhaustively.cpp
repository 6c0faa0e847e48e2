// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <string>
#include <unordered_set>

#include "planner/assignment/fill.hpp"

namespace mastline::packing {

namespace {

class Search {
public:
    Search(const std::vector<FillType>& types, const std::vector<FillClass>& classes, std::int64_t nodes)
        : types_(types), classes_(classes), budget_(nodes) {
        for (const auto& c : classes_) rest_.push_back(c.size);
        for (const auto& t : types_) left_.push_back(t.count);
        for (std::size_t t = 0; t < types_.size(); ++t)
            if (types_[t].tuners > 0) by_licences_to_a_tuner_.push_back(t);
        std::stable_sort(by_licences_to_a_tuner_.begin(), by_licences_to_a_tuner_.end(), [&](std::size_t a, std::size_t b) {
            return types_[a].licences * types_[b].tuners > types_[b].licences * types_[a].tuners;
        });
    }

    Filling run() {
        const bool found = from_here();
        const Verdict verdict = found      ? Verdict::packed
                                : used_up_ ? Verdict::open
                                           : Verdict::impossible;
        return {verdict, found ? bins_ : std::vector<FilledBin>{}, nodes_};
    }

private:
    bool allowed(std::size_t c, std::size_t t) const { return ((classes_[c].types >> t) & 1U) != 0; }
    int whole(std::size_t c) const { return std::min(rest_[c], classes_[c].most); }

    // Counts that no packing of the rest can get round.
    bool hopeless() const {
        int room = 0, tuners = 0, demand = 0, pieces = 0;
        for (std::size_t t = 0; t < types_.size(); ++t) {
            room += left_[t] * types_[t].licences;
            tuners += left_[t] * types_[t].tuners;
        }
        for (std::size_t c = 0; c < classes_.size(); ++c) {
            if (rest_[c] == 0) continue;
            int largest = 0, own = 0;
            for (std::size_t t = 0; t < types_.size(); ++t)
                if (allowed(c, t) && left_[t] > 0 && types_[t].tuners > 0) {
                    const int n = std::min(classes_[c].most, types_[t].licences);
                    largest = std::max(largest, n);
                    own += n * left_[t];
                }
            if (own < rest_[c]) return true;
            demand += rest_[c];
            pieces += (rest_[c] + largest - 1) / largest;
        }
        return demand > room || pieces > tuners || unusable(demand);
    }

    // Bins with n tuners in all hold no more than the n largest rests: so much for the types with most
    // licences to a tuner.
    bool unusable(int demand) const {
        std::vector<int> sizes = rest_;
        std::sort(sizes.rbegin(), sizes.rend());
        int others = 0, held = 0;
        for (std::size_t t = 0; t < types_.size(); ++t)
            if (types_[t].tuners > 0) others += left_[t] * types_[t].licences;
        std::size_t tuners = 0;
        for (const auto t : by_licences_to_a_tuner_) {
            others -= left_[t] * types_[t].licences;
            const std::size_t upto = std::min(sizes.size(), tuners + static_cast<std::size_t>(left_[t] * types_[t].tuners));
            for (; tuners < upto; ++tuners) held += sizes[tuners];
            if (held + others < demand) return true;
        }
        return false;
    }

    // The state without names: classes that are alike are interchangeable.
    std::string key() const {
        std::vector<std::array<std::uint64_t, 3>> rows;
        for (std::size_t c = 0; c < classes_.size(); ++c)
            if (rest_[c] > 0)
                rows.push_back({static_cast<std::uint64_t>(rest_[c]), static_cast<std::uint64_t>(whole_most(c)),
                                classes_[c].types});
        std::sort(rows.begin(), rows.end());
        std::string out;
        for (const int n : left_) out += static_cast<char>(n);
        for (const auto& row : rows)
            for (const auto n : row) out.append(std::to_string(n)) += ',';
        return out;
    }
    // The most per bin matters only while it is less than the rest.
    int whole_most(std::size_t c) const { return std::min(classes_[c].most, rest_[c]); }

    bool from_here() {
        if (std::all_of(rest_.begin(), rest_.end(), [](int n) { return n == 0; })) return true;
        if (hopeless()) return false;
        std::string state = key();
        if (dead_.contains(state)) return false;
        for (std::size_t t = 0; t < types_.size() && !used_up_; ++t) {
            if (left_[t] == 0) continue;
            --left_[t];
            bins_.push_back({t, {}});
            if (choose(0, types_[t].licences, types_[t].tuners)) return true;
            bins_.pop_back();
            ++left_[t];
        }
        if (!used_up_ && dead_.size() < 2'000'000) dead_.insert(std::move(state));
        return false;
    }

    // Classes of the open bin, in order of `order_`; those before `at` are decided.
    bool choose(std::size_t at, int space, int slots) {
        if (++nodes_ > budget_) used_up_ = true;
        if (used_up_) return false;
        const std::size_t t = bins_.back().type;
        if (space > 0 && slots > 0) {
            for (const auto& [c, n] : candidates(at, t, space))
                if (with(c, n, [&, c = c, n = n] { return choose(c + 1, space - n, slots - 1); })) return true;
            if (split(t, space)) return true;
            if (room_for_more(t)) return false;  // a fuller bin is never worse
        } else if (space > 0 && swap_would_fill(t, space)) {
            return false;
        }
        return from_here();
    }

    // Classes from `at` and how many of each, one of each kind, the largest first: all of a class or
    // as many as one bin may hold, or what full bins of it would leave over.
    std::vector<std::pair<std::size_t, int>> candidates(std::size_t at, std::size_t t, int space) const {
        std::vector<std::pair<std::size_t, int>> out;
        std::vector<std::size_t> seen;
        for (std::size_t c = at; c < classes_.size(); ++c) {
            if (rest_[c] == 0 || in_bin(c) || !allowed(c, t)) continue;
            if (std::any_of(seen.begin(), seen.end(), [&](std::size_t o) { return alike(o, c); })) continue;
            seen.push_back(c);
            if (whole(c) <= space) out.emplace_back(c, whole(c));
            for (int n = rest_[c] - classes_[c].most; n > 0; n -= classes_[c].most)
                if (n < whole(c) && n <= space) out.emplace_back(c, n);
        }
        std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
        return out;
    }

    bool alike(std::size_t a, std::size_t b) const {
        return rest_[a] == rest_[b] && whole_most(a) == whole_most(b) && classes_[a].types == classes_[b].types;
    }
    bool in_bin(std::size_t c) const {
        const auto& in = bins_.back().classes;
        return std::any_of(in.begin(), in.end(), [&](const auto& p) { return p.first == c; });
    }

    template <class Then>
    bool with(std::size_t c, int n, Then then) {
        rest_[c] -= n;
        bins_.back().classes.emplace_back(c, n);
        const std::size_t depth = bins_.size(), inside = bins_.back().classes.size();
        if (then()) return true;
        bins_.resize(depth);
        bins_.back().classes.resize(inside - 1);
        rest_[c] += n;
        return false;
    }

    // One class in part, so that the bin is full.
    bool split(std::size_t t, int space) {
        std::vector<std::size_t> tried;
        for (std::size_t c = 0; c < classes_.size(); ++c) {
            if (rest_[c] == 0 || in_bin(c) || !allowed(c, t) || whole(c) <= space) continue;
            if (std::any_of(tried.begin(), tried.end(), [&](std::size_t o) { return alike(o, c); })) continue;
            tried.push_back(c);
            if (with(c, space, [&] { return from_here(); })) return true;
        }
        return false;
    }

    bool room_for_more(std::size_t t) const {
        for (std::size_t c = 0; c < classes_.size(); ++c)
            if (rest_[c] > 0 && !in_bin(c) && allowed(c, t)) return true;
        return false;
    }

    // All tuners taken, licences left: a larger class outside that fits in place of one inside, and
    // may be exchanged with it wherever it is, makes a bin that is never worse.
    bool swap_would_fill(std::size_t t, int space) const {
        for (const auto& [in, n] : bins_.back().classes) {
            if (rest_[in] > 0) return false;
            for (std::size_t c = 0; c < classes_.size(); ++c)
                if (rest_[c] > n && rest_[c] <= n + space && rest_[c] <= classes_[c].most && !in_bin(c) &&
                    allowed(c, t) && classes_[in].most >= n && (classes_[c].types & ~classes_[in].types) == 0)
                    return true;
        }
        return false;
    }

    const std::vector<FillType>& types_;
    const std::vector<FillClass>& classes_;
    std::vector<int> rest_, left_;
    std::vector<std::size_t> by_licences_to_a_tuner_;  // types, the greatest ratio first
    std::vector<FilledBin> bins_;
    std::unordered_set<std::string> dead_;
    std::int64_t budget_, nodes_ = 0;
    bool used_up_ = false;
};

}  // namespace

Filling fill_exhaustively(const std::vector<FillType>& types, const std::vector<FillClass>& classes,
                          std::int64_t nodes) {
    return Search(types, classes, nodes).run();
}

}  // namespace mastline::packing
