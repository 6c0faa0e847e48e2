// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <map>
#include <tuple>

#include "mastline/text/did_you_mean.hpp"
#include "planner/venue/check_signal.hpp"
#include "planner/venue/file_fault.hpp"

namespace mastline {

namespace {

std::string_view node_noun(NodeKind kind) {
    return kind == NodeKind::feed ? "feed" : kind == NodeKind::card ? "card" : "device";
}

std::vector<std::string> port_names(const Node& node, PortDirection direction) {
    std::vector<std::string> names;
    for (const auto& port : node.ports)
        if (port.direction == direction) names.push_back(port.name);
    return names;
}

// The port of one end of a run, its name filled in where it was left out; none and a finding when
// there is no such port.
const Port* end_port(PortRef& ref, PortDirection direction, const Place& place,
                     const PortIndex& index, Findings& findings) {
    const auto* node = index.node(ref.device);
    if (node == nullptr) {
        std::vector<std::string> known;
        for (const auto& [name, n] : index.nodes()) known.push_back(name);
        fault(findings, "run.unknown-device", place,
              "no feed, device or card is named '" + ref.device + "'", suggestion(ref.device, known));
        return nullptr;
    }
    if (node->ports.empty()) return nullptr;  // what it is could not be read; that is reported
    const auto names = port_names(*node, direction);
    const std::string noun(node_noun(node->kind));
    const std::string way = direction == PortDirection::in ? "input" : "output";
    if (ref.port.empty()) {
        if (names.size() == 1) ref.port = names[0];
        else {
            fault(findings, "run.no-port", place,
                  noun + " '" + ref.device + "' has " + std::to_string(names.size()) + " " + way + "s",
                  names.empty() ? "runs go from outputs to inputs"
                                : "name one: " + ref.device + "." + names[0]);
            return nullptr;
        }
    }
    const auto* port = index.port(ref);
    if (port == nullptr) {
        fault(findings, "run.unknown-port", place,
              noun + " '" + ref.device + "' has no port '" + ref.port + "'",
              suggestion(ref.port, names));
        return nullptr;
    }
    if (port->direction != direction) {
        fault(findings, "run.wrong-direction", place,
              to_text(ref) + " is not an " + way, "a run goes from an output to an input");
        return nullptr;
    }
    return port;
}

void resolve_cable(Run& run, const Venue& venue, const Port& from, const Port& to,
                   Findings& findings) {
    if (from.optical != to.optical) {
        fault(findings, "run.light-to-copper", run.place,
              to_text(from.optical ? run.from : run.to) + " is optical and " +
                  to_text(from.optical ? run.to : run.from) + " is not",
              "light goes from an optical-transmitter to an optical-receiver");
        return;
    }
    if (run.cable.empty()) {
        run.medium = from.optical ? RunMedium::fibre : RunMedium::coax;
        run.cable = from.optical ? "single-mode" : "rg6";
    }
    const auto named = [&](const Cable& c) { return c.name == run.cable; };
    const auto own = std::find_if(venue.cables.begin(), venue.cables.end(), named);
    const auto built_in = built_in_cables();
    const auto known = std::find_if(built_in.begin(), built_in.end(), named);
    if (own == venue.cables.end() && known == built_in.end()) {
        std::vector<std::string> names;
        for (const auto& c : built_in) names.push_back(c.name);
        for (const auto& c : venue.cables) names.push_back(c.name);
        fault(findings, "run.unknown-cable", run.place, "unknown cable '" + run.cable + "'",
              suggestion(run.cable, names));
        return;
    }
    run.medium = own != venue.cables.end() ? own->medium : known->medium;
    if ((run.medium == RunMedium::fibre) != from.optical)
        fault(findings, "run.wrong-medium", run.place,
              "cable '" + run.cable + "' is " + (from.optical ? "coax" : "fibre") + " and " +
                  to_text(run.from) + " is " + (from.optical ? "optical" : "not optical"),
              from.optical ? "use a fibre such as single-mode" : "use coax such as rg6");
}

// Conductors one to one by default; "as is" targets filled in; none outside the ports.
void resolve_lanes(Run& run, const Port& from, const Port& to, Findings& findings) {
    if (run.lanes.empty())
        for (int i = 1; i <= std::min(from.lanes, to.lanes); ++i)
            run.lanes.push_back({LaneNumber{i}, LaneNumber{i}});
    for (auto& lane : run.lanes) {
        if (lane.to.value == 0) lane.to.value = to.lanes == 1 ? 1 : lane.from.value;
        const auto check = [&](LaneNumber n, const Port& port, const PortRef& ref) {
            if (n.value > port.lanes)
                fault(findings, "run.lane-outside-port", run.place,
                      "lane " + std::to_string(n.value) + " of " + to_text(ref),
                      "the port is " + std::to_string(port.lanes) + " wide");
        };
        check(lane.from, from, run.from);
        check(lane.to, to, run.to);
    }
}

// One conductor of a port holds one cable.
class Occupancy {
public:
    explicit Occupancy(Findings& findings) : findings_(findings) {}
    void take(const PortRef& ref, LaneNumber lane, const Run& run, bool input) {
        const auto [it, fresh] = taken_.try_emplace({ref, lane.value}, &run);
        if (fresh || reported_ == &run) return;
        reported_ = &run;
        const auto& place = input ? run.to_place : run.from_place;
        fault(findings_, input ? "run.two-into-one-input" : "run.two-from-one-output", place,
              "a second run " + std::string(input ? "ends at " : "begins at ") + to_text(ref) +
                  (lane.value > 1 ? " lane " + std::to_string(lane.value) : ""),
              "the first is at " + to_text(it->second->place) +
                  (input ? "; use a combiner" : "; use a splitter"));
    }

private:
    Findings& findings_;
    std::map<std::pair<PortRef, int>, const Run*> taken_;
    const Run* reported_ = nullptr;
};

// Ports that a port leads to: along runs from an output, through the device from an input.
class PortGraph {
public:
    PortGraph(const Venue& venue, const PortIndex& index) : venue_(venue), index_(index) {
        for (const auto& run : venue.runs) runs_.emplace(run.from, &run);
    }

    // The circle that a port leads into, or nothing.
    std::vector<PortRef> circle_from(const PortRef& start) {
        path_.clear();
        return visit(start) ? path_ : std::vector<PortRef>{};
    }

private:
    bool visit(const PortRef& ref) {
        auto& state = state_[ref];
        if (state == State::done) return false;
        path_.push_back(ref);
        if (state == State::open) return true;
        state = State::open;
        for (const auto& next : next_of(ref))
            if (visit(next)) return true;
        state_[ref] = State::done;
        path_.pop_back();
        return false;
    }

    std::vector<PortRef> next_of(const PortRef& ref) const {
        std::vector<PortRef> out;
        const auto [first, last] = runs_.equal_range(ref);
        for (auto it = first; it != last; ++it) out.push_back(it->second->to);
        const auto* node = index_.node(ref.device);
        if (node == nullptr || node->kind != NodeKind::device) return out;
        for (const auto& path : venue_.devices[node->index].paths)
            if (path.from == ref.port) out.push_back({ref.device, path.to});
        return out;
    }

    enum class State : std::uint8_t { fresh, open, done };
    const Venue& venue_;
    const PortIndex& index_;
    std::multimap<PortRef, const Run*> runs_;
    std::map<PortRef, State> state_;
    std::vector<PortRef> path_;
};

}  // namespace

void resolve_runs(Venue& venue, const PortIndex& index, Findings& findings) {
    Occupancy occupancy(findings);
    for (auto& run : venue.runs) {
        const auto* from = end_port(run.from, PortDirection::out, run.from_place, index, findings);
        const auto* to = end_port(run.to, PortDirection::in, run.to_place, index, findings);
        if (run.name.empty()) run.name = to_text(run.from) + ">" + to_text(run.to);
        if (from == nullptr || to == nullptr) continue;
        resolve_cable(run, venue, *from, *to, findings);
        resolve_lanes(run, *from, *to, findings);
        for (const auto& lane : run.lanes) {
            occupancy.take(run.from, lane.from, run, false);
            occupancy.take(run.to, lane.to, run, true);
        }
    }
}

void check_circles(const Venue& venue, const PortIndex& index, Findings& findings) {
    PortGraph graph(venue, index);
    for (const auto& run : venue.runs) {
        const auto circle = graph.circle_from(run.from);
        if (circle.empty()) continue;
        std::string words, last;
        bool inside = false;
        for (const auto& ref : circle) {
            inside = inside || ref == circle.back();
            if (inside && ref.device != last) words += (words.empty() ? "" : " to ") + ref.device;
            last = ref.device;
        }
        fault(findings, "run.circle", run.place, "the chain runs in a circle: " + words,
              "a signal never comes back to where it was; correct one of these runs");
        return;
    }
}

}  // namespace mastline
