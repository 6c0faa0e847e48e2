// SPDX-License-Identifier: Apache-2.0
#include "planner/network/carriage_set.hpp"

#include <algorithm>
#include <bit>

namespace mastline {

BitRate CarriageSet::rate(const std::vector<NetworkCarriage>& carriages, bool tagged) const {
    BitRate sum;
    for (const auto c : list()) sum += rate_of(carriages[c], tagged);
    return sum;
}

std::vector<CarriageIndex> CarriageSet::list() const {
    std::size_t size = 0;
    for (const auto w : words_) size += static_cast<std::size_t>(std::popcount(w));
    std::vector<CarriageIndex> out;
    out.reserve(size);
    for (std::size_t w = 0; w < words_.size(); ++w)
        for (auto bits = words_[w]; bits != 0; bits &= bits - 1)
            out.push_back(static_cast<CarriageIndex>(64 * w + static_cast<std::size_t>(std::countr_zero(bits))));
    return out;
}

std::vector<CarriageIndex> ascending(std::vector<CarriageIndex> list, std::size_t carriages) {
    if (list.size() < carriages / 64) {  // a set would cost more than the list
        std::sort(list.begin(), list.end());
        return list;
    }
    CarriageSet set(carriages);
    for (const auto c : list) set.set(c);
    return set.list();
}

}  // namespace mastline
