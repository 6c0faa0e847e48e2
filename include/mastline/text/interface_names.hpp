// SPDX-License-Identifier: Apache-2.0
// The network interfaces of this machine by name.
#pragma once

#include <net/if.h>

#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "mastline/text/did_you_mean.hpp"

namespace mastline {

inline std::vector<std::string> interface_names() {
    const std::unique_ptr<struct if_nameindex, decltype(&::if_freenameindex)> list(::if_nameindex(), &::if_freenameindex);
    std::vector<std::string> out;
    for (const auto* entry = list.get(); entry != nullptr && entry->if_index != 0; ++entry) out.emplace_back(entry->if_name);
    return out;
}

// Throws std::runtime_error with the names that there are.
inline void need_interface(const std::string& name) {
    const auto known = interface_names();
    for (const auto& other : known)
        if (other == name) return;
    throw std::runtime_error("there is no network interface '" + name + "'; " + suggestion(name, known));
}

}  // namespace mastline
