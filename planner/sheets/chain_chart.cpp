// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/chain_chart.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "mastline/signal/lists.hpp"
#include "mastline/venue/device_kinds.hpp"
#include "planner/sheets/level_text.hpp"
#include "planner/sheets/markup.hpp"

namespace mastline {

namespace {

// A conductor of a port and where its row stands in the chart.
struct Conductor {
    PortRef port;
    int number = 1;
    friend auto operator<=>(const Conductor&, const Conductor&) = default;
};
struct RowPlace {
    std::size_t box = 0, row = 0;
};

// A port as a picture needs it; feeds and cards have no Port of their own.
struct ShownPort {
    std::string name;
    bool left = false;
    std::vector<int> conductors;
    bool test_point = false;
};

std::vector<const PortLevel*> on_conductor(const PlanIndex& index, const Conductor& conductor) {
    std::vector<const PortLevel*> out;
    for (const auto* level : index.levels(conductor.port))
        if (level->conductor.value == conductor.number) out.push_back(level);
    return out;
}

// Of one lane; several on one conductor are told where they come in.
std::string sentences(const std::vector<const PortLevel*>& levels) {
    return levels.size() == 1 ? level_sentence(*levels.front()) : "";
}

class ChainCharter {
public:
    explicit ChainCharter(const PlanIndex& index) : index_(index) {
        if (index.plan().signal.choices.size() == index.venue().devices.size())
            settings_ = settings_list(index.venue(), index.plan().signal);
    }
    BoxChart run();

private:
    void add_box(const std::string& name, Box box, const std::vector<ShownPort>& ports);
    void add_feeds();
    void add_devices();
    void add_cards();
    std::string settings_sentence(const std::string& device) const;
    void add_run(const Run& run);
    std::string run_sentence(const Run& run, const Conductor& to) const;

    const PlanIndex& index_;
    std::vector<SettingLine> settings_;
    BoxChart chart_;
    std::map<Conductor, RowPlace> left_, right_;
};

void ChainCharter::add_box(const std::string& name, Box box, const std::vector<ShownPort>& ports) {
    box.id = index_.picture_id(name);
    box.target = index_.row_id(name);
    box.title = shortened(name, 22);
    box.subtitle = shortened(box.subtitle, 30);
    for (const auto& port : ports) {
        auto& rows = port.left ? box.left : box.right;
        for (const int number : port.conductors) {
            const Conductor conductor{{name, port.name}, number};
            const auto levels = on_conductor(index_, conductor);
            const auto margin = least_margin(levels);
            std::string text = shortened(port.name, 10);
            if (port.conductors.size() > 1) text += " " + std::to_string(number);
            for (const auto& part : {level_pair(levels), margin_text(margin)})
                if (!part.empty()) text += "  " + part;
            (port.left ? left_ : right_)[conductor] = {chart_.boxes.size(), rows.size()};
            rows.push_back(
                {text, fit_of(margin), port.test_point && number == port.conductors.back(),
                 sentences(levels)});
        }
    }
    chart_.boxes.push_back(std::move(box));
}

void ChainCharter::add_feeds() {
    for (const auto& feed : index_.venue().feeds) {
        std::set<std::string> used;
        for (const auto& run : index_.venue().runs)
            if (run.from.device == feed.name) used.insert(run.from.port);
        std::vector<ShownPort> ports;
        for (const auto& name : used) {
            ShownPort port{name, false, {}, false};
            for (const auto& lane : feed.lanes) port.conductors.push_back(lane.lane.value);
            ports.push_back(std::move(port));
        }
        Box box;
        box.subtitle = feed.kind == FeedKind::satellite ? "satellite feed" : "antenna";
        box.hover =
            feed.name + ", " + feed.position + ", " + counted(feed.lanes.size(), "lane", "lanes");
        add_box(feed.name, std::move(box), ports);
    }
}

void ChainCharter::add_devices() {
    for (const auto& device : index_.venue().devices) {
        std::vector<ShownPort> ports;
        for (const auto& port : device.ports) {
            ShownPort shown{port.name, port.direction == PortDirection::in, {}, port.test_point};
            for (int lane = 1; lane <= port.lanes; ++lane) shown.conductors.push_back(lane);
            ports.push_back(std::move(shown));
        }
        Box box;
        box.subtitle = std::string(to_text(device.kind));
        box.hover = device.name + ", " + box.subtitle;
        if (!device.model.empty()) box.hover += " " + device.model;
        if (!device.position.empty()) box.hover += ", " + device.position;
        box.hover += settings_sentence(device.name);
        add_box(device.name, std::move(box), ports);
    }
}

// "; trim lane 1 −2 dB, slope 4 dB"
std::string ChainCharter::settings_sentence(const std::string& device) const {
    std::string out;
    for (const auto& line : settings_) {
        if (line.device != device || !line.value) continue;
        out += (out.empty() ? "; " : ", ") + std::string(to_text(line.kind));
        if (line.lane) out += " lane " + std::to_string(line.lane->value);
        out += " " + typographic(number_text(line.value->db(), 2)) + " dB";
    }
    return out;
}

void ChainCharter::add_cards() {
    for (const auto& card : index_.venue().cards) {
        std::map<std::string, std::set<int>> inputs;
        for (const auto& run : index_.venue().runs)
            if (run.to.device == card.name)
                for (const auto& lane : run.lanes) inputs[run.to.port].insert(lane.to.value);
        if (inputs.empty()) continue;
        std::vector<ShownPort> ports;
        for (const auto& [name, conductors] : inputs)
            ports.push_back({name, true, {conductors.begin(), conductors.end()}, false});
        Box box;
        box.subtitle = "card";
        box.hover = "card " + card.name + ", " + card.model;
        if (!card.chassis.empty()) box.hover += ", chassis " + card.chassis;
        add_box(card.name, std::move(box), ports);
        chart_.boxes.back().id =
            "c-" + chart_.boxes.back().id;  // the rack picture has the plain id
    }
}

std::string ChainCharter::run_sentence(const Run& run, const Conductor& to) const {
    std::string out = "run " + run.name + ", " + run.cable + ", " + to_text(run.length);
    for (const auto* level : on_conductor(index_, to)) out += "; at " + level_sentence(*level);
    return out;
}

void ChainCharter::add_run(const Run& run) {
    for (const auto& lane : run.lanes) {
        const Conductor from{run.from, lane.from.value}, to{run.to, lane.to.value};
        const auto start = right_.find(from);
        const auto end = left_.find(to);
        if (start == right_.end() || end == left_.end()) continue;
        const Fit fit = fit_of(least_margin(on_conductor(index_, to)));
        chart_.lines.push_back({start->second.box, start->second.row, end->second.box,
                                end->second.row, fit, fit == Fit::out ? 2.6 : BoxLine{}.width,
                                run_sentence(run, to)});
    }
}

BoxChart ChainCharter::run() {
    add_feeds();
    add_devices();
    add_cards();
    for (const auto& run : index_.venue().runs) add_run(run);
    return std::move(chart_);
}

}  // namespace

BoxChart chain_chart(const PlanIndex& index) {
    return ChainCharter(index).run();
}

}  // namespace mastline
