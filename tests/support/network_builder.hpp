// SPDX-License-Identifier: Apache-2.0
// Networks with channels on cards, built in words.
#pragma once

#include <string>

#include "mastline/addressing/allocate.hpp"
#include "mastline/network/network_load.hpp"
#include "support/lineup_stub.hpp"

namespace mastline::test {

class NetworkBuilder {
public:
    explicit NetworkBuilder(std::vector<BitRate> channel_rates) {
        l_ = lineup({});
        l_.venue.cards.clear();
        for (std::uint32_t i = 0; i < channel_rates.size(); ++i) {
            auto one = lineup({{101 + i, 0}}, channel_rates[i]);
            l_.venue.inputs.push_back(one.venue.inputs[0]);
            l_.venue.channels.push_back(one.venue.channels[0]);
        }
        l_.venue.addressing.ranges = {range("239.192.0.0/16")};
    }

    NetworkBuilder& with_switch(std::string name, int priority = 32768) {
        Switch s;
        s.name = std::move(name);
        s.priority = priority;
        l_.venue.switches.push_back(std::move(s));
        return *this;
    }
    NetworkBuilder& querier(std::string name, std::uint32_t address) {
        at(name).querier = true;
        at(name).querier_address = IpAddress::v4(address);
        return *this;
    }
    NetworkBuilder& with_link(std::string from, std::string to, double gigabits = 1) {
        Link l;
        l.name = from + "/" + to;
        l.from = std::move(from);
        l.to = std::move(to);
        l.speed = megabits_per_second(1000 * gigabits);
        l_.venue.links.push_back(std::move(l));
        return *this;
    }
    NetworkBuilder& with_zone(std::string at_switch, int displays,
                              std::vector<std::string> defaults = {},
                              std::vector<std::string> recorded = {}) {
        Zone z;
        z.name = at_switch + " zone";
        z.attached_to = std::move(at_switch);
        z.displays = displays;
        z.port_speed = megabits_per_second(100);
        for (auto& d : defaults) z.defaults.push_back({std::move(d), {}});
        for (auto& r : recorded) z.recorded.push_back({std::move(r), {}});
        l_.venue.zones.push_back(std::move(z));
        return *this;
    }
    // The next `channels` channels that have no card yet leave from one plugged into `at_switch`.
    NetworkBuilder& with_card(std::string name, std::string at_switch, std::size_t channels) {
        Card c;
        c.name = std::move(name);
        c.attached_to = std::move(at_switch);
        for (std::size_t i = 0; i < channels; ++i)
            l_.assignment.homes.push_back(
                {.channel = l_.assignment.homes.size(), .card = l_.venue.cards.size()});
        l_.venue.cards.push_back(std::move(c));
        return *this;
    }

    Switch& at(const std::string& name) {
        for (auto& s : l_.venue.switches)
            if (s.name == name) return s;
        throw std::logic_error("no switch " + name);
    }
    Link& link(const std::string& name) {
        for (auto& l : l_.venue.links)
            if (l.name == name) return l;
        throw std::logic_error("no link " + name);
    }
    Venue& venue() { return l_.venue; }
    Assignment& assignment() { return l_.assignment; }
    Findings& findings() { return l_.findings; }

    Addressing addressing() {
        Findings ignored;
        return allocate(l_.venue, l_.assignment, ignored);
    }
    NetworkLoad load() {
        l_.findings.clear();
        return network_load(l_.venue, l_.assignment, addressing(), l_.findings);
    }

private:
    Lineup l_;
};

inline const LinkLoad& direction(const NetworkLoad& load, const std::string& from,
                                 const std::string& to) {
    for (const auto& l : load.links)
        if (l.from == from && l.to == to) return l;
    throw std::logic_error("no link from " + from + " to " + to);
}

inline double mbps(BitRate rate) { return static_cast<double>(rate.bits_per_second()) / 1e6; }

}  // namespace mastline::test
