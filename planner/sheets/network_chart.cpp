// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/network_chart.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <tuple>

#include "planner/sheets/edge_crowds.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/rate_cell.hpp"

namespace mastline {

namespace {

std::string rate_text(BitRate rate) {
    return fixed_text(megabits(rate), 1);
}

std::string percent(double share) {
    return fixed_text(100 * share, 0) + " %";
}

std::string load_text(const LinkLoad& load) {
    if (load.blocked)
        return "in reserve" + std::string(load.to_multicast_router ? " R" : "");
    std::string out = rate_text(load.worst_mix) + " of " + rate_text(load.capacity) + "  " +
                      percent(share_of(load.worst_mix, load.capacity));
    if (load.to_multicast_router) out += " R";
    switch (fit_of(load)) {
        case Fit::out:
            return out + (is_over_by_flooding(load) ? ", flooded OVER" : " OVER");
        case Fit::near:
            return out + " over in a failure";
        default:
            return out;
    }
}

std::string load_sentence(const LinkLoad& load) {
    std::string out = load.from + " to " + load.to + ": worst mix " + rate_text(load.worst_mix) +
                      ", limit " + rate_text(load.limit) + ", scheduled " +
                      rate_text(load.scheduled) + ", everything " + rate_text(load.everything) +
                      ", flooded " + rate_text(load.flooded) + ", worst failure " +
                      rate_text(load.worst_failure) + " Mbit/s";
    if (!load.failure.empty()) out += " (" + load.failure + ")";
    if (load.members > 1)
        out += "; " + std::to_string(load.members) + " members, the fullest " +
               rate_text(load.fullest_member) + " Mbit/s";
    if (load.blocked) out += "; in reserve";
    if (load.to_multicast_router) out += "; multicast router port";
    return out;
}

class NetworkCharter {
public:
    explicit NetworkCharter(const PlanIndex& index) : index_(index) {
        for (const auto& load : index.plan().network.links) {
            if (load.of == LoadOf::link) loads_[{load.link, load.from, load.to}] = &load;
            else ports_[{load.of, load.index}] = &load;
        }
    }
    BoxChart run();

private:
    void gather_crowds();
    void add_switches();
    void add_crowds();
    void join_crowd(std::size_t crowd, const std::string& parent, const LinkLoad* out,
                    const LinkLoad* back);
    void add_senders();
    void add_links();
    void add_zones();
    void connect(std::size_t from, std::string out_row, std::size_t to, std::string in_row, Fit fit,
                 double share, std::string hover);

    const LinkLoad* load(const std::string& link, const std::string& from,
                         const std::string& to) const {
        const auto it = loads_.find({link, from, to});
        return it == loads_.end() ? nullptr : it->second;
    }
    const LinkLoad* port_of(LoadOf kind, std::size_t index) const {
        const auto it = ports_.find({kind, index});
        return it == ports_.end() ? nullptr : it->second;
    }

    const PlanIndex& index_;
    BoxChart chart_;
    std::map<std::tuple<std::string, std::string, std::string>, const LinkLoad*> loads_;
    std::map<std::pair<LoadOf, std::size_t>, const LinkLoad*> ports_;  // of cards and displays
    std::map<std::string, std::size_t> boxes_;      // of switches, the crowd's for one in a crowd
    std::map<std::string, std::size_t> crowd_of_;   // of switches that are not drawn alone
    struct Joint {
        std::size_t links = 0;
        double share = 0;  // of the fullest
        Fit fit = Fit::untold;
    };
    struct Crowd {
        std::vector<std::string> members;
        std::size_t zones = 0, displays = 0;
        std::map<std::string, Joint> parents;
        std::size_t box = 0;
        Joint within;  // links between its members
    };
    std::vector<Crowd> crowds_;
    std::map<std::string, std::size_t> distances_;  // of switches from the nearest sender
};

void NetworkCharter::gather_crowds() {
    for (auto& members : edge_crowds(index_, distances_)) {
        for (const auto& name : members) crowd_of_[name] = crowds_.size();
        crowds_.push_back({std::move(members), 0, 0, {}, 0, {}});
    }
}

void NetworkCharter::add_crowds() {
    for (const auto& zone : index_.venue().zones) {
        const auto at = crowd_of_.find(zone.attached_to);
        if (at == crowd_of_.end()) continue;
        ++crowds_[at->second].zones;
        crowds_[at->second].displays += static_cast<std::size_t>(zone.displays);
    }
    for (std::size_t c = 0; c < crowds_.size(); ++c) {
        auto& crowd = crowds_[c];
        Box box;
        box.id = "p-crowd-" + std::to_string(c);
        box.title = std::to_string(crowd.members.size()) + " more switches";
        box.subtitle = counted(crowd.zones, "zone", "zones") + ", " +
                       counted(crowd.displays, "display", "displays");
        box.hover = box.title + ", each less full than those drawn alone; all stand in the tables";
        box.target = "switch-list";
        crowd.box = chart_.boxes.size();
        for (const auto& name : crowd.members) {
            boxes_.emplace(name, crowd.box);
            box.also.push_back(index_.picture_id(name));
        }
        chart_.boxes.push_back(std::move(box));
    }
}

void NetworkCharter::join_crowd(std::size_t crowd, const std::string& parent, const LinkLoad* out,
                                const LinkLoad* back) {
    const auto of_parent = crowd_of_.find(parent);
    Joint& joint = of_parent != crowd_of_.end() && of_parent->second == crowd ? crowds_[crowd].within : crowds_[crowd].parents[parent];
    ++joint.links;
    for (const auto* load : {out, back}) {
        if (load == nullptr) continue;
        joint.share = std::max(joint.share, share_of(load->worst_mix, load->capacity));
        joint.fit = std::max(joint.fit, fit_of(*load));
    }
}

void NetworkCharter::add_switches() {
    for (const auto& sw : index_.venue().switches) {
        if (crowd_of_.contains(sw.name)) continue;
        std::string roles = "switch";
        if (sw.querier) roles += ", querier";
        if (sw.multicast_router) roles += ", multicast router";
        if (!sw.snooping) roles += ", NO SNOOPING";
        Box box{index_.picture_id(sw.name),
                shortened(sw.name, 24),
                shortened(roles, 40),
                sw.name + ", " + roles + (sw.position.empty() ? "" : ", " + sw.position),
                index_.row_id(sw.name),
                {},
                {}};
        boxes_.emplace(sw.name, chart_.boxes.size());
        chart_.boxes.push_back(std::move(box));
    }
}

void NetworkCharter::connect(std::size_t from, std::string out_row, std::size_t to,
                             std::string in_row, Fit fit, double share, std::string hover) {
    auto& right = chart_.boxes[from].right;
    auto& left = chart_.boxes[to].left;
    chart_.lines.push_back({from, right.size(), to, left.size(), fit,
                            1 + 2.5 * std::clamp(share, 0.0, 1.0), std::move(hover)});
    right.push_back({std::move(out_row), fit, false});
    left.push_back({std::move(in_row), Fit::untold, false});
}

// One box per chassis, and one per switch for the cards that stand alone there.
void NetworkCharter::add_senders() {
    struct Sender {
        std::size_t cards = 0;
        BitRate rate;
        Fit fit = Fit::untold;
    };
    std::map<std::pair<std::string, std::string>, Sender> senders;  // chassis, switch
    const auto& cards = index_.venue().cards;
    for (std::size_t c = 0; c < cards.size(); ++c) {
        if (!boxes_.contains(cards[c].attached_to)) continue;
        auto& sender = senders[{cards[c].chassis, cards[c].attached_to}];
        ++sender.cards;
        const auto* sent = port_of(LoadOf::card, c);
        if (sent == nullptr) continue;
        sender.rate += sent->worst_mix;
        sender.fit = std::max(sender.fit, fit_of(*sent));
    }
    for (const auto& [where, sender] : senders) {
        const std::string name = where.first.empty() ? "cards alone" : "chassis " + where.first;
        const std::string id = "p-sender-" + std::to_string(chart_.boxes.size());
        chart_.boxes.push_back({id,
                                shortened(name, 24),
                                counted(sender.cards, "card", "cards"),
                                name,
                                "cards",
                                {},
                                {}});
        connect(chart_.boxes.size() - 1, rate_text(sender.rate), boxes_.at(where.second),
                shortened(name, 16), sender.fit, 0,
                name + " sends " + rate_text(sender.rate) + " Mbit/s");
    }
}

// Drawn away from the senders; where both ends are as far, in the order of the venue file.
void NetworkCharter::add_links() {
    const auto far = std::numeric_limits<std::size_t>::max();
    const auto key = [&](const std::string& name) {
        const auto it = distances_.find(name);
        return std::pair(it == distances_.end() ? far : it->second, boxes_.at(name));
    };
    for (const auto& link : index_.venue().links) {
        if (!boxes_.contains(link.from) || !boxes_.contains(link.to) || link.from == link.to)
            continue;
        const bool forward = key(link.from) < key(link.to);
        const std::string& near_end = forward ? link.from : link.to;
        const std::string& far_end = forward ? link.to : link.from;
        const auto* out = load(link.name, near_end, far_end);
        const auto* back = load(link.name, far_end, near_end);
        if (const auto crowd = crowd_of_.find(far_end); crowd != crowd_of_.end()) {
            join_crowd(crowd->second, near_end, out, back);
            continue;
        }
        std::string hover = "link " + link.name;
        for (const auto* direction : {out, back})
            if (direction != nullptr) hover += "; " + load_sentence(*direction);
        const Fit fit =
            std::max(out ? fit_of(*out) : Fit::untold, back ? fit_of(*back) : Fit::untold);
        connect(boxes_.at(near_end),
                "\u2192 " + shortened(far_end, 16) + (out ? "  " + load_text(*out) : ""),
                boxes_.at(far_end), "\u2190 " + (back ? load_text(*back) : shortened(near_end, 16)),
                fit, out ? share_of(out->worst_mix, out->capacity) : 0, hover);
        chart_.lines.back().in_reserve = (out && out->blocked) || (back && back->blocked);
    }
    for (const auto& crowd : crowds_) {
        if (crowd.within.links > 0)
            chart_.boxes[crowd.box].left.push_back(
                {counted(crowd.within.links, "link", "links") + " within, up to " + percent(crowd.within.share) +
                     (crowd.within.fit == Fit::out ? " OVER" : crowd.within.fit == Fit::near ? " over in a failure" : ""),
                 crowd.within.fit, false});
        for (const auto& [parent, joint] : crowd.parents)
            connect(boxes_.at(parent),
                    "\u2192 " + counted(joint.links, "link", "links") + ", up to " +
                        percent(joint.share) + (joint.fit == Fit::out ? " OVER" : ""),
                    crowd.box, counted(joint.links, "link", "links"), joint.fit, joint.share,
                    counted(joint.links, "link", "links") + " to the switches of this box");
    }
}

void NetworkCharter::add_zones() {
    for (std::size_t z = 0; z < index_.venue().zones.size(); ++z) {
        const Zone& zone = index_.venue().zones[z];
        if (crowd_of_.contains(zone.attached_to)) continue;
        const auto at = boxes_.find(zone.attached_to);
        const std::string displays =
            counted(static_cast<std::size_t>(zone.displays), "display", "displays");
        chart_.boxes.push_back({"p-zone-" + std::to_string(z),
                                shortened("zone " + zone.name, 24),
                                displays,
                                "zone " + zone.name + ", " + displays,
                                "",
                                {},
                                {}});
        if (at == boxes_.end()) continue;
        const auto* worst = port_of(LoadOf::display_port, z);
        connect(at->second, "\u2192 zone " + shortened(zone.name, 16), chart_.boxes.size() - 1,
                worst ? "each " + load_text(*worst) : "ports " + rate_text(zone.port_speed),
                worst ? fit_of(*worst) : Fit::untold,
                worst ? share_of(worst->worst_mix, worst->capacity) : 0,
                worst ? load_sentence(*worst) : "");
    }
}

BoxChart NetworkCharter::run() {
    distances_ = distances_from_senders(index_.venue());
    gather_crowds();
    add_switches();
    add_crowds();
    add_senders();
    add_links();
    add_zones();
    return std::move(chart_);
}

}  // namespace

BoxChart network_chart(const PlanIndex& index) {
    return NetworkCharter(index).run();
}

std::string direction_name(const PlanIndex& index, const LinkLoad& load, std::string_view to) {
    const auto& links = index.venue().links;
    const auto joined = std::count_if(links.begin(), links.end(), [&](const Link& l) {
        return (l.from == load.from && l.to == load.to) || (l.from == load.to && l.to == load.from);
    });
    const bool told = load.of != LoadOf::link || joined < 2;
    return load.from + std::string(to) + load.to + (told ? "" : " (" + load.link + ")");
}

double share_of(BitRate rate, BitRate capacity) {
    if (capacity.bits_per_second() <= 0) return 0;
    return static_cast<double>(rate.bits_per_second()) /
           static_cast<double>(capacity.bits_per_second());
}

Fit fit_of(const LinkLoad& load) {
    if (std::max(load.worst_mix, load.flooded) > load.limit || load.fullest_member * load.members > load.limit)
        return Fit::out;
    const bool member = load.members > 1 && load.failure_member * load.members > load.limit;
    return member || load.worst_failure > load.limit ? Fit::near : Fit::good;
}

bool is_over_by_flooding(const LinkLoad& load) {
    return load.flooded > load.limit && load.worst_mix <= load.limit;
}

std::string verdict_of(const LinkLoad& load) {
    switch (fit_of(load)) {
        case Fit::out:
            return is_over_by_flooding(load) ? "over by flooding" : "over";
        case Fit::near:
            return "over in a failure";
        default:
            return "fits";
    }
}

}  // namespace mastline
