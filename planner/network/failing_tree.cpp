// SPDX-License-Identifier: Apache-2.0
#include "planner/network/failing_tree.hpp"

namespace mastline {

FailingTree::FailingTree(const RoutedTrees& routed, const Site& site, std::size_t tree)
    : tree_(routed.trees[tree]), hangers_(*routed.hangers), alone_(routed.alone), base_(routed.below[tree]),
      paths_(site.topology, tree_, *routed.hangers), now_(base_.size()), stamp_(base_.size(), 0) {}

bool FailingTree::fail(const NetworkLoss& loss) {
    ++at_;
    touched_.clear();
    after_ = paths_.after(loss);
    return !after_.moved.empty();
}

void FailingTree::settle() {
    if (after_.top == kNone) return;
    for (auto a = after_.old_parent; a != kNone; a = tree_.uplink[a].parent)
        touch(a).remove(base_[after_.top]);
    for (const auto s : after_.moved) touch(s) = alone_[s];
    for (auto at = after_.moved.rbegin(); at != after_.moved.rend(); ++at) {
        const auto parent = paths_.uplink()[*at].parent;
        const bool inside = tree_.below(parent, after_.top);
        for (auto a = parent; a != kNone; a = inside ? kNone : tree_.uplink[a].parent)
            touch(a).add(now_[*at]);
    }
}

void FailingTree::join(SwitchIndex s, CarriageIndex carriage) {
    for (auto a = s; a != kNone; a = paths_.uplink()[a].parent) touch(a).always.join(carriage);
}

std::optional<FailingTree::Gain> FailingTree::gain(SwitchIndex s) const {
    const auto& before = tree_.uplink[s];
    const auto& now = paths_.uplink()[s];
    if (stamp_[s] != at_ || now.parent == kNone || now_[s].empty()) return std::nullopt;
    if (before.link != now.link || before.parent != now.parent)
        return Gain{now_[s].displays, &now_[s].always, true};
    // Above the region comes back at most what left.
    if (tree_.below(after_.top, s) || now_[s] == base_[s]) return std::nullopt;
    // In the region some may have left and others come; outside of it they only come.
    return Gain{now_[s].displays - (in_region(s) ? 0 : base_[s].displays),
                now_[s].always == base_[s].always ? nullptr : &now_[s].always, false};
}

TreeBelow& FailingTree::touch(SwitchIndex s) {
    if (stamp_[s] != at_) {
        stamp_[s] = at_;
        now_[s] = base_[s];
        touched_.push_back(s);
    }
    return now_[s];
}

}  // namespace mastline
