// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/reception_counts.hpp"

#include <set>

namespace mastline::packing {

namespace {

// Sums of the largest none, one, two ...
std::vector<int> sums_of_largest(std::vector<int> values) {
    std::sort(values.rbegin(), values.rend());
    std::vector<int> out{0};
    for (const int v : values) out.push_back(out.back() + v);
    return out;
}

int most_of(const std::vector<int>& sums, int n) {
    return sums[std::min(static_cast<std::size_t>(std::max(0, n)), sums.size() - 1)];
}

// Split classes, guarded ones, all parts of which one loss takes; the loss first.
std::vector<std::pair<std::size_t, std::size_t>> lost_as_a_whole(const Reception& reception) {
    std::vector<std::pair<std::size_t, std::size_t>> out;
    if (reception.losses() == reception.bins().size()) return out;
    std::vector<std::set<std::size_t>> losses(reception.decided());
    for (const auto& bin : reception.bins())
        for (const auto c : bin.parts)
            if (c < losses.size()) losses[c].insert(bin.loss);
    for (std::size_t c = 0; c < losses.size(); ++c)
        if (losses[c].size() == 1 && reception.classes()[c].guarded > 0) out.emplace_back(*losses[c].begin(), c);
    return out;
}

}  // namespace

struct ReceptionCounts::Tally {
    int spare = 0;             // free tuners that nothing left needs
    int lonely = 0;            // guarded classes that are, or may come to be, where one loss takes all of them
    bool hopeless = false;     // too few tuners, or licences
    struct Loss {
        bool in_scope = false;
        int tuners = 0, room = 0;          // free; room: of bins with a free tuner
        int lonely = 0, guarded = 0;       // classes, and their guarded items
        int unguarded = 0;                 // items, at most
    };
    std::vector<Loss> losses;
    int tuners = 0, room = 0;
};

std::vector<std::vector<bool>> ReceptionCounts::unions(const Reception& start) {
    constexpr std::size_t most = 64;
    std::set<std::vector<bool>> out{std::vector<bool>(start.bins().size(), true)};
    for (const auto& c : start.classes()) {
        std::vector<std::vector<bool>> more{c.allowed};
        for (auto u : out) {
            for (std::size_t b = 0; b < u.size(); ++b) u[b] = u[b] || c.allowed[b];
            more.push_back(std::move(u));
        }
        if (out.size() < most) out.insert(more.begin(), more.end());
    }
    return {out.rbegin(), out.rend()};
}

ReceptionCounts::Rest ReceptionCounts::rest_of(const Reception& start, const Scope& scope, std::size_t decided) {
    Rest out;
    std::vector<int> items, unguarded;
    for (std::size_t c = decided; c < start.classes().size(); ++c) {
        if (!scope.classes[c]) continue;
        const auto& received = start.classes()[c];
        out.least_bins += received.least_bins;
        out.guarded_classes += received.guarded > 0 && received.least_bins == 1;
        items.push_back(received.items);
        unguarded.push_back(received.items - received.guarded);
    }
    out.most_items = sums_of_largest(std::move(items));
    out.most_unguarded = sums_of_largest(std::move(unguarded));
    return out;
}

ReceptionCounts::ReceptionCounts(const Reception& start) {
    for (auto& bins : unions(start)) {
        Scope scope;
        scope.bins = std::move(bins);
        scope.licences_lost.resize(start.losses());
        for (std::size_t b = 0; b < start.bins().size(); ++b) {
            if (!scope.bins[b]) continue;
            scope.licences += start.bins()[b].licences;
            scope.licences_lost[start.bins()[b].loss] += start.bins()[b].licences;
        }
        for (const auto& c : start.classes()) {
            bool inside = true;
            for (std::size_t b = 0; b < c.allowed.size(); ++b) inside = inside && (!c.allowed[b] || scope.bins[b]);
            scope.classes.push_back(inside);
            if (inside) scope.items += c.items;
        }
        for (std::size_t k = 0; k <= start.classes().size(); ++k) scope.rest.push_back(rest_of(start, scope, k));
        if (scope.items > 0) scopes_.push_back(std::move(scope));
    }
}

ReceptionCounts::Tally ReceptionCounts::tally(const Reception& reception, const Scope& scope) const {
    const auto& rest = scope.rest[reception.decided()];
    Tally out;
    out.losses.resize(reception.losses());
    int most_items = 0;
    for (std::size_t b = 0; b < reception.bins().size(); ++b) {
        if (!scope.bins[b]) continue;
        const auto& bin = reception.bins()[b];
        auto& loss = out.losses[bin.loss];
        loss.in_scope = true;
        const int free = bin.free_tuners();
        int items = most_of(rest.most_items, free), unguarded = most_of(rest.most_unguarded, free), guarded = 0, others = 0;
        for (const auto c : bin.whole) {
            const auto& received = reception.classes()[c];
            if (!scope.classes[c]) {
                others += received.items;
                continue;
            }
            items += received.items;
            unguarded += received.items - received.guarded;
            guarded += received.guarded;
            loss.lonely += received.guarded > 0;
        }
        for (const auto c : bin.parts) {
            const auto& received = reception.classes()[c];
            if (!scope.classes[c]) {
                ++others;
                continue;
            }
            items += received.items - 1;
            unguarded += std::min(received.items - 1, received.items - received.guarded);
        }
        loss.guarded += guarded;
        loss.unguarded += std::min(unguarded, bin.licences - guarded - others);
        loss.tuners += free;
        if (free > 0) loss.room += bin.room();
        most_items += std::min(items, bin.licences - others);
    }
    for (const auto& [l, c] : lost_as_a_whole(reception)) {
        if (!scope.classes[c]) continue;
        ++out.losses[l].lonely;
        out.losses[l].guarded += reception.classes()[c].guarded;
    }
    for (const auto& loss : out.losses) {
        out.tuners += loss.tuners;
        out.room += loss.room;
        out.lonely += loss.lonely;
    }
    out.lonely += rest.guarded_classes;
    out.spare = out.tuners - rest.least_bins;
    out.hopeless = out.spare < 0 || most_items < scope.items;
    return out;
}

// Each of the lonely classes that is split after all takes a tuner more.
bool ReceptionCounts::tuners_go_round(const Tally& tally) {
    for (int split = 0; split <= tally.spare; ++split) {
        const int spare = tally.spare - split;
        int most = -spare;  // a bin with a free tuner holds a class less
        for (const auto& loss : tally.losses)
            if (loss.in_scope) most += std::min(spare, loss.lonely + loss.tuners);
        if (most >= tally.lonely - split) return true;
    }
    return false;
}

bool ReceptionCounts::too_few(const Scope& scope, const Reception& reception) const {
    const auto now = tally(reception, scope);
    if (now.hopeless || !tuners_go_round(now)) return true;
    const int free_licences = scope.licences - scope.items;
    for (std::size_t l = 0; l < now.losses.size(); ++l) {
        const auto& loss = now.losses[l];
        if (!loss.in_scope) continue;
        if (loss.lonely > std::min(now.spare, now.tuners - loss.tuners)) return true;
        if (loss.guarded > 0 && loss.lonely > 0 && loss.guarded > now.room - loss.room) return true;
        if (loss.unguarded < scope.licences_lost[l] - free_licences) return true;
    }
    return false;
}

bool ReceptionCounts::rule_out(const Reception& reception) const {
    return std::any_of(scopes_.begin(), scopes_.end(), [&](const Scope& s) { return too_few(s, reception); });
}

namespace {

// A flow from split classes to the licences of their bins, by augmenting paths; one item in each part
// is there from the start.
class PartFlow {
public:
    explicit PartFlow(const Reception& reception) : reception_(reception) {
        for (const auto& bin : reception.bins()) left_.push_back(bin.room());
        bins_of_.resize(reception.classes().size());
        flow_.assign(reception.classes().size(), std::vector<int>(left_.size()));
        for (std::size_t b = 0; b < left_.size(); ++b)
            for (const auto c : reception.bins()[b].parts) bins_of_[c].push_back(b);
    }

    bool fits() {
        for (std::size_t c = 0; c < bins_of_.size(); ++c) {
            int need = bins_of_[c].empty() ? 0 : reception_.classes()[c].items - static_cast<int>(bins_of_[c].size());
            while (need > 0) {
                seen_.assign(left_.size(), false);
                const int moved = push(c, need);
                if (moved == 0) return false;
                need -= moved;
            }
        }
        return true;
    }

private:
    int push(std::size_t c, int amount) {
        for (const auto b : bins_of_[c]) {
            if (seen_[b]) continue;
            seen_[b] = true;
            if (left_[b] > 0) {
                const int n = std::min(amount, left_[b]);
                left_[b] -= n;
                flow_[c][b] += n;
                return n;
            }
            for (const auto other : reception_.bins()[b].parts) {
                if (other == c || flow_[other][b] == 0) continue;
                const int n = push(other, std::min(amount, flow_[other][b]));
                flow_[other][b] -= n;
                flow_[c][b] += n;
                if (n > 0) return n;
            }
        }
        return 0;
    }

    const Reception& reception_;
    std::vector<int> left_;
    std::vector<std::vector<std::size_t>> bins_of_;  // [class]
    std::vector<std::vector<int>> flow_;             // [class][bin]
    std::vector<bool> seen_;
};

}  // namespace

bool parts_fit(const Reception& reception) {
    const bool split = std::any_of(reception.bins().begin(), reception.bins().end(), [](const ReceivingBin& b) { return !b.parts.empty(); });
    return !split || PartFlow(reception).fits();
}

}  // namespace mastline::packing
