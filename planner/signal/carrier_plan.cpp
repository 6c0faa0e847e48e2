// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/carrier_plan.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "mastline/venue/modulation.hpp"

namespace mastline {

namespace {

constexpr double kExtrapolationSlack = 1.05;  // band edges a little outside a table are no news

void judge_pair(const Venue& venue, std::size_t a, std::size_t b, const PortRef& port,
                Findings& findings) {
    const auto &x = venue.carriers[a], &y = venue.carriers[b];
    const auto apart = x.frequency > y.frequency ? x.frequency - y.frequency : y.frequency - x.frequency;
    const auto half_sum = [&](auto width) {
        const auto wx = width(x), wy = width(y);
        return wx && wy ? Frequency((wx->hertz() + wy->hertz()) / 2) : Frequency{};
    };
    const auto symbols = half_sum(noise_bandwidth), occupied = half_sum(occupied_bandwidth);
    const bool same = apart == Frequency{};
    if (!same && apart >= occupied) return;
    const bool error = same || apart < symbols;
    findings.push_back({error ? Severity::error : Severity::warning, "carrier.overlap",
                        "carriers " + x.name + " and " + y.name,
                        "are " + to_text(apart) + " apart on one conductor at " + to_text(port) +
                            " and need " + to_text(std::max(occupied, symbols)),
                        to_text((error && !same ? symbols : occupied) - apart),
                        "correct a frequency, or keep their lanes apart", y.place});
}

}  // namespace

void judge_overlaps(const Chain& chain, const Levels& levels, Findings& findings) {
    std::map<std::pair<std::size_t, int>, std::vector<std::size_t>> on_conductor;
    for (std::size_t v = 0; v < chain.visits().size(); ++v) {
        const auto& visit = chain.visits()[v];
        if (chain.ports()[visit.port].port.carries_all || chain.behind_single_cable(v)) continue;
        auto& list = on_conductor[{visit.port, visit.conductor}];
        const auto& carriers = levels.carriers(visit);
        list.insert(list.end(), carriers.begin(), carriers.end());
    }
    std::set<std::pair<std::size_t, std::size_t>> judged;
    for (auto& [key, list] : on_conductor) {
        std::sort(list.begin(), list.end());
        for (std::size_t i = 0; i < list.size(); ++i)
            for (std::size_t j = i + 1; j < list.size(); ++j)
                if (list[i] != list[j] && judged.emplace(list[i], list[j]).second)
                    judge_pair(chain.venue(), list[i], list[j], chain.ports()[key.first].ref, findings);
    }
}

void judge_capacity(const Venue& venue, Findings& findings) {
    for (const auto& carrier : venue.carriers) {
        if (!carrier.transport_rate) continue;
        BitRate sum;
        for (const auto& service : venue.services)
            if (service.carrier == carrier.name) sum += service.programme.rate;
        if (sum <= *carrier.transport_rate) continue;
        findings.push_back({Severity::error, "carrier.overfull", "carrier " + carrier.name,
                            "its services need " + to_text(sum) + " and it holds " +
                                to_text(*carrier.transport_rate),
                            to_text(sum - *carrier.transport_rate),
                            "correct the rates of its services or its modulation", carrier.place});
    }
}

void judge_slope(const Venue& venue, const std::vector<PortLevel>& levels, Findings& findings) {
    for (const auto& level : levels) {
        const auto card = std::find_if(venue.cards.begin(), venue.cards.end(),
                                       [&](const Card& c) { return c.name == level.port.device; });
        if (card == venue.cards.end()) continue;
        const auto model = std::find_if(venue.card_models.begin(), venue.card_models.end(),
                                        [&](const CardModel& m) { return m.name == card->model; });
        if (model == venue.card_models.end() || !model->slope_limit) continue;
        auto points = level.carriers;
        if (points.size() < 2) points = {level.low, level.high};
        const auto [least, most] =
            std::minmax_element(points.begin(), points.end(), [](const auto& a, const auto& b) {
                return a.nominal < b.nominal;
            });
        const Gain slope = most->nominal - least->nominal;
        if (slope <= *model->slope_limit + Gain::db(1e-6)) continue;
        findings.push_back({Severity::error, "level.too-sloped",
                            to_text(level.port) + " (" + to_text(level.lane) + ")",
                            "levels differ by " + to_text(slope) + " between " + to_text(least->at) +
                                " and " + to_text(most->at) + ", allowed " + to_text(*model->slope_limit),
                            to_text(slope - *model->slope_limit),
                            "raise the slope of an amplifier, or insert an equaliser", card->place});
    }
}

void note_extrapolation(const Chain& chain, const Levels& levels, Findings& findings) {
    std::map<std::string, std::pair<const Cable*, Frequency>> used;  // the farthest frequency
    for (std::size_t v = 0; v < chain.visits().size(); ++v) {
        const auto& visit = chain.visits()[v];
        if (!visit.run || levels.states()[v].light) continue;
        const auto& run = chain.venue().runs[*visit.run];
        const auto* cable = chain.cable(run);
        if (cable == nullptr || run.length == Length{}) continue;
        for (const auto& track : levels.states()[v].tracks) {
            const auto at = frequency_of_megahertz(track.mhz);
            const bool beyond = track.mhz > megahertz(cable->fit.high) * kExtrapolationSlack ||
                                track.mhz * kExtrapolationSlack < megahertz(cable->fit.low);
            auto [it, fresh] = used.try_emplace(cable->name, cable, at);
            if (beyond && (fresh || at > it->second.second)) it->second = {cable, at};
            else if (fresh) used.erase(it);
        }
    }
    for (const auto& [name, use] : used)
        findings.push_back({Severity::warning, "cable.extrapolated", "cable " + name,
                            "reckoned at " + to_text(use.second) + ", its points reach from " +
                                to_text(use.first->fit.low) + " to " + to_text(use.first->fit.high),
                            {}, "give its loss at the band edges in use", use.first->place});
}

}  // namespace mastline
