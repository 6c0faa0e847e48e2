// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/part_solver.hpp"

#include <algorithm>
#include <map>

#include "planner/assignment/anneal.hpp"
#include "planner/assignment/choices.hpp"
#include "planner/assignment/counts.hpp"
#include "planner/assignment/exact.hpp"
#include "planner/assignment/realise.hpp"

namespace mastline::packing {

namespace {

using Clock = std::chrono::steady_clock;

constexpr int kRounds = 20'000;  // of annealing

struct Answer {
    Verdict verdict = Verdict::open;
    std::vector<Homes> homes;
    Ruling ruling;
    bool searched = false;
};

bool within(const Choice& inner, const Choice& outer) {
    for (std::size_t t = 0; t < inner.size(); ++t)
        if (inner[t] > outer[t]) return false;
    return true;
}

// Choices that were searched in vain: whatever is within them is in vain as well.
class InVain {
public:
    void add(const Choice& choice) { known_.push_back(choice); }
    bool covers(const Choice& choice) const {
        return std::any_of(known_.begin(), known_.end(), [&](const Choice& k) { return within(choice, k); });
    }

private:
    std::vector<Choice> known_;
};

// Choices of bins from the cheapest, each ruled out or packed.
class PartSolver {
public:
    PartSolver(const Model& model, const Outline& outline, const Effort& effort, Clock::time_point end)
        : model_(model), outline_(outline), counts_(outline), effort_(effort), end_(end) {}

    std::pair<Part, std::vector<Homes>> run() {
        const auto listed = list();
        Part part;
        std::optional<std::int64_t> first_open;
        for (std::size_t from = 0; from < listed.in_order.size() && !part.complete;) {
            const auto cost = listed.in_order[from].cost;
            std::size_t to = from;
            while (to < listed.in_order.size() && listed.in_order[to].cost == cost) ++to;
            if (seconds_left() <= 0 && to < listed.in_order.size()) {
                if (!first_open) first_open = cost;
                settle_for_more(part, listed, from);
                break;
            }
            if (!try_level(part, listed, from, to) && !first_open) first_open = cost;
            from = to;
        }
        part.choices_ruled_out += listed.too_small;
        settle(part, listed, first_open);
        return {std::move(part), std::move(homes_)};
    }

private:
    // All choices; where they are too many, one for each kind that the counts tell apart.
    Choices list() {
        auto all = choices_of(outline_);
        if (all.all) return all;
        auto some = choices_of(counts_.outline());
        if (!some.all) return all;
        one_for_many_ = true;
        for (auto& [choice, cost] : some.in_order) choice = counts_.parted(choice);
        return some;
    }

    // Choices of one cost: all of them quickly first, then thoroughly what that leaves open. False:
    // something is open still.
    bool try_level(Part& part, const Choices& listed, std::size_t from, std::size_t to) {
        std::vector<std::size_t> open;
        for (std::size_t k = from; k < to && !part.complete; ++k) {
            auto answer = to - from > 1 ? glance(listed.in_order[k].choice) : Answer{};
            if (answer.verdict == Verdict::open) open.push_back(k);
            else conclude(part, listed.in_order[k], answer);
        }
        bool settled = true;
        for (std::size_t at = 0; at < open.size() && !part.complete; ++at) {
            auto answer = try_choice(listed.in_order[open[at]].choice);
            settled = settled && answer.verdict != Verdict::open;
            conclude(part, listed.in_order[open[at]], answer);
        }
        return settled || part.complete;
    }

    void conclude(Part& part, const CostedChoice& costed, Answer& answer) {
        if (answer.verdict == Verdict::packed) take(part, costed.choice, costed.cost, std::move(answer.homes));
        else note(part, answer);
    }

    void take(Part& part, const Choice& choice, std::int64_t cost, std::vector<Homes> homes) {
        part.used = bins_of(outline_, choice);
        part.cost = cost;
        part.complete = true;
        homes_ = std::move(homes);
    }

    // Out of time: a plan all the same, from the roomiest choice down as long as it is quick.
    void settle_for_more(Part& part, const Choices& listed, std::size_t from) {
        int failures = 0;
        for (std::size_t k = listed.in_order.size(); k-- > from && failures < 8;) {
            const auto& [choice, cost] = listed.in_order[k];
            if (part.complete && cost >= part.cost) continue;
            if (rule_out(model_, outline_, choice).reason != Reason::none) continue;
            auto answer = try_quickly(choice);
            if (answer.verdict == Verdict::packed) take(part, choice, cost, std::move(answer.homes));
            else ++failures;
        }
    }

    void note(Part& part, Answer& answer) {
        if (answer.verdict == Verdict::impossible) ++part.choices_ruled_out;
        if (answer.searched) ++part.searched;
        if (answer.ruling.reason != Reason::none) part.ruling = std::move(answer.ruling);
    }

    void settle(Part& part, const Choices& choices, std::optional<std::int64_t> first_open) {
        if (!part.complete) {
            part.proven = choices.all && !first_open;
            if (part.ruling.reason == Reason::none) part.ruling = rule_out(model_, outline_, everything());
            return;
        }
        part.lower_bound = choices.all ? std::min(part.cost, first_open.value_or(part.cost)) : least_cost(outline_);
        part.proven = part.lower_bound >= part.cost;
        count_ruling(part, choices);
    }

    Choice everything() const {
        Choice out;
        for (const auto& type : outline_.types) out.push_back(type.count);
        return out;
    }

    // Where the roomiest of the cheaper choices fails by count, that says all.
    void count_ruling(Part& part, const Choices& choices) const {
        Room most;
        bool cheaper = false;
        for (const auto& [cost, room] : choices.most) {
            if (cost >= part.cost) break;
            cheaper = true;
            most.licences = std::max(most.licences, room.licences);
            most.tuners = std::max(most.tuners, room.tuners);
        }
        std::int64_t licences = 0, tuners = 0;
        for (const auto& c : counts_.classes()) licences += c.size, tuners += c.size > 0 ? 1 : 0;
        if (!cheaper) part.ruling = {};
        else if (most.licences < licences) part.ruling = {Reason::licences, licences, most.licences, {}, {}};
        else if (most.tuners < tuners) part.ruling = {Reason::tuners, tuners, most.tuners, {}, {}};
    }

    double seconds_left() const {
        return std::max(0.0, std::chrono::duration<double>(end_ - Clock::now()).count());
    }

    Answer accept(const Filling& filling, const Choice& choice) const {
        if (filling.verdict != Verdict::packed) return {};
        return accept(realise(model_, outline_, counts_.refine(filling, choice)), bins_of(outline_, choice));
    }

    Answer accept(const Placement& placement, const std::vector<std::size_t>& used) const {
        if (!placement.complete() || (model_.reserve && !reserve_holds(placement, used))) return {};
        return {Verdict::packed, placement.homes(), {}, false};
    }

    // From the filling, or from nothing.
    Answer try_annealing(const Filling& filling, const Choice& choice, int rounds) const {
        const auto used = bins_of(outline_, choice);
        Placement placement(model_);
        if (filling.verdict == Verdict::packed) placement = realise(model_, outline_, counts_.refine(filling, choice));
        else place_rest(placement, used);
        if (!anneal(placement, used, rounds)) return {};
        return accept(placement, used);
    }

    bool reserve_wanted() const {
        return model_.reserve && std::any_of(model_.items.begin(), model_.items.end(), [](const Item& i) { return i.is_protected; });
    }

    Answer try_quickly(const Choice& choice) const {
        auto answer = accept(fill_quickly(counts_.types(counts_.merged(choice)), counts_.classes(), 60), choice);
        if (answer.verdict == Verdict::packed || !reserve_wanted()) return answer;
        return try_with_reserve(choice);
    }

    // Room for a loss: one bin idle, or a little room in each.
    Answer try_with_reserve(const Choice& choice) const {
        const auto types = counts_.types(counts_.merged(choice));
        for (std::size_t t = 0; t < types.size(); ++t) {
            auto fewer = types;
            if (--fewer[t].count < 0) continue;
            auto answer = accept(fill_quickly(fewer, counts_.classes(), 10), choice);
            if (answer.verdict == Verdict::packed) return answer;
        }
        for (int tuners = 0; tuners < 4; ++tuners)
            for (int licences = 1; licences < 64; licences += 1 + licences / 8) {
                const auto filling = fill_quickly(roomier(types, licences, tuners), counts_.classes(), 6);
                if (filling.verdict != Verdict::packed) break;
                auto answer = accept(filling, choice);
                if (answer.verdict == Verdict::packed) return answer;
            }
        return {};
    }

    static std::vector<FillType> roomier(std::vector<FillType> types, int spare_licences, int spare_tuners) {
        for (auto& type : types) {
            type.licences = std::max(0, type.licences - spare_licences);
            type.tuners = std::max(0, type.tuners - spare_tuners);
        }
        return types;
    }

    Answer in_vain(const Choice& choice) const {
        return {Verdict::impossible, {}, {Reason::search, 0, 0, {}, bins_of(outline_, choice)}, true};
    }

    Answer undecided(const Choice& choice) const {
        return {Verdict::open, {}, {Reason::open, 0, 0, {}, bins_of(outline_, choice)}, false};
    }

    // By count, or by a quick construction; open without a ruling where neither says anything.
    Answer glance(const Choice& choice) {
        auto answer = ruled_out(choice);
        if (answer.verdict == Verdict::impossible || answer.ruling.reason != Reason::none) return answer;
        if (impossible_.covers(choice) || full_.covers(counts_.merged(choice))) return in_vain(choice);
        if (seconds_left() <= 0) return {};
        answer = try_quickly(choice);
        return answer.verdict == Verdict::packed ? answer : try_annealing({}, choice, kRounds / 10);
    }

    Answer ruled_out(const Choice& choice) const {
        if (one_for_many_) {
            auto answer = try_counts(choice);
            if (answer.verdict == Verdict::impossible) return answer;
        }
        auto ruling = rule_out(model_, outline_, choice);
        if (ruling.reason == Reason::none) return {};
        return {one_for_many_ ? Verdict::open : Verdict::impossible, {}, std::move(ruling), false};
    }

    Answer try_choice(const Choice& choice) {
        auto answer = ruled_out(choice);
        if (answer.ruling.reason != Reason::none) return answer;
        if (impossible_.covers(choice)) return in_vain(choice);
        if (seconds_left() <= 0) return undecided(choice);
        answer = try_quickly(choice);
        if (answer.verdict == Verdict::packed) return answer;
        const auto filling = fill(counts_.merged(choice));
        if (filling.verdict == Verdict::impossible) return in_vain(choice);
        answer = accept(filling, choice);
        if (answer.verdict != Verdict::packed) answer = try_annealing(filling, choice, kRounds);
        if (answer.verdict != Verdict::packed) answer = arbitrate(bins_of(outline_, choice));
        if (answer.verdict == Verdict::impossible && !one_for_many_) impossible_.add(choice);
        return answer;
    }

    // What holds for every choice that the counts do not tell from this one.
    Answer try_counts(const Choice& choice) const {
        Model bare = model_;
        bare.limits.clear();
        bare.reserve = false;
        auto ruling = rule_out(bare, outline_, choice);
        if (ruling.reason == Reason::none) return {};
        return {Verdict::impossible, {}, std::move(ruling), false};
    }

    const Filling& fill(const Choice& merged) {
        if (const auto at = fillings_.find(merged); at != fillings_.end()) return at->second;
        auto& out = fillings_[merged];
        if (full_.covers(merged)) {
            out.verdict = Verdict::impossible;
            return out;
        }
        if (seconds_left() > 0) out = fill_exhaustively(counts_.types(merged), counts_.classes(), effort_.nodes);
        if (out.verdict == Verdict::impossible) full_.add(merged);
        return out;
    }

    Answer arbitrate(const std::vector<std::size_t>& bins) const {
        const double seconds = std::min(seconds_left(), effort_.seconds / 2);
        if (seconds < 0.01) return {Verdict::open, {}, {Reason::open, 0, 0, {}, bins}, true};
        auto packing = pack_exactly(model_, bins, seconds);
        const auto reason = packing.verdict == Verdict::impossible ? Reason::search
                            : packing.verdict == Verdict::open     ? Reason::open
                                                                   : Reason::none;
        if (one_for_many_ && packing.verdict == Verdict::impossible) packing.verdict = Verdict::open;
        return {packing.verdict, std::move(packing.homes), {reason, 0, 0, {}, bins}, true};
    }

    const Model& model_;
    const Outline& outline_;
    Counts counts_;
    Effort effort_;
    Clock::time_point end_;
    bool one_for_many_ = false;  // a choice stands for all that the counts do not tell from it
    std::map<Choice, Filling> fillings_;
    InVain full_, impossible_;  // by merged and by plain choice
    std::vector<Homes> homes_;
};

}  // namespace

std::pair<Part, std::vector<Homes>> cheapest(const Model& model, const Outline& outline, const Effort& effort,
                                             Clock::time_point end) {
    return PartSolver(model, outline, effort, end).run();
}

}  // namespace mastline::packing
