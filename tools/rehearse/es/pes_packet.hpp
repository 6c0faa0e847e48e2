// SPDX-License-Identifier: Apache-2.0
// One PES packet (ISO/IEC 13818-1, 2.4.3.6) around an access unit and its filler, copied out piece
// by piece; nothing of it is stored but the header.
#pragma once

#include <array>

#include "tools/rehearse/es/unit_recipe.hpp"
#include "tools/rehearse/ts/byte_writer.hpp"

namespace mastline {

class PesPacket {
public:
    // The unit is decoded at `decoded`. `size` is that of the whole PES packet; it is raised to
    // what the unit needs, and lowered to that when the recipe knows no filler or the filler would
    // not fit.
    void open(const UnitRecipe& recipe, ByteView unit, PtsTicks decoded, std::size_t size);

    std::size_t size() const { return size_; }
    // REQUIRES: at + out.size() <= size()
    void copy(std::size_t at, ByteSpan out) const;

private:
    static constexpr std::size_t kMostHeader = 48;
    // A run of bytes: given ones, or one value repeated.
    struct Piece {
        ByteView bytes;
        std::size_t size = 0;
        std::byte repeated{};
    };

    void write_header(const UnitRecipe& recipe, PtsTicks decoded);
    void add(ByteView bytes);
    void add_repeated(std::byte value, std::size_t count);
    void add_filler(Filler filler, std::size_t room);

    std::array<std::byte, kMostHeader> header_{};
    std::array<Piece, 5> pieces_{};
    std::size_t piece_count_ = 0;
    std::size_t size_ = 0;
};

// Bytes of a PES header as the recipe has it.
inline std::size_t pes_header_size(const UnitRecipe& recipe) {
    return 9U + recipe.header_length;
}

}  // namespace mastline
