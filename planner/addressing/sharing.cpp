// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/sharing.hpp"

#include "planner/addressing/group_numbers.hpp"

namespace mastline {

Sharing::Sharing(GroupPool& pool, std::vector<std::optional<Group>>& groups)
    : pool_(pool), groups_(groups) {}

bool Sharing::give(std::size_t home, const std::vector<RangeChoice>& choices) {
    tried_.clear();
    if (!find(home, choices)) return false;
    given_.push_back(home);
    return true;
}

bool Sharing::find(std::size_t home, const std::vector<RangeChoice>& choices) {
    const auto& choice = choices[home];
    if (!tried_.insert(choice).second) return false;
    for (const auto range : choice)
        if (const auto group = pool_.next(range)) {
            groups_[home] = group;
            pool_.take(*group);
            return true;
        }
    for (const auto range : choice)
        for (const auto other : given_) {
            if (tried_.contains(choices[other])) continue;
            const auto passed_on = pool_.with_mac(range, mac_number(*groups_[other]));
            if (!passed_on || !find(other, choices)) continue;
            groups_[home] = passed_on;
            return true;
        }
    return false;
}

std::vector<std::size_t> Sharing::contested() const {
    std::set<std::size_t> out;
    for (const auto& choice : tried_) out.insert(choice.begin(), choice.end());
    return {out.begin(), out.end()};
}

}  // namespace mastline
