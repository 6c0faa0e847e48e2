// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <numeric>

#include "planner/assignment/dice.hpp"
#include "planner/assignment/fill.hpp"

namespace mastline::packing {

namespace {

class Construction {
public:
    Construction(const std::vector<FillType>& types, const std::vector<FillClass>& classes, int attempt)
        : types_(types), classes_(classes), dice_(static_cast<std::uint64_t>(attempt) + 1),
          noise_(attempt == 0 ? 0 : 0.15 * (1 + attempt % 8)), scarce_first_(attempt % 2 == 1) {
        for (const auto& c : classes_) rest_.push_back(c.size), left_ += c.size, open_ += c.size > 0 ? 1 : 0;
        for (const auto& t : types_) {
            bins_left_.push_back(t.count);
            room_ += t.licences * t.count;
            tuners_ += t.tuners * t.count;
        }
    }

    Filling run() {
        Filling out;
        while (left_ > 0) {
            const auto type = next_type();
            if (type == types_.size()) return out;
            out.bins.push_back(fill(type));
        }
        out.verdict = Verdict::packed;
        return out;
    }

private:
    // Of types that as many can use: the small one, or the one with few tuners for its licences, which
    // needs its pick of the classes.
    double tie_break(const FillType& type) const {
        if (!scarce_first_) return type.licences;
        return -static_cast<double>(type.licences) / std::max(1, type.tuners);
    }

    // The type that fewest classes can use goes first: what it takes is gone from nobody else.
    std::size_t next_type() {
        std::size_t best = types_.size();
        double best_score = std::numeric_limits<double>::max();
        for (std::size_t t = 0; t < types_.size(); ++t) {
            if (bins_left_[t] == 0) continue;
            double able = 0;
            for (std::size_t c = 0; c < classes_.size(); ++c)
                if (rest_[c] > 0 && allowed(c, t)) able += 1;
            const double noise = scarce_first_ ? 0 : noise_ * dice_.roll();
            const double score = able * (1 + noise) + 0.001 * tie_break(types_[t]);
            if (score < best_score) best_score = score, best = t;
        }
        return best;
    }

    bool allowed(std::size_t c, std::size_t t) const { return ((classes_[c].types >> t) & 1U) != 0; }

    int bins_for(std::size_t c) const {
        int out = 0;
        for (std::size_t t = 0; t < types_.size(); ++t)
            if (allowed(c, t)) out += bins_left_[t];
        return out;
    }

    FilledBin fill(std::size_t type) {
        FilledBin bin{type, {}};
        const auto& of = types_[type];
        int space = of.licences, slots = of.tuners;
        // How many classes the bin should close, were all bins to share them evenly.
        const int bins_all = std::accumulate(bins_left_.begin(), bins_left_.end(), 0);
        int share = std::max(1, static_cast<int>(std::lround(static_cast<double>(open_) / bins_all)));
        std::vector<bool> taken(classes_.size());
        while (space > 0 && slots > 0 && left_ > 0) {
            const double ideal = static_cast<double>(space) / std::max(1, std::min(share, slots));
            const auto c = slots == 1 || share <= 1 ? last_class(type, space, taken)
                                                    : near_class(type, ideal, taken);
            if (c == classes_.size()) break;
            const int n = std::min({rest_[c], classes_[c].most, space});
            taken[c] = true;
            bin.classes.emplace_back(c, n);
            take(c, n);
            space -= n, --slots, --share;
        }
        --bins_left_[type];
        room_ -= of.licences;
        tuners_ -= of.tuners;
        return bin;
    }

    void take(std::size_t c, int n) {
        rest_[c] -= n;
        left_ -= n;
        if (rest_[c] == 0) --open_;
    }

    // Nearest to the ideal size; classes with few bins left are favoured.
    std::size_t near_class(std::size_t type, double ideal, const std::vector<bool>& taken) {
        std::size_t best = classes_.size();
        double best_score = std::numeric_limits<double>::max();
        for (std::size_t c = 0; c < classes_.size(); ++c) {
            if (rest_[c] == 0 || taken[c] || !allowed(c, type)) continue;
            const int size = std::min(rest_[c], classes_[c].most);
            const double score = std::abs(size - ideal) * (1 + noise_ * dice_.roll()) + urgency(c) + noise_ * dice_.roll();
            if (score < best_score) best_score = score, best = c;
        }
        return best;
    }

    double urgency(std::size_t c) const { return 0.5 * bins_for(c); }

    // The class that closes the bin: one that fits exactly, else the largest (to be split) while
    // there are tuners to spare, else the largest that fits whole.
    std::size_t last_class(std::size_t type, int space, const std::vector<bool>& taken) {
        std::size_t best = classes_.size();
        double best_score = std::numeric_limits<double>::max();
        const bool may_split = tuners_ - types_[type].tuners >= open_;
        for (std::size_t c = 0; c < classes_.size(); ++c) {
            if (rest_[c] == 0 || taken[c] || !allowed(c, type)) continue;
            const int size = std::min(rest_[c], classes_[c].most);
            double score = 0;
            if (size < space) score = 10 + (space - size);
            else if (size > space) score = (may_split ? 1 : 1000) + 1.0 / size;
            score = score * (1 + noise_ * dice_.roll()) + 0.1 * urgency(c);
            if (score < best_score) best_score = score, best = c;
        }
        return best;
    }

    const std::vector<FillType>& types_;
    const std::vector<FillClass>& classes_;
    Dice dice_;
    double noise_;
    bool scarce_first_;
    std::vector<int> rest_, bins_left_;
    int left_ = 0, open_ = 0, room_ = 0, tuners_ = 0;
};

}  // namespace

Filling fill_quickly(const std::vector<FillType>& types, const std::vector<FillClass>& classes, int tries) {
    for (int attempt = 0; attempt < tries; ++attempt) {
        auto out = Construction(types, classes, attempt).run();
        if (out.verdict == Verdict::packed) return out;
    }
    return {};
}

}  // namespace mastline::packing
