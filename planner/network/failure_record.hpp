// SPDX-License-Identifier: Apache-2.0
// Keeps the worst of all failures for each direction of each link.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "mastline/network/network_load.hpp"
#include "planner/network/component.hpp"

namespace mastline {

class FailureRecord {
public:
    // Says which carriages make up a rate. It is asked at the end, and owns what it needs.
    using Mix = std::function<std::vector<CarriageIndex>()>;

    // REQUIRES: worst_mix and flooded of the links in `out` are filled
    FailureRecord(const Site& site, NetworkLoad& out);

    // While nothing has failed.
    BitRate usual(const Direction& d) const { return usual_[site_.topology.slot(d.link, d.from)]; }
    // The worst rate so far.
    BitRate worst(const Direction& d) const { return worst_[site_.topology.slot(d.link, d.from)]; }

    void begin(std::string failure) { failure_ = std::move(failure); }
    // `mix_of` makes the Mix; it is called only where no failure was worse so far.
    template <class MixOf>
    void raise(const Direction& d, BitRate rate, MixOf mix_of) {
        const auto slot = site_.topology.slot(d.link, d.from);
        if (rate <= worst_[slot]) return;
        worst_[slot] = rate;
        out_.links[slot].failure = failure_;
        mixes_[slot] = mix_of();
    }
    void cut_off(std::size_t zone);
    void lost(std::vector<std::size_t> carriages);

    // Fills worst_failure, and what streams that vary add up to then.
    void finish();

private:
    const Site& site_;
    NetworkLoad& out_;
    std::string failure_;
    std::vector<BitRate> usual_, worst_;  // by slot
    std::vector<Mix> mixes_;  // by slot; empty where no failure is worse
};

// As LoadRules say.
void raise_worst_mix(FailureRecord& record, const Site& site, const Direction& d,
                     const SourceMask& behind, const Reach& ahead);

}  // namespace mastline
