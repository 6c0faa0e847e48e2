// SPDX-License-Identifier: Apache-2.0
// The rates of links, ports and streams.
#pragma once

#include "mastline/text/table_reader.hpp"
#include "mastline/units/bit_rate.hpp"

namespace mastline {

// Beyond what any device of a venue has; products with frame sizes and counts stay within 64 bits.
inline constexpr BitRate kGreatestRate{100'000'000'000'000};

// The rate under `key`, at least `least` and at most kGreatestRate.
inline std::optional<BitRate> read_rate(TableReader& reader, std::string_view key, BitRate least = BitRate(1)) {
    const auto rate = reader.quantity_at_least<BitRate>(key, least);
    if (!rate || *rate <= kGreatestRate) return rate;
    reader.fault("file.out-of-range", reader.place_of(key), "'" + std::string(key) + "' is " + to_text(*rate),
                 "it must be at most 100000 Gbit/s");
    return std::nullopt;
}

}  // namespace mastline
