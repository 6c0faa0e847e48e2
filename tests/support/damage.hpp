// SPDX-License-Identifier: Apache-2.0
// Damages to a stream, by name.
#pragma once

#include <cstddef>

#include "support/ts_builder.hpp"

namespace mastline::test {

inline std::ptrdiff_t signed_index(std::size_t index) { return static_cast<std::ptrdiff_t>(index); }

inline void drop_packet(StreamBuilder& s, std::size_t index) {
    s.packets().erase(s.packets().begin() + signed_index(index));
}
inline void duplicate_packet(StreamBuilder& s, std::size_t index) {
    const PacketBytes copy = s.packets().at(index);
    s.packets().insert(s.packets().begin() + signed_index(index) + 1, copy);
}
inline void break_sync_byte(StreamBuilder& s, std::size_t index) {
    s.packets().at(index)[0] = std::byte{0x46};
}
inline void set_transport_error(StreamBuilder& s, std::size_t index) {
    s.packets().at(index)[1] |= std::byte{0x80};
}
inline void flip_byte(StreamBuilder& s, std::size_t index, std::size_t offset) {
    s.packets().at(index)[offset] ^= std::byte{0xFF};
}
// The last byte of a section is the last of its CRC_32.
inline Bytes flip_crc(Bytes section) {
    section.back() ^= std::byte{0xFF};
    return section;
}

}  // namespace mastline::test
