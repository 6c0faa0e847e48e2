// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <limits>
#include <map>
#include <set>
#include <tuple>

#include "planner/signal/judge.hpp"

namespace mastline {

namespace {

struct Arrival {
    std::size_t feed = 0;
    int lane = 1, conductor = 1;
    std::size_t visit = 0;
};

// How far a feed's lanes are shifted at a port on purpose: not at all where the port has room for all
// of them and carries nothing else, else so that the first lane that comes sits on the first
// conductor used.
int shift_of(const std::vector<Arrival>& of_feed, bool alone, int width, std::size_t feed_lanes) {
    if (alone && width >= static_cast<int>(feed_lanes)) return 0;
    int conductor = std::numeric_limits<int>::max(), lane = conductor;
    for (const auto& a : of_feed) {
        conductor = std::min(conductor, a.conductor);
        lane = std::min(lane, a.lane);
    }
    return conductor - lane;
}

std::vector<Arrival> crossed_at(const std::vector<Arrival>& arrivals, const ChainPort& port,
                                const Venue& venue) {
    std::map<std::size_t, std::vector<Arrival>> by_feed;
    for (const auto& a : arrivals) by_feed[a.feed].push_back(a);
    std::vector<Arrival> out;
    for (const auto& [feed, list] : by_feed) {
        const int shift = shift_of(list, by_feed.size() == 1, port.port.lanes,
                                   venue.feeds[feed].lanes.size());
        for (const auto& a : list)
            if (a.conductor != a.lane + shift) out.push_back(a);
    }
    return out;
}

// What a device input lacks or has crossed, to be compared with the next device's.
struct PortFaults {
    std::set<std::tuple<std::size_t, int, int>> crossed;  // feed, lane, conductor
    std::set<int> missing;
};

class WiringJudge {
public:
    WiringJudge(const Chain& chain, Findings& findings) : chain_(chain), findings_(findings) {
        for (std::size_t v = 0; v < chain.visits().size(); ++v) {
            const auto& visit = chain.visits()[v];
            const auto& port = chain.ports()[visit.port];
            if (port.kind != NodeKind::device || port.port.direction != PortDirection::in) continue;
            if (port.port.lanes < 2) continue;
            arrivals_[visit.port].push_back(
                {visit.feed, chain.feed_lane(visit).lane.value, visit.conductor, v});
        }
    }

    void judge() {
        for (const auto& [port, arrivals] : arrivals_) find_faults(port, arrivals);
        for (const auto& [port, arrivals] : arrivals_) report(port, arrivals);
    }

private:
    void find_faults(std::size_t port, const std::vector<Arrival>& arrivals) {
        auto& faults = faults_[port];
        for (const auto& a : crossed_at(arrivals, chain_.ports()[port], chain_.venue()))
            faults.crossed.insert({a.feed, a.lane, a.conductor});
        for (int c = 1; c <= chain_.ports()[port].port.lanes; ++c)
            if (std::none_of(arrivals.begin(), arrivals.end(),
                             [&](const Arrival& a) { return a.conductor == c; }))
                faults.missing.insert(c);
    }

    // The device inputs that feed a port directly: where its visits came through one device before.
    std::set<std::size_t> inputs_before(const std::vector<Arrival>& arrivals) const {
        std::set<std::size_t> out;
        for (const auto& a : arrivals) {
            const auto& visits = chain_.visits();
            const auto& sender = visits[*visits[a.visit].parent];
            if (sender.parent) out.insert(visits[*sender.parent].port);
        }
        return out;
    }

    void report(std::size_t port, const std::vector<Arrival>& arrivals) {
        auto faults = faults_[port];
        for (const auto before : inputs_before(arrivals)) {
            const auto it = faults_.find(before);
            if (it == faults_.end()) continue;
            for (const auto& c : it->second.crossed) faults.crossed.erase(c);
            for (const int c : it->second.missing) faults.missing.erase(c);
        }
        for (const auto& a : arrivals)
            if (faults.crossed.contains({a.feed, a.lane, a.conductor})) report_crossed(port, a);
        for (const int c : faults.missing) report_missing(port, c, arrivals);
    }

    void add(std::size_t port, int conductor, std::string id, std::string what, std::string cure,
             const Place& place) {
        findings_.push_back({Severity::error, std::move(id),
                             to_text(chain_.ports()[port].ref) + " lane " + std::to_string(conductor),
                             std::move(what), {}, std::move(cure), place});
    }

    const Run& run_of(const Arrival& a) const {
        return chain_.venue().runs[*chain_.visits()[a.visit].run];
    }

    void report_crossed(std::size_t port, const Arrival& a) {
        const auto& run = run_of(a);
        add(port, a.conductor, "wiring.lane-crossed",
            "carries " + to_text(chain_.lane(chain_.visits()[a.visit])) + ", brought by run " +
                run.name,
            "put lane " + std::to_string(a.lane) + " back in its place", run.place);
    }

    void report_missing(std::size_t port, int conductor, const std::vector<Arrival>& arrivals) {
        add(port, conductor, "wiring.lane-missing", "no signal comes",
            "connect it, or make the device as wide as its lanes", run_of(arrivals[0]).place);
    }

    const Chain& chain_;
    Findings& findings_;
    std::map<std::size_t, std::vector<Arrival>> arrivals_;
    std::map<std::size_t, PortFaults> faults_;
};

}  // namespace

void judge_wiring(const Chain& chain, Findings& findings) { WiringJudge(chain, findings).judge(); }

}  // namespace mastline
