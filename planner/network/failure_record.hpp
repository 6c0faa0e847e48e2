// SPDX-License-Identifier: Apache-2.0
// Keeps the worst of all failures for each direction of each link.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <unordered_map>
#include <vector>

#include "mastline/network/network_load.hpp"
#include "planner/network/bundle.hpp"
#include "planner/network/component.hpp"
#include "planner/network/flooding.hpp"
#include "planner/network/varying_loads.hpp"

namespace mastline {

class FailureRecord {
public:
    // Says how the streams vary that make up a rate. It is asked at the end, and owns what it needs.
    using Mix = std::function<VaryingLoad()>;

    // REQUIRES: worst_mix, flooded and the members of the links in `out` are filled
    FailureRecord(const Site& site, const Addressing& addressing, NetworkLoad& out);

    // While nothing has failed.
    BitRate usual(const Direction& d) const { return worst_[site_.topology.slot(d.link, d.from)].usual; }
    // A failure that brings no more than this over a direction changes nothing. A bundle's fullest
    // member may fill further where the whole does not.
    BitRate matters_above(const Direction& d) const {
        const auto& w = worst_[site_.topology.slot(d.link, d.from)];
        return std::min(w.whole, w.member);
    }

    const VaryingSources& varying() const { return varying_; }

    void begin(std::string failure) { failure_ = std::move(failure); }
    // `mix_of` makes the Mix; it is called only where no failure was worse so far.
    template <class MixOf>
    void raise(const Direction& d, BitRate rate, MixOf mix_of) {
        const auto slot = site_.topology.slot(d.link, d.from);
        if (rate <= worst_[slot].whole) return;
        worst_[slot].whole = rate;
        out_.links[slot].failure = failure_;
        mixes_[slot] = mix_of();
    }
    // `rate`: of all members. `flows` makes those that can flow, heaviest first.
    template <class Flows>
    void raise_member(const Direction& d, BitRate rate, Flows flows, const MixAmong& mix_among) {
        const auto slot = site_.topology.slot(d.link, d.from);
        if (rate <= worst_[slot].member) return;
        raise_member(d.link, slot, flows(), mix_among);
    }
    // What comes to the displays' ports of each switch that floods.
    void flood_ports(const FloodedAt& flooded);
    void cut_off(std::size_t zone);
    void lost(std::vector<std::size_t> carriages);

    // Fills worst_failure, and what streams that vary add up to then.
    void finish();

private:
    void raise_member(LinkIndex link, std::size_t slot, const std::vector<CarriageIndex>& flows,
                      const MixAmong& mix_among);

    const Site& site_;
    const Addressing& addressing_;
    NetworkLoad& out_;
    VaryingSources varying_;
    std::string failure_;
    struct Worst {
        BitRate usual;   // while nothing has failed
        BitRate whole;   // in the worst failure so far
        BitRate member;  // of the fullest member then; without a bundle more than anything brings
    };
    std::vector<Worst> worst_;  // by slot; apart from `out`, as every failure asks for many
    std::map<std::size_t, MixesDrawn> drawn_;  // by slot
    std::vector<Mix> mixes_;  // by slot; empty where no failure is worse
    std::unordered_map<SwitchIndex, std::vector<std::size_t>> ports_;  // displays' ports in the list of loads
};

// As LoadRules say.
void raise_worst_mix(FailureRecord& record, const Site& site, const Direction& d,
                     const SourceMask& behind, const Reach& ahead);

// Where switches flood.
void raise_flooded(FailureRecord& record, const Site& site, const Direction& d, const SourceMask& behind,
                   const FloodLoads& flood);
// Where all that is behind comes; `rate` is that.
void raise_flooded_whole(FailureRecord& record, const Site& site, const Direction& d, BitRate rate, const SourceMask& behind);
// `rate` is that of all that `feeds` bring.
void raise_fed(FailureRecord& record, const Site& site, const Direction& d, BitRate rate, const SourceMask& behind,
               const FloodFeeds& feeds);

}  // namespace mastline
