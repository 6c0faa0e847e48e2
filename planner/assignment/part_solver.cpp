// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/part_solver.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "planner/assignment/anneal.hpp"
#include "planner/assignment/choices.hpp"
#include "planner/assignment/counts.hpp"
#include "planner/assignment/least_program.hpp"
#include "planner/assignment/mend.hpp"
#include "planner/assignment/realise.hpp"
#include "planner/assignment/receive_exhaustively.hpp"

namespace mastline::packing {

namespace {

constexpr int kRounds = 20'000;  // of annealing
constexpr std::int64_t kStepsToANode = 30;  // of a search with the reserve, which is quick where counts rule out
constexpr double kMendingRounds = 300'000;  // of the first attempt

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

// Choices of one cost that nothing has ruled out yet.
struct OpenLevel {
    std::int64_t cost = 0;
    std::vector<std::size_t> choices;  // of those listed
};

// Choices of bins from the cheapest: quick constructions until there is a plan; what is cheaper and
// still open is searched, asked of an integer program, mended, and asked and mended again for what time
// is left.
class PartSolver {
public:
    PartSolver(const Model& model, const Outline& outline, const Effort& effort, WorkClock::time_point end)
        : model_(model), outline_(outline), counts_(outline), effort_(effort), end_(end), listed_(list()) {}

    std::pair<Part, std::vector<Homes>> run() {
        part_.choices_ruled_out = listed_.too_small;
        look();
        for (const double share : {0.03, 0.5}) {
            for_open_levels(share, [&](const Choice& choice) { return search(choice); });
            search_open_levels_with_reserve(0.02);
            mend_open_level(0.04);
        }
        ask_program(0.25);
        for_open_levels(0.2, [&](const Choice& choice) { return search_longer(choice); });
        mend_open_level(0.15);
        search_open_levels_with_reserve(0.4);
        ask_program(0.8);
        mend_open_level(1);
        settle();
        return {std::move(part_), std::move(homes_)};
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

    // From the cheapest up to the first that quick means can fill; what they leave open is kept.
    void look() {
        const auto& in_order = listed_.in_order;
        const auto trying_until = WorkClock::in(0.3 * seconds_left()), counting_until = WorkClock::in(0.5 * seconds_left());
        for (std::size_t from = 0; from < in_order.size() && !part_.complete;) {
            OpenLevel level{in_order[from].cost, {}};
            std::size_t k = from;
            for (; k < in_order.size() && in_order[k].cost == level.cost && !part_.complete; ++k) {
                Answer answer;
                if (WorkClock::seconds_to(trying_until) > 0) answer = glance(in_order[k].choice);
                else if (WorkClock::seconds_to(counting_until) > 0) answer = ruled_out(in_order[k].choice);
                if (answer.verdict == Verdict::open) level.choices.push_back(k);
                conclude(in_order[k], answer);
            }
            if (!level.choices.empty() && !(part_.complete && part_.cost == level.cost)) open_.push_back(std::move(level));
            from = k;
        }
        if (!part_.complete) settle_for_more();
        drop_dear_levels();
    }

    // Out of time: a plan all the same, from the roomiest choice down as long as it is quick.
    void settle_for_more() {
        int failures = 0;
        for (std::size_t k = listed_.in_order.size(); k-- > 0 && failures < 8 && seconds_left() > 0;) {
            const auto& [choice, cost] = listed_.in_order[k];
            if (part_.complete && cost >= part_.cost) continue;
            if (ruled_out(choice).verdict == Verdict::impossible) continue;
            auto answer = try_quickly(choice);
            if (answer.verdict == Verdict::packed) conclude(listed_.in_order[k], answer);
            else ++failures;
        }
    }

    void drop_dear_levels() {
        std::erase_if(open_, [&](const OpenLevel& l) { return l.choices.empty() || (part_.complete && l.cost >= part_.cost); });
    }

    // The open choices from the cheapest, by one more means, in a share of the time that is left.
    template <class Try>
    void for_open_levels(double share, Try&& try_choice) {
        const auto until = WorkClock::in(share * seconds_left());
        for (auto& level : open_) {
            std::vector<std::size_t> still_open;
            for (std::size_t at = 0; at < level.choices.size(); ++at) {
                const auto k = level.choices[at];
                if (WorkClock::seconds_to(until) <= 0) {
                    still_open.push_back(k);
                    continue;
                }
                auto answer = try_choice(listed_.in_order[k].choice);
                if (answer.verdict == Verdict::open) still_open.push_back(k);
                conclude(listed_.in_order[k], answer);
                if (part_.complete && part_.cost == level.cost) break;
            }
            level.choices = std::move(still_open);
            if (part_.complete && part_.cost == level.cost) break;
        }
        drop_dear_levels();
    }

    // Of the dearest open cost: bins change places while items do, from one choice after the other.
    void mend_open_level(double share) {
        const auto until = WorkClock::in(share * seconds_left());
        Model rules = model_;
        rules.reserve = false;  // the refuges prove it; the rules search anew, and not for long
        for (std::size_t attempt = 0; !is_proven() && !open_.empty() && WorkClock::seconds_to(until) > 0; ++attempt) {
            const auto& choices = open_.back().choices;
            const auto& choice = listed_.in_order[choices[attempt % choices.size()]].choice;
            const auto rounds = std::llround(kMendingRounds * std::pow(1.3, static_cast<double>(attempt)));
            auto mended = mend(model_, bins_of(outline_, choice), rounds, until);
            if (mended && broken_rules(rules, mended->homes, mended->used).empty()) take(std::move(mended->homes), std::move(mended->used));
        }
    }

    void take(std::vector<Homes> homes, std::vector<std::size_t> used) {
        part_.used = std::move(used);
        part_.cost = 0;
        for (const auto b : part_.used) part_.cost += model_.bins[b].cost;
        part_.complete = true;
        homes_ = std::move(homes);
        drop_dear_levels();
    }

    // No plan costs less, as far as is known.
    std::int64_t lower_bound() const {
        if (!listed_.all) return std::max(asked_bound_, least_cost(outline_));
        if (!open_.empty()) return std::max(asked_bound_, open_.front().cost);
        return part_.complete ? part_.cost : std::max(asked_bound_, dearest() + 1);
    }

    bool is_proven() const {
        return asked_in_vain_ || (listed_.all && open_.empty()) || (part_.complete && lower_bound() >= part_.cost);
    }

    std::int64_t dearest() const {
        std::int64_t out = 0;
        for (const auto& bin : model_.bins) out += bin.cost;
        return out;
    }

    void ask_program(double share) {
        if (is_proven()) return;
        auto found = cheapest_by_program(model_, lower_bound(), part_.complete ? part_.cost - 1 : dearest(), share * seconds_left());
        asked_bound_ = std::max(asked_bound_, found.lower_bound);
        asked_in_vain_ = found.verdict != Verdict::open;
        if (found.homes.empty()) return;
        take(std::move(found.homes), std::move(found.used));
    }

    void conclude(const CostedChoice& costed, Answer& answer) {
        if (answer.verdict == Verdict::packed) {
            part_.used = bins_of(outline_, costed.choice);
            part_.cost = costed.cost;
            part_.complete = true;
            homes_ = std::move(answer.homes);
        } else if (answer.verdict == Verdict::impossible) {
            ++part_.choices_ruled_out;
            part_.searched += answer.searched;
            part_.ruling = std::move(answer.ruling);
        }
    }

    void settle() {
        part_.proven = is_proven();
        part_.by_program = part_.proven && asked_in_vain_;
        if (!part_.complete) {
            part_.ruling = rule_out(model_, outline_, everything());
            if (part_.ruling.reason == Reason::none) part_.ruling.reason = part_.proven ? Reason::search : Reason::open;
            return;
        }
        part_.lower_bound = part_.proven ? part_.cost : std::min(part_.cost, lower_bound());
        count_ruling();
    }

    Choice everything() const {
        Choice out;
        for (const auto& type : outline_.types) out.push_back(type.count);
        return out;
    }

    // Where the roomiest of the cheaper choices fails by count, that says all.
    void count_ruling() {
        Room most;
        bool cheaper = false;
        for (const auto& [cost, room] : listed_.most) {
            if (cost >= part_.cost) break;
            cheaper = true;
            most.licences = std::max(most.licences, room.licences);
            most.tuners = std::max(most.tuners, room.tuners);
        }
        std::int64_t licences = 0, tuners = 0;
        for (const auto& c : counts_.classes()) licences += c.size, tuners += c.size > 0 ? 1 : 0;
        if (!cheaper) part_.ruling = {};
        else if (most.licences < licences) part_.ruling = {Reason::licences, licences, most.licences, {}, {}};
        else if (most.tuners < tuners) part_.ruling = {Reason::tuners, tuners, most.tuners, {}, {}};
    }

    double seconds_left() const {
        return std::max(0.0, WorkClock::seconds_to(end_));
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

    // By count, or by a quick construction; open without a ruling where neither says anything.
    Answer glance(const Choice& choice) {
        auto answer = ruled_out(choice);
        if (answer.verdict == Verdict::impossible || answer.ruling.reason != Reason::none) return answer;
        if (full_.covers(counts_.merged(choice))) return in_vain(choice);
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

    // Every way to fill by count; a filling that keeps the other rules too is a plan.
    Answer search(const Choice& choice) {
        const auto& filling = fill(counts_.merged(choice));
        if (filling.verdict == Verdict::impossible) return in_vain(choice);
        return accept(filling, choice);
    }

    void search_open_levels_with_reserve(double share) {
        if (is_proven() || !reserve_wanted()) return;
        const auto until = WorkClock::in(share * seconds_left());
        for_open_levels(share, [&](const Choice& choice) { return search_with_reserve(choice, until); });
    }

    // Every way to receive the classes, the reserve included: by the counts alone, and then by all rules.
    Answer search_with_reserve(const Choice& choice, WorkClock::time_point until) {
        const auto used = bins_of(outline_, choice);
        if (!can_be_received_exhaustively(model_, used)) return {};
        const auto losses = by_loss(choice);
        const auto steps = kStepsToANode * effort_.nodes;
        if (lost_in_vain_.contains(losses)) return in_vain(choice);
        if (receive_exhaustively(counts_alone(model_), used, steps, until).verdict == Verdict::impossible) {
            lost_in_vain_.insert(losses);
            return in_vain(choice);
        }
        auto found = receive_exhaustively(model_, used, steps, until);
        if (found.verdict == Verdict::impossible) return in_vain(choice);
        Model rules = model_;
        rules.reserve = false;  // the program proves it; the rules search anew, and not for long
        if (found.homes.empty() || !broken_rules(rules, found.homes, used).empty()) return {};
        return {Verdict::packed, std::move(found.homes), {}, true};
    }

    // What each loss takes of a choice, by the types that the counts tell apart: all that they and the reserve see.
    std::vector<Choice> by_loss(const Choice& choice) const {
        std::map<std::size_t, Choice> lost;
        for (std::size_t t = 0; t < choice.size(); ++t)
            for (int k = 0; k < choice[t]; ++k) {
                auto& of = lost[model_.bins[outline_.bins[t][static_cast<std::size_t>(k)]].loss_group];
                of.resize(counts_.outline().types.size());
                ++of[counts_.merged_type(t)];
            }
        std::vector<Choice> out;
        for (auto& [loss, bins] : lost) out.push_back(std::move(bins));
        std::sort(out.begin(), out.end());
        return out;
    }

    Answer search_longer(const Choice& choice) { return try_annealing(fill(counts_.merged(choice)), choice, kRounds); }

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

    const Model& model_;
    const Outline& outline_;
    Counts counts_;
    Effort effort_;
    WorkClock::time_point end_;
    bool one_for_many_ = false;  // a choice stands for all that the counts do not tell from it
    Choices listed_;
    std::vector<OpenLevel> open_;  // cheaper than the plan, if there is one
    std::map<Choice, Filling> fillings_;
    InVain full_;  // merged choices
    std::set<std::vector<Choice>> lost_in_vain_;  // by loss
    std::int64_t asked_bound_ = 0;  // by the integer program
    bool asked_in_vain_ = false;    // which settled it
    Part part_;
    std::vector<Homes> homes_;
};

}  // namespace

std::pair<Part, std::vector<Homes>> cheapest(const Model& model, const Outline& outline, const Effort& effort,
                                             WorkClock::time_point end) {
    return PartSolver(model, outline, effort, end).run();
}

}  // namespace mastline::packing
