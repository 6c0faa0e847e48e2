// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/chain.hpp"

#include <algorithm>
#include <map>

namespace mastline {

Chain::Chain(const Venue& venue) : venue_(&venue), index_(venue) {
    number_ports();
    connect();
    for (std::size_t p = 0; p < ports_.size(); ++p) {
        if (ports_[p].kind != NodeKind::feed) continue;
        for (int i = 0; i < ports_[p].port.lanes; ++i)
            follow({ports_[p].node, static_cast<std::size_t>(i), {}, p, i + 1, {}, {}});
    }
}

// In the order of the venue files: feeds, devices, cards.
void Chain::number_ports() {
    const auto add = [&](const std::string& name) {
        const auto* node = index_.node(name);
        for (const auto& port : node->ports) {
            ChainPort out{{name, port.name}, port, node->kind, node->index, {}, {}};
            if (port.direction == PortDirection::out)
                out.runs.resize(static_cast<std::size_t>(port.lanes));
            ports_.push_back(std::move(out));
        }
    };
    for (const auto& feed : venue_->feeds) add(feed.name);
    for (const auto& device : venue_->devices) add(device.name);
    for (const auto& card : venue_->cards) add(card.name);
}

void Chain::connect() {
    std::map<PortRef, std::size_t> number;
    for (std::size_t p = 0; p < ports_.size(); ++p) number.emplace(ports_[p].ref, p);
    for (std::size_t r = 0; r < venue_->runs.size(); ++r) {
        const auto& run = venue_->runs[r];
        const auto from = number.find(run.from), to = number.find(run.to);
        if (from == number.end() || to == number.end()) continue;
        for (const auto& lane : run.lanes) {
            auto& runs = ports_[from->second].runs;
            const auto c = static_cast<std::size_t>(lane.from.value);
            if (c >= 1 && c <= runs.size()) runs[c - 1] = RunHop{r, to->second, lane.to.value};
        }
    }
    for (auto& port : ports_) {
        if (port.kind != NodeKind::device) continue;
        const auto& paths = device(port).paths;
        for (std::size_t i = 0; i < paths.size(); ++i)
            if (paths[i].from == port.ref.port)
                port.paths.push_back({i, number.at({port.ref.device, paths[i].to})});
    }
}

void Chain::follow(Visit visit) {
    const auto& here = ports_[visit.port];
    const auto number = visits_.size();
    visits_.push_back(visit);
    if (here.port.direction == PortDirection::out) {
        const auto& hop = here.runs[static_cast<std::size_t>(visit.conductor) - 1];
        if (hop && hop->lane <= ports_[hop->port].port.lanes)
            follow({visit.feed, visit.lane, number, hop->port, hop->lane, hop->run, {}});
        return;
    }
    for (const auto& hop : here.paths) {
        const int width = ports_[hop.port].port.lanes;
        const int conductor = width == 1 ? 1 : visit.conductor;
        if (conductor <= width)
            follow({visit.feed, visit.lane, number, hop.port, conductor, {}, hop.path});
    }
}

LaneRef Chain::lane(const Visit& visit) const {
    return {venue_->feeds[visit.feed].name, feed_lane(visit).lane};
}

std::vector<std::string> Chain::parts(const Visit& visit) const {
    std::vector<std::string> out;
    for (const auto* v = &visit;; v = &visits_[*v->parent]) {
        if (v->run) out.push_back("run:" + venue_->runs[*v->run].name);
        if (v->path) out.push_back("device:" + device(*v).name);
        if (!v->parent) break;
    }
    out.push_back("lane:" + to_text(lane(visit)));
    std::reverse(out.begin(), out.end());
    return out;
}

bool Chain::behind_single_cable(std::size_t visit) const {
    const auto& v = visits_[visit];
    const auto& port = ports_[v.port];
    if (v.path && port.port.carries_all && port.kind == NodeKind::device) return true;
    return v.parent && behind_single_cable(*v.parent);
}

const Cable* Chain::cable(const Run& run) const {
    if (run.loss) return nullptr;
    for (const auto& cable : venue_->cables)
        if (cable.name == run.cable) return &cable;
    for (const auto& cable : built_in_cables())
        if (cable.name == run.cable) return &cable;
    return nullptr;
}

}  // namespace mastline
