// SPDX-License-Identifier: Apache-2.0
// Names that are not always there, as JSON.
#pragma once

#include <string>

#include <nlohmann/json.hpp>

namespace mastline {

inline nlohmann::ordered_json name_or_null(const std::string& name) {
    return name.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(name);
}

}  // namespace mastline
