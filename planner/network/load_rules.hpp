// SPDX-License-Identifier: Apache-2.0
// What one direction of a link carries, given what lies behind it and ahead of it.
#pragma once

#include "mastline/venue/venue.hpp"
#include "planner/network/heaviest.hpp"

namespace mastline {

class LoadRules {
public:
    LoadRules(const NetworkPolicy& policy, const Heaviest& heaviest)
        : policy_(policy), heaviest_(heaviest) {}

    // Groups that `displays` keep flowing when each zaps at the busiest time: one each, and those
    // just left, which flow on while the leave latency runs.
    std::int64_t choices(std::int64_t displays, bool fast_leave = false) const;

    // RFC 4541 section 2.1.2: every group goes to a multicast router port.
    BitRate worst_mix(const SourceMask& behind, const Reach& ahead, bool tagged) const;
    std::vector<CarriageIndex> worst_groups(const SourceMask& behind, const Reach& ahead) const;
    std::int64_t worst_group_count(const SourceMask& behind, const Reach& ahead) const;
    BitRate everything(const SourceMask& behind, const Reach& ahead, bool tagged) const;

    const Heaviest& heaviest() const { return heaviest_; }

private:
    const NetworkPolicy& policy_;
    const Heaviest& heaviest_;
};

}  // namespace mastline
