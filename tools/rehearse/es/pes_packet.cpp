// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/es/pes_packet.hpp"

#include <algorithm>

#include "tools/rehearse/ts/pes_time.hpp"

namespace mastline {

namespace {

constexpr std::array<std::uint8_t, 5> kAvcFillerStart{0x00, 0x00, 0x00, 0x01, 0x0C};
constexpr std::array<std::uint8_t, 6> kHevcFillerStart{0x00, 0x00, 0x00, 0x01, 0x4C, 0x01};
constexpr std::array<std::uint8_t, 1> kTrailingBits{0x80};

ByteView filler_start(Filler filler) {
    if (filler == Filler::avc) return std::as_bytes(std::span(kAvcFillerStart));
    if (filler == Filler::hevc) return std::as_bytes(std::span(kHevcFillerStart));
    return {};
}

}  // namespace

void PesPacket::open(const UnitRecipe& recipe, ByteView unit, PtsTicks decoded, std::size_t size) {
    const std::size_t header = pes_header_size(recipe);
    piece_count_ = 0;
    size_ = 0;
    add(ByteView(header_).first(header));
    add(unit);
    if (size > size_) add_filler(recipe.filler, size - size_);
    write_header(recipe, decoded);
}

void PesPacket::copy(std::size_t at, ByteSpan out) const {
    std::size_t begin = 0;
    for (std::size_t i = 0; i < piece_count_ && !out.empty(); ++i) {
        const Piece& piece = pieces_[i];
        if (at < begin + piece.size) {
            const std::size_t offset = at - begin;
            const std::size_t count = std::min(piece.size - offset, out.size());
            if (piece.bytes.empty())
                std::fill_n(out.begin(), count, piece.repeated);
            else
                std::copy_n(piece.bytes.begin() + static_cast<std::ptrdiff_t>(offset), count,
                            out.begin());
            out = out.subspan(count);
            at += count;
        }
        begin += piece.size;
    }
}

// A DTS stands there if and only if it differs from the PTS (ISO/IEC 13818-1, 2.7.5).
void PesPacket::write_header(const UnitRecipe& recipe, PtsTicks decoded) {
    const std::size_t after_length = size_ - 6;
    write_u32(header_, 0, 0x100U | recipe.stream_id);
    // A video PES packet longer than the field can say is unbounded: 0.
    write_u16(header_, 4, after_length > 0xFFFF ? 0U : static_cast<unsigned>(after_length));
    write_u8(header_, 6, recipe.aligned ? 0x84U : 0x80U);
    std::fill(header_.begin() + 9, header_.end(), std::byte{0xFF});
    const bool differ = recipe.shown_after != PtsTicks(0);
    write_u8(header_, 7, differ ? 0xC0U : 0x80U);
    write_u8(header_, 8, recipe.header_length);
    write_pes_time(header_, 9, differ ? 3U : 2U, decoded + recipe.shown_after);
    if (differ) write_pes_time(header_, 9 + kPesTimeSize, 1, decoded);
}

void PesPacket::add(ByteView bytes) {
    if (bytes.empty()) return;
    pieces_[piece_count_++] = {bytes, bytes.size(), {}};
    size_ += bytes.size();
}

void PesPacket::add_repeated(std::byte value, std::size_t count) {
    if (count == 0) return;
    pieces_[piece_count_++] = {{}, count, value};
    size_ += count;
}

void PesPacket::add_filler(Filler filler, std::size_t room) {
    if (filler == Filler::zero_bytes) add_repeated(std::byte{0}, room);
    const ByteView start = filler_start(filler);
    if (start.empty() || room < start.size() + kTrailingBits.size()) return;
    add(start);
    add_repeated(std::byte{0xFF}, room - start.size() - kTrailingBits.size());
    add(std::as_bytes(std::span(kTrailingBits)));
}

}  // namespace mastline
