// SPDX-License-Identifier: Apache-2.0
#include "mastline/cause/cause.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace mastline {

namespace {

using Flows = std::set<std::size_t>;  // indices of failing flows

// Parts with the failing flows that rest on them; only parts that no passing flow rests on.
std::map<Flows, std::vector<std::string>> suspects(const std::vector<Verdict>& verdicts) {
    std::map<std::string, Flows> failing;
    std::set<std::string> cleared;
    for (std::size_t i = 0; i < verdicts.size(); ++i)
        for (const auto& part : verdicts[i].parts) {
            if (verdicts[i].outcome() == Outcome::failed) failing[part].insert(i);
            else if (verdicts[i].outcome() == Outcome::passed) cleared.insert(part);
        }
    std::map<Flows, std::vector<std::string>> out;
    for (const auto& [part, flows] : failing)
        if (!cleared.contains(part)) out[flows].push_back(part);
    return out;
}

struct Candidate {
    Flows flows;
    std::vector<std::string> parts;
};

// A part whose flows all rest on another suspect part too explains nothing beyond that one.
std::vector<Candidate> maximal(const std::map<Flows, std::vector<std::string>>& all) {
    std::vector<Candidate> out;
    for (const auto& [flows, parts] : all) {
        const bool within = std::ranges::any_of(all, [&, &flows = flows](const auto& other) {
            return other.first.size() > flows.size() && std::ranges::includes(other.first, flows);
        });
        if (!within) out.push_back({flows, parts});
    }
    std::ranges::stable_sort(out, [](const Candidate& a, const Candidate& b) {
        return a.flows.size() > b.flows.size();
    });
    return out;
}

// The smallest covers of `wanted`, tried by growing size; bounded, since a venue's faults are few.
class Covers {
public:
    Covers(const std::vector<Candidate>& candidates, const Flows& wanted)
        : candidates_(candidates), wanted_(wanted) {}

    std::vector<std::vector<std::size_t>> find() {
        for (std::size_t size = 1; size <= candidates_.size() && found_.empty(); ++size)
            extend({}, wanted_, 0, size);
        if (found_.empty() && !wanted_.empty()) found_.push_back(greedy());
        return found_;
    }

private:
    static constexpr std::size_t kMostSteps = 200'000;

    void extend(const std::vector<std::size_t>& chosen, const Flows& left, std::size_t from,
                std::size_t size) {
        if (left.empty() && chosen.size() == size && found_.size() < kMostExplanations)
            found_.push_back(chosen);
        if (chosen.size() == size || found_.size() >= kMostExplanations) return;
        for (std::size_t i = from; i < candidates_.size() && ++steps_ < kMostSteps; ++i) {
            Flows rest;
            std::ranges::set_difference(left, candidates_[i].flows, std::inserter(rest, rest.end()));
            if (rest.size() == left.size()) continue;
            auto longer = chosen;
            longer.push_back(i);
            extend(longer, rest, i + 1, size);
        }
    }

    // When there are too many to try: the part that explains most, again and again.
    std::vector<std::size_t> greedy() const {
        std::vector<std::size_t> out;
        Flows left = wanted_;
        while (!left.empty()) {
            std::size_t best = 0, gain = 0;
            for (std::size_t i = 0; i < candidates_.size(); ++i) {
                const auto here = static_cast<std::size_t>(std::ranges::count_if(
                    candidates_[i].flows, [&](std::size_t f) { return left.contains(f); }));
                if (here > gain) best = i, gain = here;
            }
            out.push_back(best);
            for (const auto f : candidates_[best].flows) left.erase(f);
        }
        return out;
    }

    const std::vector<Candidate>& candidates_;
    const Flows& wanted_;
    std::vector<std::vector<std::size_t>> found_;
    std::size_t steps_ = 0;
};

std::string channel_of(const Verdict& v) { return channel_text(v.channel, v.copy); }

Explanation in_words(const std::vector<Verdict>& verdicts, const std::vector<Candidate>& candidates,
                     const std::vector<std::size_t>& chosen, const std::vector<std::string>& unexplained) {
    Explanation out;
    out.unexplained = unexplained;
    for (const auto i : chosen) {
        CausePart part;
        part.parts = candidates[i].parts;
        for (const auto f : candidates[i].flows) part.channels.push_back(channel_of(verdicts[f]));
        out.set.push_back(std::move(part));
    }
    return out;
}

}  // namespace

std::vector<Explanation> explain(const std::vector<Verdict>& verdicts) {
    const auto candidates = maximal(suspects(verdicts));
    Flows explainable;
    for (const auto& c : candidates) explainable.insert(c.flows.begin(), c.flows.end());
    std::vector<std::string> unexplained;
    for (std::size_t i = 0; i < verdicts.size(); ++i)
        if (verdicts[i].outcome() == Outcome::failed && !explainable.contains(i))
            unexplained.push_back(channel_of(verdicts[i]));
    std::vector<Explanation> out;
    for (const auto& chosen : Covers(candidates, explainable).find())
        out.push_back(in_words(verdicts, candidates, chosen, unexplained));
    return out;
}

}  // namespace mastline
