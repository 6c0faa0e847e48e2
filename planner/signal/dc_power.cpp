// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/plan_power.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "planner/signal/dc_network.hpp"

namespace mastline {

namespace {

constexpr double kReserve = 0.1;  // of the limit; less is a warning
constexpr int kRounds = 100;      // of constant-power loads settling

struct Demand {
    std::string part;
    double amperes = 0, watts = 0;
    std::optional<Voltage> minimum;
    Place place;
};

// What draws current at which conductor.
std::map<DcNode, Demand> demands_of(const Chain& chain) {
    std::map<DcNode, Demand> out;
    for (std::size_t p = 0; p < chain.ports().size(); ++p) {
        const auto& port = chain.ports()[p];
        if (port.kind == NodeKind::feed) {
            const auto& feed = chain.venue().feeds[port.node];
            if (feed.supply_current)
                out[{p, feed.power_lane.value}] = {"feed " + feed.name, feed.supply_current->amperes(),
                                                   0, feed.supply_minimum, feed.place};
        } else if (port.kind == NodeKind::device) {
            const auto& device = chain.device(port);
            const auto& data = device.data;
            if (!data.supply_current && !data.supply_power) continue;
            if (data.powered_from.value_or("out") != port.ref.port) continue;
            out[{p, data.power_lane.value_or(1)}] = {
                "device " + device.name, data.supply_current.value_or(Current{}).amperes(),
                data.supply_power.value_or(Power{}).watts(), data.supply_minimum, device.place};
        }
    }
    return out;
}

// The supply's conductors: one per port it feeds.
std::vector<DcNode> sources_of(const Chain& chain, std::size_t device) {
    const auto& data = chain.venue().devices[device].data;
    std::vector<DcNode> out;
    for (std::size_t p = 0; p < chain.ports().size(); ++p) {
        const auto& port = chain.ports()[p];
        if (port.kind != NodeKind::device || port.node != device) continue;
        const auto& to = data.power_to;
        const bool fed = to.empty() ? port.ref.port == "in"
                                    : std::find(to.begin(), to.end(), port.ref.port) != to.end();
        if (fed) out.push_back({p, data.power_lane.value_or(1)});
    }
    return out;
}

// Voltages at the branches of a tree; constant-power loads settle by iteration, their current held
// at that of a tenth of the supply's voltage where they would pull it down altogether.
class TreeSolver {
public:
    TreeSolver(const std::vector<DcBranch>& tree, const std::map<DcNode, Demand>& demands, double volts)
        : tree_(tree), volts_(tree.size(), volts), amperes_(tree.size(), 0), supply_(volts) {
        for (const auto& branch : tree) {
            const auto it = demands.find(branch.node);
            demands_.push_back(it == demands.end() ? nullptr : &it->second);
        }
        for (int round = 0; round < kRounds; ++round) settle();
    }

    double volts(std::size_t i) const { return volts_[i]; }
    double drawn(std::size_t i) const {
        if (demands_[i] == nullptr) return 0;
        return demands_[i]->amperes + demands_[i]->watts / std::max(volts_[i], supply_ / 10);
    }
    double total() const { return amperes_[0]; }

private:
    void settle() {
        for (std::size_t i = 0; i < tree_.size(); ++i) amperes_[i] = drawn(i);
        for (std::size_t i = tree_.size(); i-- > 1;) amperes_[*tree_[i].parent] += amperes_[i];
        for (std::size_t i = 1; i < tree_.size(); ++i)
            volts_[i] = volts_[*tree_[i].parent] - amperes_[i] * tree_[i].ohms;
    }

    const std::vector<DcBranch>& tree_;
    std::vector<const Demand*> demands_;
    std::vector<double> volts_, amperes_;
    double supply_;
};

class PowerPlanner {
public:
    PowerPlanner(const Venue& venue, const std::vector<InputReach>& reach, Findings& findings)
        : venue_(venue), reach_(reach), findings_(findings), chain_(venue), network_(chain_),
          demands_(demands_of(chain_)) {}

    std::vector<PowerSupply> plan() {
        std::vector<PowerSupply> out;
        for (std::size_t d = 0; d < venue_.devices.size(); ++d)
            if (venue_.devices[d].data.supply_voltage) out.push_back(supply(d));
        for (const auto& [node, demand] : demands_)
            if (!fed_.contains(node))
                fault(Severity::error, "power.no-supply", demand.part,
                      "nothing feeds it at " + to_text(chain_.ports()[node.port].ref) + " lane " +
                          std::to_string(node.conductor),
                      "", "put a power-inserter on this conductor, and see that every part between "
                      "passes DC", demand.place);
        return out;
    }

private:
    void fault(Severity severity, std::string id, std::string subject, std::string what,
               std::string amount, std::string cure, const Place& place) {
        findings_.push_back({severity, std::move(id), std::move(subject), std::move(what),
                             std::move(amount), std::move(cure), place});
    }

    PowerSupply supply(std::size_t d) {
        const auto& device = venue_.devices[d];
        PowerSupply out;
        out.device = device.name;
        out.voltage = *device.data.supply_voltage;
        out.limit = device.data.supply_limit;
        for (const auto& source : sources_of(chain_, d)) {
            const auto tree = network_.tree(source);
            claim(tree, d);
            const TreeSolver solver(tree, demands_, out.voltage.volts());
            out.load += Current(solver.total());
            for (std::size_t i = 0; i < tree.size(); ++i) add_load(out, tree[i], solver, i);
        }
        judge(out, device);
        find_dark(out);
        return out;
    }

    // Reports a conductor that another supply feeds already.
    void claim(const std::vector<DcBranch>& tree, std::size_t d) {
        bool reported = false;
        for (const auto& branch : tree) {
            const auto [it, fresh] = claimed_.try_emplace(branch.node, d);
            if (fresh || it->second == d || reported) continue;
            reported = true;
            fault(Severity::error, "power.two-supplies", "device " + venue_.devices[d].name,
                  "and " + venue_.devices[it->second].name + " feed one conductor at " +
                      to_text(chain_.ports()[branch.node.port].ref),
                  "", "put a dc-block between them, or take one away", venue_.devices[d].place);
        }
    }

    void add_load(PowerSupply& out, const DcBranch& branch, const TreeSolver& solver, std::size_t i) {
        const auto it = demands_.find(branch.node);
        if (it == demands_.end()) return;
        fed_.insert(branch.node);
        const auto& ref = chain_.ports()[branch.node.port].ref;
        out.loads.push_back({it->second.part, ref, LaneNumber{branch.node.conductor},
                             Current(solver.drawn(i)), Resistance(branch.loop_ohms),
                             Voltage(solver.volts(i)), it->second.minimum});
        if (!it->second.minimum || out.loads.back().voltage >= *it->second.minimum) return;
        fault(Severity::error, "power.under-voltage", it->second.part,
              "gets " + number_text(solver.volts(i), 2) + " V from " + out.device + " and needs " +
                  to_text(*it->second.minimum),
              number_text(it->second.minimum->volts() - solver.volts(i), 2) + " V",
              "use a cable of less resistance, a shorter run or a higher supply voltage",
              it->second.place);
    }

    void judge(const PowerSupply& out, const Device& device) {
        if (!out.limit) return;
        const double load = out.load.amperes(), limit = out.limit->amperes();
        if (load > limit)
            fault(Severity::error, "power.overload", "device " + out.device,
                  "feeds " + to_text(out.load) + " and can feed " + to_text(*out.limit),
                  to_text(Current(load - limit)), "feed some parts from another supply", device.place);
        else if (load > limit * (1 - kReserve))
            fault(Severity::warning, "power.little-reserve", "device " + out.device,
                  "feeds " + to_text(out.load) + " of " + to_text(*out.limit),
                  to_text(Current(limit - load)) + " in reserve", "a supply with more reserve lasts longer",
                  device.place);
    }

    // Lanes that come from or through a part without power.
    void find_dark(PowerSupply& out) {
        std::set<std::string> dead_devices, dead_feeds;
        for (const auto& load : out.loads)
            (load.part.starts_with("feed ") ? dead_feeds : dead_devices).insert(load.port.device);
        std::set<LaneRef> dark, lit;
        for (const auto& input : reach_)
            for (const auto& lane : input.lanes) {
                const bool dead =
                    dead_feeds.contains(lane.lane.feed) ||
                    std::any_of(lane.parts.begin(), lane.parts.end(), [&](const std::string& part) {
                        return part.starts_with("device:") && dead_devices.contains(part.substr(7));
                    });
                if (dead) out.dark.push_back({input.input, lane.lane});
                (dead ? dark : lit).insert(lane.lane);
            }
        for (const auto& channel : venue_.channels)
            if (const auto lane = lane_of(channel); lane && dark.contains(*lane) && !lit.contains(*lane))
                out.dark_channels.push_back(to_text(channel.number));
    }

    std::optional<LaneRef> lane_of(const Channel& channel) const {
        for (const auto& service : venue_.services)
            if (service.name == channel.service)
                for (const auto& carrier : venue_.carriers)
                    if (carrier.name == service.carrier) return LaneRef{carrier.feed, carrier.lane};
        return std::nullopt;
    }

    const Venue& venue_;
    const std::vector<InputReach>& reach_;
    Findings& findings_;
    Chain chain_;
    DcNetwork network_;
    std::map<DcNode, Demand> demands_;
    std::map<DcNode, std::size_t> claimed_;
    std::set<DcNode> fed_;
};

}  // namespace

std::vector<PowerSupply> plan_power(const Venue& venue, const std::vector<InputReach>& reach,
                                    Findings& findings) {
    return PowerPlanner(venue, reach, findings).plan();
}

}  // namespace mastline
