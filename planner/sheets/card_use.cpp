// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/card_use.hpp"

#include <algorithm>

namespace mastline {

namespace {

void add_once(std::vector<std::string>& names, const std::string& name) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
}

}  // namespace

std::vector<CardUse> card_uses(const PlanIndex& index) {
    std::vector<CardUse> out(index.venue().cards.size());
    for (const auto& carriage : index.carriages()) {
        if (carriage.home == nullptr || carriage.home->card >= out.size()) continue;
        CardUse& use = out[carriage.home->card];
        ++use.channels;
        if (carriage.home->carrier)
            add_once(use.carriers, index.venue().carriers[*carriage.home->carrier].name);
        if (!carriage.channel->input.empty()) add_once(use.inputs, carriage.channel->input);
        if (carriage.expectation != nullptr) use.rate += carriage.expectation->rate;
    }
    return out;
}

}  // namespace mastline
