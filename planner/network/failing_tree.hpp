// SPDX-License-Identifier: Apache-2.0
// One tree of a routed network, and what lies below each of its switches, before and after the
// failure at hand. Only what the failure moves is reckoned again.
#pragma once

#include <optional>
#include <vector>

#include "planner/network/reconverge.hpp"
#include "planner/network/routed_trees.hpp"

namespace mastline {

class FailingTree {
public:
    // All must outlive it.
    FailingTree(const RoutedTrees& routed, const Site& site, std::size_t tree);

    // Finds new ways for what lost its own; true when there are any. REQUIRES: the root is not lost
    bool fail(const NetworkLoss& loss);
    // Reckons what lies below each switch now; below(), reaches(), touched() and gain() speak of it.
    // REQUIRES: fail() before
    void settle();
    // It is joined at `s` all the time from now on; gain() does not tell. REQUIRES: settle() before; the tree
    // reaches `s`
    void join(SwitchIndex s, CarriageIndex carriage);

    const Uplink& uplink(SwitchIndex s) const { return paths_.uplink()[s]; }
    const TreeBelow& below(SwitchIndex s) const { return stamp_[s] == at_ ? now_[s] : base_[s]; }
    // The source's streams still come here.
    bool reaches(SwitchIndex s) const {
        const auto carried = hangers_.hangs(s) ? tree_.uplink[s].parent : s;
        return !in_region(carried) || stamp_[carried] == at_;
    }
    // It lost its way, whether or not it found another.
    bool in_region(SwitchIndex s) const { return after_.top != kNone && tree_.below(s, after_.top); }

    const std::vector<SwitchIndex>& touched() const { return touched_; }
    const std::vector<std::vector<SwitchIndex>>& islands() const { return after_.islands; }
    // What its uplink may carry that it did not carry before, at most; none: nothing.
    struct Gain {
        std::int64_t displays = 0;           // that the tree did not reach over it
        const JoinCounts* joined = nullptr;  // beyond it, where others than before; else none
        bool anew = false;                   // the tree did not lead over it
    };
    std::optional<Gain> gain(SwitchIndex s) const;

    // Switches that lost their way, but those that hang on another that has one again.
    const std::vector<SwitchIndex>& region() const { return paths_.region(); }
    // Calls f(switch, its uplink) on the way from `s` to the root, the root left out.
    template <class F>
    static void for_each_step(const std::vector<Uplink>& uplink, SwitchIndex s, F f) {
        for (auto at = s; uplink[at].parent != kNone; at = uplink[at].parent) f(at, uplink[at]);
    }
    const std::vector<Uplink>& uplinks_before() const { return tree_.uplink; }
    const std::vector<Uplink>& uplinks() const { return paths_.uplink(); }

private:
    TreeBelow& touch(SwitchIndex s);

    const Tree& tree_;
    const Hangers& hangers_;
    const std::vector<TreeBelow>& alone_;
    const std::vector<TreeBelow>& base_;  // by switch
    Reconvergence paths_;
    std::vector<TreeBelow> now_;          // by switch, where touched
    std::vector<std::uint32_t> stamp_;
    std::vector<SwitchIndex> touched_;
    AfterLoss after_;
    std::uint32_t at_ = 0;
};

}  // namespace mastline
