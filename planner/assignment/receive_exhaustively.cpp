// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/receive_exhaustively.hpp"

#include <unordered_set>

#include "planner/assignment/reception_counts.hpp"

namespace mastline::packing {

namespace {

constexpr std::int64_t kStepsOfProgram = 30;

bool counts_say_all(const Model& model) {
    return model.apart.empty() &&
           std::none_of(model.bins.begin(), model.bins.end(), [](const Bin& b) { return b.rate_limit.has_value(); }) &&
           std::all_of(model.limits.begin(), model.limits.end(), [](const Limit& l) { return l.kind == Limit::Kind::bins; }) &&
           std::none_of(model.items.begin(), model.items.end(), [](const Item& i) { return i.genre || i.pinned[0]; });
}

class Search {
public:
    Search(const Model& model, const std::vector<std::size_t>& bins, std::int64_t steps, WorkClock::time_point until)
        : model_(model), bins_(bins), reception_(model, bins, counts_say_all(model)), counts_(reception_), steps_(steps), until_(until) {}

    Packing run() {
        const bool found = from_here();
        if (found) return std::move(packing_);
        return {open_ || stopped_ ? Verdict::open : Verdict::impossible, {}, {}, 0};
    }

private:
    bool from_here() {
        if (stopped(1) || counts_.rule_out(reception_) || !parts_fit(reception_)) return false;
        auto state = reception_.state();
        if (in_vain_.contains(state)) return false;
        const auto c = reception_.decided();
        const bool found = c == reception_.classes().size() ? judge() : in_one_bin(c) || in_several(c, 0, 0);
        if (!found && !stopped_) in_vain_.insert(std::move(state));
        return found;
    }

    bool stopped(std::int64_t steps) {
        steps_ -= steps;
        const bool looks_at_clock = steps > 1 || steps_ % 64 == 0;
        if (steps_ < 0 || (looks_at_clock && WorkClock::seconds_to(until_) <= 0)) stopped_ = true;
        return stopped_;
    }

    bool decide_the_next() {
        reception_.decide(true);
        const bool found = from_here();
        reception_.decide(false);
        return found;
    }

    bool in_one_bin(std::size_t c) {
        std::unordered_set<std::string> tried;
        for (std::size_t b = 0; b < bins_.size() && !stopped_; ++b) {
            if (!reception_.takes_whole(c, b) || !tried.insert(reception_.likeness(b)).second) continue;
            reception_.put_whole(c, b);
            const bool found = decide_the_next();
            reception_.take_whole(c, b);
            if (found) return true;
        }
        return false;
    }

    // So many parts of the class are in bins before `from`; more may go into the others. Of bins that are alike
    // the first goes first: whatever has the second without the first is alike to what was tried with the first.
    bool in_several(std::size_t c, std::size_t from, int parts) {
        if (parts > 1 && decide_the_next()) return true;
        if (parts == reception_.classes()[c].items) return false;
        std::unordered_set<std::string> tried;
        for (std::size_t b = from; b < bins_.size() && !stopped_; ++b) {
            if (!reception_.takes_part(c, b) || !tried.insert(reception_.likeness(b)).second) continue;
            reception_.put_part(c, b);
            const bool found = in_several(c, b + 1, parts + 1);
            reception_.take_part(b);
            if (found) return true;
        }
        return false;
    }

    // How many of each class go where, and where to after each loss.
    bool judge() {
        if (stopped(kStepsOfProgram)) return false;
        packing_ = pack_received(model_, bins_, reception_.received(), std::max(0.1, WorkClock::seconds_to(until_)));
        packing_.used = bins_;
        if (packing_.verdict == Verdict::open) open_ = true;
        return packing_.verdict == Verdict::packed;
    }

    const Model& model_;
    const std::vector<std::size_t>& bins_;
    Reception reception_;
    ReceptionCounts counts_;
    std::int64_t steps_;
    WorkClock::time_point until_;
    std::unordered_set<std::string> in_vain_;  // states
    Packing packing_;
    bool open_ = false, stopped_ = false;
};

}  // namespace

bool can_be_received_exhaustively(const Model& model, const std::vector<std::size_t>& bins) {
    return model.reserve && bins.size() <= 64 &&
           std::all_of(model.items.begin(), model.items.end(), [](const Item& i) { return i.copies == 1; });
}

Model counts_alone(const Model& model) {
    Model out = model;
    out.limits.clear();
    out.apart.clear();
    for (auto& bin : out.bins) bin.rate_limit.reset();
    for (auto& item : out.items) {
        item.genre.reset();
        item.pinned = {};
    }
    return out;
}

Packing receive_exhaustively(const Model& model, const std::vector<std::size_t>& bins, std::int64_t steps,
                             WorkClock::time_point until) {
    return Search(model, bins, steps, until).run();
}

}  // namespace mastline::packing
