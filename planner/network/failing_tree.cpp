// SPDX-License-Identifier: Apache-2.0
#include "planner/network/failing_tree.hpp"

namespace mastline {

FailingTree::FailingTree(const Site& site, const Tree& tree, const std::vector<TreeBelow>& below)
    : site_(site), tree_(tree), base_(below), paths_(site.topology, tree), now_(below.size()),
      stamp_(below.size(), 0), numbered_(tree.order.size()) {
    for (const auto s : tree.order) numbered_[tree.enter[s]] = s;
}

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
    for (const auto s : after_.moved) touch(s) = below_alone(site_, s);
    for (auto at = after_.moved.rbegin(); at != after_.moved.rend(); ++at) {
        const auto parent = paths_.uplink()[*at].parent;
        const bool inside = tree_.below(parent, after_.top);
        for (auto a = parent; a != kNone; a = inside ? kNone : tree_.uplink[a].parent)
            touch(a).add(now_[*at]);
    }
}

bool FailingTree::gained(SwitchIndex s) const {
    const auto& before = tree_.uplink[s];
    const auto& now = paths_.uplink()[s];
    if (stamp_[s] != at_ || now.parent == kNone || now_[s].empty()) return false;
    if (before.link != now.link || before.parent != now.parent) return true;
    return now_[s] != base_[s] && !tree_.below(after_.top, s);  // above it comes back at most what left
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
