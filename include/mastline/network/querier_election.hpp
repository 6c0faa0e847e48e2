// SPDX-License-Identifier: Apache-2.0
// Which switch asks for members, and which after it.
#pragma once

#include <algorithm>
#include <cstddef>
#include <tuple>
#include <vector>

#include "mastline/venue/network.hpp"

namespace mastline {

// Indices of those that may query, the one elected first, then each as those before it are lost: the
// lowest address wins (RFC 2236 section 3, RFC 3376 section 6.6.2). One without an address takes no part
// (RFC 4541 section 2.1.1) and comes last.
inline std::vector<std::size_t> queriers_in_turn(const std::vector<const Switch*>& switches) {
    std::vector<std::size_t> out;
    for (std::size_t i = 0; i < switches.size(); ++i)
        if (switches[i]->querier) out.push_back(i);
    std::stable_sort(out.begin(), out.end(), [&](std::size_t a, std::size_t b) {
        const auto key = [&](std::size_t i) {
            const auto& address = switches[i]->querier_address;
            return std::tuple(!address.has_value(), address.value_or(IpAddress{}));
        };
        return key(a) < key(b);
    });
    return out;
}

}  // namespace mastline
