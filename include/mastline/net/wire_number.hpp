// SPDX-License-Identifier: Apache-2.0
// One interface that was listened on. What is heard on two of them is two streams, whatever its addresses.
#pragma once

#include <compare>
#include <cstdint>

namespace mastline {

// Counted from 0 within one capture; always 0 where one interface alone is listened on.
struct WireNumber {
    std::uint16_t number = 0;
    friend constexpr auto operator<=>(WireNumber, WireNumber) = default;
};

}  // namespace mastline
