// SPDX-License-Identifier: Apache-2.0
// An address that something sends from.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "mastline/net/ip_address.hpp"
#include "mastline/text/table_reader.hpp"

namespace mastline {

// `who`: "a card"; `cure`: what to give instead. The value is kept where it is refused.
inline std::optional<IpAddress> read_sender_address(TableReader& reader, std::string_view key, std::string id,
                                                    const std::string& who, std::string cure) {
    const auto address = reader.quantity<IpAddress>(key);
    if (address && !address->is_sendable())
        reader.fault(std::move(id), reader.place_of(key), who + " cannot send from " + to_text(*address), std::move(cure));
    return address;
}

}  // namespace mastline
