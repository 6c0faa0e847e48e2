// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "planner/assignment/realise.hpp"

namespace mastline::packing {

namespace {

struct Copy {
    std::size_t item, copy;
};

class Improvement {
public:
    Improvement(Placement& placement, const std::vector<std::size_t>& used, bool keep)
        : placement_(placement), used_(used), keep_(keep) {}

    void run() {
        for (int round = 0; round < 20 && join_one(); ++round) {
        }
        for (int round = 0; round < 200 && even_one(); ++round) {
        }
    }

private:
    bool may_move(Copy c) const {
        const auto& item = placement_.model().items[c.item];
        return !(keep_ && item.previous[c.copy] && placement_.homes()[c.item][c.copy] == item.previous[c.copy]);
    }

    std::vector<Copy> piece(std::size_t bin, std::size_t item_class) const {
        std::vector<Copy> out;
        for (std::size_t i = 0; i < placement_.homes().size(); ++i)
            for (std::size_t k = 0; k < 2; ++k)
                if (placement_.homes()[i][k] == bin && placement_.model().items[i].item_class == item_class)
                    out.push_back({i, k});
        return out;
    }

    // All copies from one bin to another, or none of them.
    bool shift(const std::vector<Copy>& copies, std::size_t from, std::size_t to) {
        std::size_t done = 0;
        for (const auto& c : copies) {
            if (!may_move(c)) break;
            placement_.take(c.item, c.copy);
            if (!placement_.fits(c.item, c.copy, to)) {
                placement_.put(c.item, c.copy, from);
                break;
            }
            placement_.put(c.item, c.copy, to);
            ++done;
        }
        if (done == copies.size()) return true;
        while (done > 0) {
            const auto& c = copies[--done];
            placement_.take(c.item, c.copy);
            placement_.put(c.item, c.copy, from);
        }
        return false;
    }

    bool sound() const { return !placement_.model().reserve || reserve_holds(placement_, used_); }

    // A class in two bins becomes one in one bin.
    bool join_one() {
        for (std::size_t c = 0; c < placement_.model().allowed.size(); ++c)
            for (const auto from : used_)
                for (const auto to : used_) {
                    if (from == to || placement_.of_class(from, c) == 0 || placement_.of_class(to, c) == 0) continue;
                    const auto copies = piece(from, c);
                    if (!shift(copies, from, to)) continue;
                    if (sound()) return true;
                    shift(copies, to, from);
                }
        return false;
    }

    // From the bin that sends most to one that sends less, a class whole or single items of one that
    // is in both.
    bool even_one() {
        std::vector<std::size_t> order = used_;
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return placement_.rate_in(a) > placement_.rate_in(b);
        });
        for (const auto from : order)
            for (auto to = order.rbegin(); to != order.rend() && *to != from; ++to)
                if (even_pair(from, *to)) return true;
        return false;
    }

    bool even_pair(std::size_t from, std::size_t to) {
        const auto gap = placement_.rate_in(from) - placement_.rate_in(to);
        for (std::size_t c = 0; c < placement_.model().allowed.size(); ++c) {
            if (placement_.of_class(from, c) == 0) continue;
            auto copies = piece(from, c);
            if (placement_.of_class(to, c) > 0) {
                for (const auto& single : copies)
                    if (eases({single}, gap) && kept({single}, from, to)) return true;
            } else if (eases(copies, gap) && kept(copies, from, to)) {
                return true;
            }
        }
        return false;
    }

    bool eases(const std::vector<Copy>& copies, std::int64_t gap) const {
        std::int64_t rate = 0;
        for (const auto& c : copies) rate += placement_.model().items[c.item].rate[0];
        return rate > 0 && rate < gap;
    }

    // A bin that is used stays in use: it was counted.
    bool kept(const std::vector<Copy>& copies, std::size_t from, std::size_t to) {
        if (static_cast<int>(copies.size()) == placement_.in_bin(from)) return false;
        const int pairs = placement_.pairs();
        if (!shift(copies, from, to)) return false;
        if (placement_.pairs() <= pairs && sound()) return true;
        shift(copies, to, from);
        return false;
    }

    Placement& placement_;
    const std::vector<std::size_t>& used_;
    bool keep_;
};

}  // namespace

void improve(Placement& placement, const std::vector<std::size_t>& used, bool keep) {
    Improvement(placement, used, keep).run();
}

}  // namespace mastline::packing
