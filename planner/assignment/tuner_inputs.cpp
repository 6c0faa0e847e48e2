// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/tuner_inputs.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace mastline {

namespace {

// A bipartite matching by augmenting paths: an input takes as many carriers as it has user bands, any
// number where it takes no single cable.
class InputDealer {
public:
    InputDealer(const Venue& venue, const SignalPlan& signal, std::size_t card)
        : venue_(venue), signal_(signal), card_(card) {}

    bool take(std::size_t carrier) {
        tried_.clear();
        return find_way(carrier);
    }

    std::map<std::size_t, std::string> inputs() && { return std::move(input_of_); }

private:
    bool find_way(std::size_t carrier) {
        for (const auto& input : ways_in(venue_, signal_, card_, carrier)) {
            if (!tried_.insert(input.port).second || !make_room(input)) continue;
            input_of_[carrier] = input.port;
            return true;
        }
        return false;
    }

    bool make_room(const PortRef& input) {
        std::vector<std::size_t> there;
        for (const auto& [carrier, port] : input_of_)
            if (port == input.port) there.push_back(carrier);
        const int bands = user_bands_at(signal_, input);
        return bands == 0 || std::ssize(there) < bands ||
               std::ranges::any_of(there, [&](std::size_t carrier) { return find_way(carrier); });
    }

    const Venue& venue_;
    const SignalPlan& signal_;
    std::size_t card_;
    std::map<std::size_t, std::string> input_of_;
    std::set<std::string> tried_;
};

}  // namespace

std::map<std::size_t, std::string> tuner_inputs(const Venue& venue, const SignalPlan& signal, std::size_t card,
                                                const std::set<std::size_t>& carriers) {
    InputDealer dealer(venue, signal, card);
    for (const auto carrier : carriers) dealer.take(carrier);
    return std::move(dealer).inputs();
}

}  // namespace mastline
