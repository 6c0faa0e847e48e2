// SPDX-License-Identifier: Apache-2.0
// The wires of one capture file: the interfaces that it describes, and where frames name the interface
// themselves (LINKTYPE_LINUX_SLL2, made of all interfaces of a machine at once), each of those.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/net/link_type.hpp"
#include "mastline/net/wire_number.hpp"

namespace mastline {

class WireRegister {
public:
    // Beyond so many the last stands for all further ones.
    static constexpr std::size_t kMost = 0x10000;

    // An interface that the file describes, the `id`th of its section, from 0. Sections that give an interface the same
    // place and name tell of the same one; so do descriptions of one name but of different link layers, which a
    // program gives that keeps frames and packets without one.
    WireNumber describe(std::size_t id, const std::string& name, LinkType link);

    // Of a frame heard on a described interface.
    WireNumber of_frame(WireNumber described, LinkType link, ByteView frame) {
        if (link != kLinkLinuxCooked2 || frame.size() < 8) return described;
        const auto index = read_u32(frame, 4);  // protocol 2, reserved 2, interface index 4
        if (last_ && last_->described == described && last_->index == index) return last_->wire;
        Interface key = interfaces_[described.number];
        key.index = index;
        last_ = {described, index, number_of(key)};
        return last_->wire;
    }

    // By number: "eth1"; "interface 1" counted from 0 where the file has no name, "eth1 (interface 1)" where two share
    // one; "any, index 3" where the frames name it.
    std::vector<std::string> names() const;

private:
    struct Interface {
        std::size_t id = 0;
        std::string name;
        std::optional<std::uint32_t> index;
        friend auto operator<=>(const Interface&, const Interface&) = default;
    };
    struct Found {
        WireNumber described;
        std::uint32_t index = 0;
        WireNumber wire;
    };

    WireNumber number_of(const Interface& interface) {
        if (const auto found = numbers_.find(interface); found != numbers_.end()) return found->second;
        if (interfaces_.size() == kMost) return {kMost - 1};
        const WireNumber added{static_cast<std::uint16_t>(interfaces_.size())};
        interfaces_.push_back(interface);
        numbers_.emplace(interface, added);
        return added;
    }

    struct Described {
        WireNumber wire;
        std::set<LinkType> links;
    };

    std::vector<Interface> interfaces_;  // by number
    std::map<std::string, Described> section_;  // in this section, the last of each name
    std::map<Interface, WireNumber> numbers_;
    std::optional<Found> last_;  // a frame often comes where the one before did
};

}  // namespace mastline
