// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/mnemonic.hpp"

#include "planner/addressing/group_numbers.hpp"

namespace mastline {

namespace {

// The decimal digits of `n` read as hexadecimal. REQUIRES: n has at most 7 digits
constexpr std::uint32_t digits_as_hex(std::uint32_t n) {
    std::uint32_t out = 0;
    for (int shift = 0; n > 0; shift += 4, n /= 10) out |= (n % 10) << shift;
    return out;
}

std::optional<std::uint64_t> word6(const ChannelNumber& n) {
    if (n.minor > 0) {
        if (n.major > 999 || n.minor > 9999) return std::nullopt;
        return 0x80000000U | (digits_as_hex(n.major) << 16) | digits_as_hex(n.minor);
    }
    if (n.major > 9'999'999) return std::nullopt;
    return 0x80000000U | digits_as_hex(n.major);
}

std::optional<std::uint64_t> word4(const ChannelNumber& n, std::uint64_t first, std::uint64_t last) {
    const std::uint64_t base = first & ~std::uint64_t{0xFF};
    if (n.minor > 0)
        return n.minor > 255 ? std::nullopt : std::optional(base + n.major * 256ULL + n.minor);
    if (last - first >= 256) return base + (n.major / 100) * 256ULL + n.major % 100;
    return base + n.major;
}

}  // namespace

std::optional<Group> mnemonic_group(const GroupRange& range, const ChannelNumber& number) {
    const std::uint64_t first = last_word(range.first.address());
    const std::uint64_t last = last_word(range.last.address());
    const auto word = range.first.address().is_v4() ? word4(number, first, last) : word6(number);
    if (!word || *word < first || *word > last) return std::nullopt;
    return group_like(range.first, static_cast<std::uint32_t>(*word));
}

}  // namespace mastline
