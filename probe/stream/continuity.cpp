// SPDX-License-Identifier: Apache-2.0
#include "continuity.hpp"

#include <algorithm>

namespace mastline {

namespace {

bool has_pcr(TsPacket p) {
    return (read_u8(p, 3) & 0x20U) != 0 && read_u8(p, 4) >= 7 && (read_u8(p, 5) & 0x10U) != 0;
}

}  // namespace

bool same_but_pcr(TsPacket a, TsPacket b) {
    if (!std::equal(a.begin(), a.begin() + 6, b.begin())) return false;
    const std::ptrdiff_t rest = has_pcr(a) ? 12 : 6;  // the flags are alike: both have one, or none
    return std::equal(a.begin() + rest, a.end(), b.begin() + rest);
}

}  // namespace mastline
