// SPDX-License-Identifier: Apache-2.0
// Switches that send groups to ports where nobody joined them.
#pragma once

#include <map>
#include <unordered_map>
#include <vector>

#include "planner/network/bundle.hpp"
#include "planner/network/component.hpp"

namespace mastline {

// `queried`: a querier or multicast router is left in its part of the network.
bool floods(const Switch& s, bool queried);

struct FloodRate {
    BitRate plain, tagged;
    BitRate on(bool with_tag) const { return with_tag ? tagged : plain; }
    FloodRate& operator+=(const FloodRate& other) {
        plain += other.plain;
        tagged += other.tagged;
        return *this;
    }
};

// By flooding switch: all that reaches it.
using FloodedAt = std::map<SwitchIndex, FloodRate>;

// What makes up the load of one direction: all that enters at the flooding switches behind it, and the
// worst mix of every direction that leads into them from another switch. No stream is in two of these.
class FloodFeeds {
public:
    explicit FloodFeeds(const Site& site) : entering_(site.heaviest.source_count()) {}
    void enter(const SourceMask& sources) { entering_.add(sources); }
    void mix(const SourceMask& behind, const Reach& ahead, std::int64_t choices) {
        mixes_.push_back({behind, ahead.always, choices});
    }
    // All of these flow,
    const SourceMask& entering() const { return entering_; }
    // and of others what displays choose.
    std::vector<CarriageIndex> chosen(const Site& site) const;
    // All where only these can flow: displays may all choose among them.
    std::vector<CarriageIndex> among(const Site& site, const std::vector<CarriageIndex>& flows) const;

private:
    struct Mix {
        SourceMask behind;
        JoinCounts always;
        std::int64_t choices;
    };
    SourceMask entering_;
    std::vector<Mix> mixes_;
};

// At most what flows where switches flood all that reaches them: the worst mix, and behind a flooding
// switch everything that arrives there. The worst mix of a direction out of such a switch is part of
// what arrives: each direction in leads to the same displays and others, from fewer sources.
class FloodLoads {
public:
    // All must outlive it. `component` may be a part: then the neighbours of each flooding switch in it
    // are in it too, and only directions out of flooding switches are asked for.
    FloodLoads(const Site& site, const Component& component, const std::vector<Uplink>& uplink, const Sides& sides);

    // No switch of the component floods: nothing else may be asked.
    bool empty() const { return up_.empty(); }
    const FloodRate& along(const Direction& d) const;
    FloodFeeds feeds(const Direction& d) const;
    FloodedAt at() const;

private:
    bool does_flood(SwitchIndex s) const { return floods(*site_.switches[s], component_.queried); }
    bool is_up(const Direction& d) const { return uplink_[d.from].link == d.link && uplink_[d.from].parent == d.to; }
    // Of a switch that floods; `sides` know of streams that moved.
    SourceMask entering_at(SwitchIndex s) const;
    FloodRate entering(SwitchIndex s) const;
    FloodRate mix(const SourceMask& behind, const Reach& ahead) const;
    // Calls f(behind, ahead) for a direction of the tree.
    template <class F>
    void with_sides(const Direction& d, F f) const;

    const Site& site_;
    const Component& component_;
    const std::vector<Uplink>& uplink_;
    const Sides& sides_;
    std::unordered_map<SwitchIndex, std::uint32_t> place_;  // in the order of the component
    std::vector<std::vector<SwitchIndex>> children_;
    std::vector<FloodRate> up_, down_;  // by place: to and from the parent
};

}  // namespace mastline
