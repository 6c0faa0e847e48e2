// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/chain_points.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace mastline {

namespace {

constexpr double kUserBandHalf = 25;  // MHz: a reading beside the centre is of that user band
constexpr double kWidthOfUnknown = 1; // MHz: of a carrier whose bandwidth nobody says

double width_of(const Carrier& carrier) {
    if (carrier.bandwidth) return megahertz(*carrier.bandwidth);
    if (carrier.symbol_rate)
        return 1.2 * static_cast<double>(carrier.symbol_rate->symbols_per_second()) / 1e6;
    return kWidthOfUnknown;
}

// The level that a carrier of the venue has at the feed, where it is told apart from the lane's.
std::optional<Level> told_level(const Venue& venue, const Feed& feed, LaneNumber lane, Frequency at) {
    for (const auto& carrier : venue.carriers)
        if (carrier.feed == feed.name && carrier.lane == lane && carrier.level &&
            std::abs(megahertz(carrier.frequency) - megahertz(at)) <= width_of(carrier) / 2)
            return carrier.level;
    return std::nullopt;
}

std::set<Frequency> lane_frequencies(const Venue& venue, const Feed& feed, const FeedLane& lane) {
    std::set<Frequency> out{lane.band.low, lane.band.high};
    for (const auto& carrier : venue.carriers)
        if (carrier.feed == feed.name && carrier.lane == lane.lane) out.insert(carrier.frequency);
    return out;
}

// What the signal rules need of the venue, with a carrier wherever a level is wanted.
Venue venue_with_carriers(const Venue& venue, const std::vector<Frequency>& frequencies) {
    Venue out;
    out.feeds = venue.feeds;
    out.cables = venue.cables;
    out.devices = venue.devices;
    out.runs = venue.runs;
    out.stock = venue.stock;
    out.climate = venue.climate;
    out.cards = venue.cards;
    out.card_models = venue.card_models;
    for (const auto& feed : venue.feeds)
        for (const auto& lane : feed.lanes) {
            auto all = lane_frequencies(venue, feed, lane);
            all.insert(frequencies.begin(), frequencies.end());
            for (const auto f : all) {
                Carrier carrier;
                carrier.feed = feed.name;
                carrier.lane = lane.lane;
                carrier.frequency = f;
                carrier.level = told_level(venue, feed, lane.lane, f);
                out.carriers.push_back(std::move(carrier));
            }
        }
    return out;
}

// Straight between two points over the root of the frequency, as a cable's loss nearly is.
double between(double low_mhz, double low, double high_mhz, double high, double mhz) {
    if (high_mhz <= low_mhz) return (low + high) / 2;
    const double share = (std::sqrt(mhz) - std::sqrt(low_mhz)) / (std::sqrt(high_mhz) - std::sqrt(low_mhz));
    return low + (high - low) * share;
}

std::vector<std::vector<std::pair<Frequency, Frequency>>> all_outermost(const Venue& venue) {
    std::vector<std::vector<std::pair<Frequency, Frequency>>> out;
    for (const auto& feed : venue.feeds) {
        out.emplace_back();
        for (const auto& lane : feed.lanes) out.back().push_back(outermost(venue, feed, lane));
    }
    return out;
}

}  // namespace

std::pair<Frequency, Frequency> outermost(const Venue& venue, const Feed& feed, const FeedLane& lane) {
    std::set<Frequency> carriers;
    for (const auto& carrier : venue.carriers)
        if (carrier.feed == feed.name && carrier.lane == lane.lane) carriers.insert(carrier.frequency);
    if (carriers.size() < 2) return {lane.band.low, lane.band.high};
    return {*carriers.begin(), *carriers.rbegin()};
}

Atom atom_of(const Chain& chain, std::size_t v) {
    const auto& visit = chain.visits()[v];
    if (!visit.parent) return {AtomKind::feed, visit.feed, 0, static_cast<int>(visit.lane) + 1};
    const auto& before = chain.visits()[*visit.parent];
    if (visit.run) return {AtomKind::run, *visit.run, 0, before.conductor};
    return {AtomKind::path, chain.ports()[visit.port].node, *visit.path, before.conductor};
}

ChainPoints::ChainPoints(const Venue& venue, const Choices& choices,
                         const std::vector<Frequency>& frequencies)
    : venue_(venue_with_carriers(venue, frequencies)), outermost_(all_outermost(venue)), choices_(choices), chain_(venue_),
      levels_(chain_, choices_), visits_(chain_.ports().size()) {
    for (std::size_t p = 0; p < chain_.ports().size(); ++p) ports_.emplace(chain_.ports()[p].ref, p);
    for (std::size_t v = 0; v < chain_.visits().size(); ++v) {
        visits_[chain_.visits()[v].port].push_back(v);
        const auto atom = atom_of(chain_, v);
        if (numbers_.emplace(atom, atoms_.size()).second) atoms_.push_back(atom);
    }
}

std::optional<std::size_t> ChainPoints::atom(const Atom& atom) const {
    const auto it = numbers_.find(atom);
    return it == numbers_.end() ? std::nullopt : std::optional(it->second);
}

std::vector<std::size_t> ChainPoints::visits_at(std::size_t port, int conductor) const {
    std::vector<std::size_t> out;
    for (const auto v : visits_[port])
        if (chain_.visits()[v].conductor == conductor) out.push_back(v);
    return out;
}

bool ChainPoints::in_band(std::size_t v, double mhz) const {
    const auto& band = chain_.feed_lane(chain_.visits()[v]).band;
    return mhz >= megahertz(band.low) && mhz <= megahertz(band.high);
}

std::optional<double> ChainPoints::level(std::size_t v, double mhz) const {
    const auto& state = levels_.states()[v];
    const auto& carriers = levels_.carriers(chain_.visits()[v]);
    for (std::size_t i = 0; i < carriers.size(); ++i)
        if (venue_.carriers[carriers[i]].frequency == frequency_of_megahertz(mhz))
            return state.tracks[2 + i].nominal;
    return std::nullopt;
}

std::optional<std::size_t> ChainPoints::visit_of(const MeterPoint& point) const {
    const auto port = ports_.find(point.port);
    if (port == ports_.end()) return std::nullopt;
    for (const auto v : visits_at(port->second, point.lane.value)) {
        const bool light = levels_.states()[v].light.has_value();
        if (light != !point.frequency) continue;
        if (light) return v;
        const double mhz = megahertz(*point.frequency);
        if (!in_user_bands(v) && in_band(v, mhz)) return v;
        if (in_user_bands(v) && mhz >= megahertz(levels_.low(v).at) - kUserBandHalf &&
            mhz <= megahertz(levels_.high(v).at) + kUserBandHalf)
            return v;
    }
    return std::nullopt;
}

void ChainPoints::fill_levels(ChainPoint& out) const {
    const auto take = [&](const LevelRange& range) {
        out.expected = range.nominal.dbm();
        out.worst_low = range.worst_low.dbm(), out.worst_high = range.worst_high.dbm();
    };
    const auto v = out.visit;
    const auto low = levels_.low(v), high = levels_.high(v);
    out.band_low = megahertz(low.at), out.band_high = megahertz(high.at);
    if (out.optical) return take(low);
    if (!in_user_bands(v)) {
        const auto& carriers = levels_.carriers(chain_.visits()[v]);
        for (std::size_t i = 0; i < carriers.size(); ++i)
            if (venue_.carriers[carriers[i]].frequency == *out.point.frequency)
                return take(levels_.carrier(v, i));
        return;
    }
    const auto mix = [&](Level a, Level b) {
        return between(out.band_low, a.dbm(), out.band_high, b.dbm(), out.mhz);
    };
    out.expected = mix(low.nominal, high.nominal);
    out.worst_low = mix(low.worst_low, high.worst_low);
    out.worst_high = mix(low.worst_high, high.worst_high);
    const auto& chain_port = chain_.ports()[chain_.visits()[v].port];
    bool held = false;  // every signal stands at one level in its user band
    for (auto w = std::optional(v); w; w = chain_.visits()[*w].parent) {
        const auto& visit = chain_.visits()[*w];
        if (visit.path && chain_.device(visit).data.output_level) held = true;
    }
    if (!held && chain_port.port.carries_all) out.unknown = std::abs(high.nominal.dbm() - low.nominal.dbm()) / 2;
    if (!held) out.unknown = std::max(out.unknown, 2.0);
}

std::optional<ChainPoint> ChainPoints::at(const MeterPoint& point) const {
    const auto visit = visit_of(point);
    if (!visit) return std::nullopt;
    ChainPoint out;
    out.point = point;
    out.visit = *visit;
    out.optical = !point.frequency;
    out.mhz = point.frequency ? megahertz(*point.frequency) : 0;
    fill_levels(out);
    out.path = influences(out);
    return out;
}

std::vector<Influence> ChainPoints::influences(const ChainPoint& point) const {
    std::vector<Influence> out;
    double electrical = point.optical ? 0 : 1, light = point.optical ? 1 : 0;
    std::optional<double> held;
    bool reaches = true;
    for (auto v = std::optional(point.visit); v; v = chain_.visits()[*v].parent) {
        const auto& visit = chain_.visits()[*v];
        Influence here{numbers_.at(atom_of(chain_, *v)), electrical, 0, held, reaches};
        if (visit.run && venue_.runs[*visit.run].medium == RunMedium::fibre)
            here.electrical = 0, here.light = light;
        if (visit.path) {
            const auto& device = chain_.device(visit);
            const auto& data = device.data;
            if (chain_.path(visit).optical) here.electrical = 0, here.light = light;
            if (device.kind == DeviceKind::optical_transmitter) {
                here.light = light;
                if (point.optical) reaches = false;
                light = 0;
            }
            if (device.kind == DeviceKind::optical_receiver) {
                const auto levelling = data.levelling.value_or(Levelling::none);
                light = levelling == Levelling::none && !held ? 2 * electrical : 0;
                if (levelling == Levelling::level_held && data.held_at && !held)
                    held = megahertz(*data.held_at);
            }
            const bool levelled = chain_.ports()[visit.port].port.carries_all && data.output_level &&
                                  !data.user_bands.empty();
            if (levelled) electrical = 0, light = 0, reaches = false;
        }
        out.push_back(here);
    }
    std::reverse(out.begin(), out.end());
    return out;
}

std::vector<MeterPoint> ChainPoints::candidates() const {
    std::set<MeterPoint> seen;
    std::vector<MeterPoint> out;
    for (std::size_t v = 0; v < chain_.visits().size(); ++v) {
        if (levels_.states()[v].light) continue;
        const auto& visit = chain_.visits()[v];
        auto [low, high] = outermost_[visit.feed][visit.lane];
        if (in_user_bands(v)) low = levels_.low(v).at, high = levels_.high(v).at;
        for (const auto f : {low, high}) {
            MeterPoint point{chain_.ports()[visit.port].ref, LaneNumber{visit.conductor}, f};
            if (seen.insert(point).second) out.push_back(std::move(point));
        }
    }
    return out;
}

}  // namespace mastline
