// SPDX-License-Identifier: Apache-2.0
// JSON documents as text for files and terminals. Includes the library of JSON: include it from a .cpp.
#pragma once

#include <string>

#include <nlohmann/json.hpp>

#include "mastline/text/escape.hpp"

namespace mastline {

// Bytes that are no UTF-8 become U+FFFD. Negative `indent`: one line without an end.
inline std::string shown_json(const nlohmann::ordered_json& document, int indent = 2) {
    const auto text = guard_json(document.dump(indent, ' ', false, nlohmann::ordered_json::error_handler_t::replace));
    return indent < 0 ? text : text + "\n";
}

}  // namespace mastline
