// SPDX-License-Identifier: Apache-2.0
#include "probe/source/wire_register.hpp"

#include <algorithm>

namespace mastline {

WireNumber WireRegister::describe(std::size_t id, const std::string& name, LinkType link) {
    if (id == 0) section_.clear();
    const auto same = name.empty() ? section_.end() : section_.find(name);
    if (same != section_.end() && same->second.links.insert(link).second) return same->second.wire;
    const WireNumber wire = number_of({id, name, std::nullopt});
    section_[name] = {wire, {link}};
    return wire;
}

std::vector<std::string> WireRegister::names() const {
    std::map<std::string, std::size_t> bearers;
    for (const auto& i : interfaces_)
        if (!i.index) ++bearers[i.name];
    std::vector<std::string> out;
    for (const auto& i : interfaces_) {
        const std::string number = "interface " + std::to_string(i.id);
        std::string name = i.name.empty() ? number : i.name;
        if (!i.name.empty() && bearers[i.name] > 1) name += " (" + number + ")";
        if (i.index) name += ", index " + std::to_string(*i.index);
        out.push_back(std::move(name));
    }
    return out;
}

}  // namespace mastline
