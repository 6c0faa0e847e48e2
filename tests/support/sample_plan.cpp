// SPDX-License-Identifier: Apache-2.0
#include "tests/support/sample_plan.hpp"

#include <algorithm>
#include <array>
#include <map>

namespace mastline::sample {

namespace {

const Band kIf{frequency_of_megahertz(950), frequency_of_megahertz(2150)};
constexpr int kOutputs = 8;

std::string number(int n) {
    return (n < 10 ? "0" : "") + std::to_string(n);
}

// Adds the parts of one wing; every name ends with the wing's number where there are several.
class Wing {
public:
    Wing(Venue& venue, int index, bool several, int lanes, int channels)
        : venue_(venue), index_(index), lanes_(lanes), channels_(channels), suffix_(several ? "-w" + std::to_string(index + 1) : "") {}

    void build() {
        roof();
        distribution();
        cards();
        network();
        channels();
    }

private:
    std::string name(const std::string& base) const { return base + suffix_; }

    void feed(const std::string& base, int lanes, FeedKind kind) {
        Feed out;
        out.name = name(base);
        out.kind = kind;
        out.position = "roof, " + base + " mast";
        for (int l = 1; l <= lanes; ++l) {
            FeedLane lane;
            lane.lane = {l};
            lane.band = kIf;
            lane.level_low = Level::dbm(-32);
            lane.level_high = Level::dbm(-36);
            lane.tolerance = Gain::db(2);
            out.lanes.push_back(lane);
        }
        out.supply_minimum = Voltage(14);
        venue_.feeds.push_back(out);
    }

    Port port(const std::string& base, PortDirection direction, int lanes) const {
        Port out;
        out.name = base;
        out.direction = direction;
        out.lanes = lanes;
        return out;
    }

    // In and out ports alike wide, the same gain on every path.
    Device& device(const std::string& base, DeviceKind kind, const std::string& model, int lanes,
                   std::vector<std::string> outs, double low, double high) {
        Device out;
        out.name = name(base);
        out.kind = kind;
        out.model = model;
        out.position = "head-end room";
        out.lanes = lanes;
        if (kind == DeviceKind::pad) {
            out.settings.pads = {Gain::db(-low)};
            out.settings.pads_given = true;
        }
        out.ports.push_back(port("in", PortDirection::in, lanes));
        for (const auto& o : outs) {
            out.ports.push_back(port(o, PortDirection::out, lanes));
            out.paths.push_back(
                {"in", o, {{kIf.low, Gain::db(low)}, {kIf.high, Gain::db(high)}}, Gain::db(0.5)});
        }
        venue_.devices.push_back(out);
        return venue_.devices.back();
    }

    void run(const std::string& from, const std::string& from_port, const std::string& to,
             const std::string& to_port, int lanes, double metres) {
        Run out;
        out.name = "W" + std::to_string(venue_.runs.size() + 101);
        out.from = {from, from_port};
        out.to = {to, to_port};
        out.cable = metres > 25 ? "rg11" : "rg6";
        out.length = Length(metres);
        out.outdoor = metres > 25;
        for (int l = 1; l <= lanes; ++l) out.lanes.push_back({{l}, {l}});
        venue_.runs.push_back(out);
    }

    void roof() {
        feed("west", lanes_, FeedKind::satellite);
        feed("mast", 1, FeedKind::antenna);
        device("sa-1", DeviceKind::surge_arrestor, "arrestor 4", lanes_, {"out"}, -0.5, -1);
        device("pi-1", DeviceKind::power_inserter, "inserter 4", lanes_, {"out"}, -0.5, -0.8);
        device("la-1", DeviceKind::amplifier, "launch 20", lanes_, {"out"}, 18, 20).ports[1].test_point =
            true;
        device("sa-2", DeviceKind::surge_arrestor, "arrestor 1", 1, {"out"}, -0.5, -1);
        device("la-2", DeviceKind::amplifier, "launch 12", 1, {"out"}, 12, 12).ports[1].test_point =
            true;
        run(name("west"), "out", name("sa-1"), "in", lanes_, 12);
        run(name("sa-1"), "out", name("pi-1"), "in", lanes_, 6);
        run(name("pi-1"), "out", name("la-1"), "in", lanes_, 40);
        run(name("mast"), "out", name("sa-2"), "in", 1, 15);
        run(name("sa-2"), "out", name("la-2"), "in", 1, 38);
    }

    void distribution() {
        device("tap-1", DeviceKind::tap, "tap 6", lanes_, {"tap", "through"}, -6, -6.5);
        device("sp-1", DeviceKind::splitter, "split 4x4", lanes_, {"out1", "out2", "out3", "out4"}, -7,
               -8);
        device("sp-2", DeviceKind::splitter, "split 4", 1, {"out1", "out2", "out3", "out4"}, -7,
               -8);
        run(name("la-1"), "out", name("tap-1"), "in", lanes_, 5);
        run(name("tap-1"), "through", name("sp-1"), "in", lanes_, 5);
        run(name("la-2"), "out", name("sp-2"), "in", 1, 5);
        for (int m = 1; m <= 4; ++m) multiswitch(m);
    }

    void multiswitch(int m) {
        Device out;
        out.name = name("ms-" + std::to_string(m));
        out.kind = DeviceKind::multiswitch;
        out.model = "multiswitch 5x8";
        out.position = "rack " + std::to_string(m);
        out.ports.push_back(port("sat", PortDirection::in, lanes_));
        out.ports.push_back(port("ter", PortDirection::in, 1));
        for (auto& in : out.ports) in.window = Window{Level::dbm(-50), Level::dbm(-30)};
        for (int o = 1; o <= kOutputs; ++o) {
            const std::string to = "out" + std::to_string(o);
            Port p = port(to, PortDirection::out, 1);
            p.carries_all = true;
            p.test_point = o == 1;
            out.ports.push_back(p);
            for (const auto* in : {"sat", "ter"})
                out.paths.push_back(
                    {in, to, {{kIf.low, Gain::db(-2)}, {kIf.high, Gain::db(-2)}}, Gain::db(1)});
        }
        venue_.devices.push_back(out);
        const std::string branch = std::to_string(m);
        device("pad-" + branch, DeviceKind::pad, "pad 6", lanes_, {"out"}, -6, -6);
        run(name("sp-1"), "out" + branch, name("pad-" + branch), "in", lanes_, 2);
        run(name("pad-" + branch), "out", name("ms-" + branch), "sat", lanes_, m == 3 ? 70 : 8 + 2 * m);
        run(name("sp-2"), "out" + branch, name("ms-" + branch), "ter", 1, 10);
    }

    void cards() {
        CardModel tuner;
        tuner.name = "tuner 8";
        tuner.licences = 8;
        tuner.tuners = 6;
        tuner.inputs = 4;
        tuner.output_limit = megabits_per_second(800);
        CardModel encoder;
        encoder.name = "encoder 4";
        encoder.kind = CardKind::encoder;
        encoder.licences = 4;
        encoder.inputs = 4;
        if (index_ == 0) venue_.card_models = {tuner, encoder};
        for (const auto* base : {"A", "B"})
            venue_.chassis.push_back({.name = name(base),
                                      .slots = 8,
                                      .output_limit = megabits_per_second(2000),
                                      .licences = 64});
        for (int c = 0; c < 10; ++c) {
            Card card;
            card.chassis = name(c < 5 ? "A" : "B");
            card.slot = c % 5 + 1;
            card.name = card.chassis + "-" + std::to_string(card.slot);
            card.model = c % 5 == 4 ? "encoder 4" : "tuner 8";
            card.licences = c % 5 == 4 ? 4 : 8;
            card.attached_to = name(c < 5 ? "core-1" : "core-2");
            card.source =
                IpAddress::v4(0x0A140000U + static_cast<std::uint32_t>(index_ * 256 + 10 + c));
            card.port_speed = megabits_per_second(1000);
            venue_.cards.push_back(card);
            if (c % 5 == 4) continue;
            const int m = c < 5 ? c : c - 5;
            for (int in = 1; in <= 4; ++in)
                run(name("ms-" + std::to_string(m % 4 + 1)),
                    "out" + std::to_string((c < 5 ? 0 : 4) + in), card.name,
                    "in" + std::to_string(in), 1, 3);
        }
    }

    void network() {
        for (const auto* base : {"core-1", "core-2"}) {
            Switch core;
            core.name = name(base);
            core.position = "core room";
            core.querier = core.name == name("core-1");
            venue_.switches.push_back(core);
        }
        link(name("core-1"), name("core-2"), 10'000, 2);
        for (int a = 1; a <= 12; ++a) {
            Switch access;
            access.name = name("access-" + number(a));
            access.position = "closet " + number(a);
            venue_.switches.push_back(access);
            link(name(a % 2 == 1 ? "core-1" : "core-2"), access.name, 1000, 1);
            Zone zone;
            zone.name = name("zone " + number(a));
            zone.attached_to = access.name;
            zone.displays = a <= 4 ? 84 : 83;
            zone.port_speed = megabits_per_second(100);
            venue_.zones.push_back(zone);
        }
    }

    void link(const std::string& from, const std::string& to, double speed, int members) {
        Link out;
        out.name = from + "/" + to;
        out.from = from;
        out.to = to;
        out.speed = megabits_per_second(speed);
        out.members = members;
        venue_.links.push_back(out);
    }

    void channels() {
        static constexpr std::array genres{"sport", "news", "film", "children", "music"};
        for (int c = 0; c < channels_; ++c) {
            const std::string id = std::to_string(index_ * 100 + c + 1);
            Channel channel;
            channel.number = {static_cast<std::uint32_t>(100 + index_ * 100 + c + 1), 0};
            channel.name = std::string(c % 7 == 0 ? "Harbour Sports " : "Channel ") + id;
            channel.picture = c % 10 == 0  ? PictureClass::uhd
                              : c % 3 == 0 ? PictureClass::sd
                                           : PictureClass::hd;
            channel.genre = genres[static_cast<std::size_t>(c) % genres.size()];
            channel.is_protected = c == 3;
            if (c % 15 == 14) {
                channel.input = "camera " + id;
            } else {
                channel.service = "service " + id;
                if (c % 3 == 0) carrier(c / 3);
            }
            venue_.channels.push_back(channel);
        }
    }

    void carrier(int n) {
        Carrier out;
        out.name = name("c-" + number(n + 1));
        out.feed = name("west");
        out.lane = {n % 4 + 1};
        out.frequency = frequency_of_megahertz(970 + 40 * n);
        out.system = "dvb-s2";
        out.modulation = "8psk";
        out.code_rate = "2/3";
        out.symbol_rate = SymbolRate(27'500'000);
        out.transport_rate = megabits_per_second(53.3);
        out.transport_stream_id = static_cast<std::uint16_t>(1000 + n);
        venue_.carriers.push_back(out);
    }

    Venue& venue_;
    int index_;
    int lanes_;  // of the dish
    int channels_;
    std::string suffix_;
};

// Carries each lane down the tree with the plain gains of paths and a loss per metre.
class Levels {
public:
    Levels(const Venue& venue, SignalPlan& plan) : venue_(venue), plan_(plan) {
        for (std::size_t d = 0; d < venue.devices.size(); ++d) devices_[venue.devices[d].name] = d;
        for (const auto& run : venue.runs) runs_[run.from].push_back(&run);
    }

    void run() {
        for (const auto& feed : venue_.feeds)
            for (const auto& lane : feed.lanes) {
                const LevelRange low = range(kIf.low, lane.level_low, 2);
                const LevelRange high = range(kIf.high, lane.level_high, 2);
                put({.port = {feed.name, "out"},
                     .conductor = lane.lane,
                     .lane = {feed.name, lane.lane},
                     .low = low,
                     .high = high});
            }
    }

private:
    static LevelRange range(Frequency at, Level nominal, double worst) {
        return {at,
                nominal,
                nominal - Gain::db(worst),
                nominal + Gain::db(worst),
                nominal - Gain::db(worst / 2),
                nominal + Gain::db(worst / 2)};
    }

    void put(PortLevel level) {
        if (level.window)
            level.margin = std::min({level.window->high - level.low.worst_high,
                                     level.window->high - level.high.worst_high,
                                     level.low.worst_low - level.window->low,
                                     level.high.worst_low - level.window->low});
        plan_.levels.push_back(level);
        const auto it = runs_.find(level.port);
        if (it == runs_.end()) return;
        for (const auto* run : it->second) follow(level, *run);
    }

    void follow(const PortLevel& level, const Run& run) {
        for (const auto& lane : run.lanes) {
            if (lane.from != level.conductor) continue;
            PortLevel there = level;
            there.port = run.to;
            there.conductor = lane.to;
            there.low = range(kIf.low, level.low.nominal - Gain::db(0.15 * run.length.metres()), 3);
            there.high =
                range(kIf.high, level.high.nominal - Gain::db(0.22 * run.length.metres()), 3.4);
            arrive(there);
        }
    }

    void arrive(PortLevel level) {
        level.window.reset();
        level.margin.reset();
        const auto it = devices_.find(level.port.device);
        if (it == devices_.end()) {  // a card
            level.window = Window{Level::dbm(-65), Level::dbm(-25)};
            put(level);
            plan_.reach.push_back(
                {level.port, {{level.lane, true, *plan_.levels.back().margin, {}}}});
            return;
        }
        const Device& device = venue_.devices[it->second];
        for (const auto& port : device.ports)
            if (port.name == level.port.port) level.window = port.window;
        put(level);
        for (const auto& path : device.paths) {
            if (path.from != level.port.port) continue;
            PortLevel out = level;
            out.port.port = path.to;
            out.window.reset();
            out.margin.reset();
            if (device.kind == DeviceKind::multiswitch) out.conductor = {1};
            out.low = range(kIf.low, level.low.nominal + path.gain.front().gain, 3);
            out.high = range(kIf.high, level.high.nominal + path.gain.back().gain, 3.4);
            put(out);
        }
    }

    const Venue& venue_;
    SignalPlan& plan_;
    std::map<std::string, std::size_t> devices_;
    std::map<PortRef, std::vector<const Run*>> runs_;
};

// Settings as given, noise at every card input, the power inserters with the dishes they feed.
void settle(const Venue& venue, SignalPlan& plan) {
    plan.choices = given_choices(venue);
    for (const auto& reach : plan.reach)
        for (const auto& lane : reach.lanes)
            for (const auto& carrier : venue.carriers)
                if (LaneRef{carrier.feed, carrier.lane} == lane.lane)
                    plan.noise.push_back({reach.input, lane.lane, carrier.name, Gain::db(12.4),
                                          Gain::db(6.6), Gain::db(5.8)});
    for (const auto& device : venue.devices) {
        if (device.kind != DeviceKind::power_inserter) continue;
        PowerSupply supply;
        supply.device = device.name;
        supply.voltage = Voltage(18);
        supply.load = Current(0.18);
        supply.limit = Current(0.5);
        const Feed& feed = venue.feeds[plan.power.size() * 2];
        supply.loads = {{"feed " + feed.name, {feed.name, "out"}, {1}, Current(0.18),
                         Resistance(1.8), Voltage(17.7), feed.supply_minimum}};
        for (const auto& reach : plan.reach)
            for (const auto& lane : reach.lanes)
                if (lane.lane.feed == feed.name) supply.dark.push_back({reach.input, lane.lane});
        supply.dark_channels = {"101", "102"};
        plan.power.push_back(supply);
    }
}

Expectation expectation(const Channel& channel, int copy, const FlowAddress& flow, std::size_t n) {
    Expectation out;
    out.channel = to_text(channel.number);
    out.copy = copy;
    out.name = channel.name;
    out.flow = flow;
    out.rate = megabits_per_second(channel.picture == PictureClass::uhd ? 18 : 8.25);
    out.ttl = 16;
    out.dscp = 24;
    out.program_number = {static_cast<std::uint16_t>(n + 1)};
    out.service_name = channel.name;
    out.pmt_pid = Pid(256);
    out.pcr_pid = Pid(512);
    out.components = {{Pid(512), "h264", ""}, {Pid(513), "aac", "eng"}, {Pid(514), "ac3", "eng"}};
    return out;
}

// Channels to cards in turn; the last channel of each wing is left over.
void assign(const Venue& venue, Plan& plan) {
    std::vector<std::size_t> tuners, encoders;
    for (std::size_t c = 0; c < venue.cards.size(); ++c)
        (venue.cards[c].model == "tuner 8" ? tuners : encoders).push_back(c);
    std::size_t tuned = 0, encoded = 0;
    const auto add = [&](std::size_t c, int copy) {
        const Channel& channel = venue.channels[c];
        ChannelHome home;
        home.channel = c;
        home.copy = copy;
        if (channel.input.empty()) {
            home.card = tuners[(tuned / 8 + static_cast<std::size_t>(copy - 1)) % tuners.size()];
            home.carrier = (tuned++ / 3) % venue.carriers.size();
            home.input = "in1";
        } else {
            home.card = encoders[encoded / 4 % encoders.size()];
            home.encoder_input = static_cast<int>(encoded++ % 4) + 1;
        }
        const auto n = static_cast<std::uint32_t>(plan.assignment.homes.size());
        const FlowAddress flow{*Group::of(IpAddress::v4(0xEFC00A01U + n)), UdpPort{5004}};
        plan.addressing.carriages.push_back({n, flow, venue.cards[home.card].source});
        plan.assignment.homes.push_back(home);
        plan.lineup.flows.push_back(expectation(channel, copy, flow, n));
    };
    for (std::size_t c = 0; c < venue.channels.size(); ++c) {
        if (c % 60 == 59) {
            plan.assignment.unplaced.push_back(c);
            continue;
        }
        add(c, 1);
        if (venue.channels[c].is_protected) add(c, 2);
    }
    plan.assignment.proofs = {{8, 8, true, "7 are not enough: 57 licences needed, 56 available"}};
    plan.addressing.capacity = 65'024;
}

void load(const Venue& venue, Plan& plan) {
    int n = 0;
    const auto add = [&](LoadOf of, std::size_t index, std::string link, std::string from, std::string to,
                         BitRate capacity, double share) {
        const auto part = [&](double whole) {
            return BitRate(
                static_cast<std::int64_t>(static_cast<double>(capacity.bits_per_second()) * whole));
        };
        plan.network.links.push_back({.of = of,
                                      .index = index,
                                      .link = std::move(link),
                                      .from = std::move(from),
                                      .to = std::move(to),
                                      .capacity = capacity,
                                      .limit = part(0.8),
                                      .scheduled = part(share * 0.6),
                                      .worst_mix = part(share),
                                      .mean = part(share * 0.7),
                                      .nearly_always = part(share * 0.8),
                                      .everything = part(0.95),
                                      .flooded = part(0.97),
                                      .worst_failure = part(share * 1.3),
                                      .failure = "link core-1/core-2",
                                      .groups = {0, 1, 2},
                                      .to_multicast_router = n++ % 9 == 0});
    };
    for (std::size_t i = 0; i < venue.links.size(); ++i) {
        const auto& link = venue.links[i];
        const BitRate speed = link.speed * link.members;
        add(LoadOf::link, i, link.name, link.from, link.to, speed, 0.3 + 0.06 * (n % 11));
        add(LoadOf::link, i, link.name, link.to, link.from, speed, 0.02);
    }
    for (std::size_t i = 0; i < venue.cards.size(); ++i) {
        const auto& card = venue.cards[i];
        add(LoadOf::card, i, "card " + card.name, card.name, card.attached_to, *card.port_speed, 0.08);
    }
    for (std::size_t i = 0; i < venue.zones.size(); ++i) {
        const auto& zone = venue.zones[i];
        add(LoadOf::display_port, i, "zone " + zone.name + " displays", zone.attached_to, "zone " + zone.name,
            zone.port_speed, 0.27);
    }
    for (const auto& zone : venue.zones)
        plan.network.cut_off.push_back({"switch " + zone.attached_to, zone.name});
}

}  // namespace

VenueAndPlan make(int wings, int lanes, int channels) {
    VenueAndPlan out;
    out.venue.name = "Harbour Arena";
    out.venue.kind = "arena";
    for (int w = 0; w < wings; ++w) Wing(out.venue, w, wings > 1, lanes, channels).build();
    out.venue.addressing.ranges = {
        {*Group::of(IpAddress::v4(0xEFC00A00U)), *Group::of(IpAddress::v4(0xEFC0FFFFU)), "", {}}};
    out.venue.addressing.vlan = 310;
    Levels(out.venue, out.plan.signal).run();
    settle(out.venue, out.plan.signal);
    assign(out.venue, out.plan);
    load(out.venue, out.plan);
    out.plan.lineup.venue = out.venue.name;
    out.plan.lineup.revision = "4f2a91c07be3";
    out.plan.findings = {{Severity::error,
                          "level.above-window",
                          "ms-1.sat lane west/1",
                          "the level can exceed the window",
                          "3.2 dB",
                          "a pad of 6 dB before ms-1",
                          {"signal.toml", 41, 8}},
                         {Severity::warning,
                          "assignment.unplaced-channel",
                          "channel 160",
                          "no encoder input is free",
                          "1 input",
                          "one more encoder card",
                          {"channels.csv", 61, 1}},
                         {Severity::note,
                          "network.over-in-failure",
                          "link core-1/access-03",
                          "over its limit when core-2 fails",
                          "40.0 Mbit/s",
                          "",
                          {}}};
    return out;
}

VenueAndPlan empty() {
    VenueAndPlan out;
    out.venue.name = "Bare";
    out.plan.lineup.venue = "Bare";
    out.plan.lineup.revision = "0";
    return out;
}

}  // namespace mastline::sample
