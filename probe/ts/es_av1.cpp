// SPDX-License-Identifier: Apache-2.0
// AV1: the sequence header of the AV1 Bitstream & Decoding Process Specification, 5.5.
#include <array>
#include <fmt/format.h>

#include "bit_reader.hpp"
#include "mastline/ts/es_header.hpp"
#include "start_codes.hpp"

namespace mastline {

namespace {

constexpr std::array kAv1Profiles{"Main", "High", "Professional"};

// Of the frames per second, what the timing information says; returns how long the decoder's delays are.
unsigned read_picture_interval(BitReader& bits, VideoFormat& f) {
    const std::uint32_t units = bits.bits(32), scale = bits.bits(32);
    if (bits.flag()) {  // equal_picture_interval
        const std::uint64_t ticks = std::uint64_t{units} * (std::uint64_t{bits.ue()} + 1);
        if (units > 0 && scale > 0 && ticks <= 0xFFFFFFFF) f.frame_rate = FrameRate{scale, static_cast<std::uint32_t>(ticks)};
    }
    if (!bits.flag()) return 0;  // decoder_model_info_present_flag
    const unsigned delay_bits = bits.bits(5) + 1;
    bits.skip(32 + 5 + 5);
    return delay_bits;
}

void read_operating_points(BitReader& bits, unsigned delay_bits, VideoFormat& f) {
    const bool display_delay = bits.flag();
    const unsigned count = bits.bits(5) + 1;
    for (unsigned i = 0; i < count; ++i) {
        bits.skip(12);
        const unsigned level = bits.bits(5);
        if (i == 0) f.level = fmt::format("{}.{}", 2 + level / 4, level % 4);
        if (level > 7) bits.skip(1);  // seq_tier
        if (delay_bits > 0 && bits.flag()) bits.skip(std::size_t{2} * delay_bits + 1);
        if (display_delay && bits.flag()) bits.skip(4);
    }
}

std::optional<VideoFormat> parse_sequence_header(ByteView payload) {
    BitReader bits(payload);
    const unsigned profile = bits.bits(3);
    if (profile >= kAv1Profiles.size()) return std::nullopt;
    VideoFormat f;
    f.profile = kAv1Profiles[profile];
    bits.skip(1);  // still_picture
    if (bits.flag()) {  // reduced_still_picture_header
        const unsigned level = bits.bits(5);
        f.level = fmt::format("{}.{}", 2 + level / 4, level % 4);
    } else {
        const unsigned delay_bits = bits.flag() ? read_picture_interval(bits, f) : 0;
        read_operating_points(bits, delay_bits, f);
    }
    const unsigned width_bits = bits.bits(4) + 1, height_bits = bits.bits(4) + 1;
    f.width = bits.bits(width_bits) + 1;
    f.height = bits.bits(height_bits) + 1;
    return bits.ok() ? std::optional(f) : std::nullopt;
}

// One open bitstream unit (5.3): obu_forbidden_bit 1 | obu_type 4 | extension 1 | has_size 1 | reserved 1.
struct BitstreamUnit {
    unsigned type = 0;
    std::size_t head = 0;
    std::optional<std::size_t> size;  // of the payload; none: not stated
};

std::optional<BitstreamUnit> unit_at(ByteView bytes) {
    if (bytes.empty() || (read_u8(bytes, 0) & 0x80) != 0) return std::nullopt;
    const unsigned head = read_u8(bytes, 0);
    BitstreamUnit out{.type = head >> 3 & 15U, .head = (head & 4U) != 0 ? 2U : 1U};
    if ((head & 2U) == 0) return out;
    std::size_t size = 0;
    for (unsigned i = 0; i < 5; ++i) {  // leb128()
        if (out.head >= bytes.size()) return std::nullopt;
        const std::uint8_t b = read_u8(bytes, out.head++);
        size |= std::size_t{b & 0x7FU} << (7 * i);
        if ((b & 0x80) == 0) {
            out.size = size;
            return out;
        }
    }
    return std::nullopt;
}

constexpr unsigned kSequenceHeader = 1;

// The sequence header's payload, as far as it is at hand: units behind start codes, or one behind the other, each
// with its size.
template <class Use>
void with_sequence_header(ByteView bytes, Use&& use) {
    const bool start_codes = bytes.size() > 1 && read_u16(bytes, 0) == 0;
    while (start_codes) {
        const auto behind = after_start_code(bytes);
        if (!behind) return;
        bytes = *behind;
        const UnitPayload payload(bytes);
        const auto unit = unit_at(payload.bytes());
        if (unit && unit->type == kSequenceHeader && unit->head < payload.bytes().size())
            return use(payload.bytes().subspan(unit->head));
    }
    while (const auto unit = unit_at(bytes)) {
        if (!unit->size || unit->head + *unit->size > bytes.size()) return;
        if (unit->type == kSequenceHeader) return use(bytes.subspan(unit->head, *unit->size));
        bytes = bytes.subspan(unit->head + *unit->size);
    }
}

}  // namespace

std::optional<VideoFormat> find_av1(ByteView bytes) {
    std::optional<VideoFormat> out;
    with_sequence_header(bytes, [&](ByteView payload) { out = parse_sequence_header(payload); });
    return out;
}

bool has_av1_sequence_header(ByteView bytes) {
    bool out = false;
    with_sequence_header(bytes, [&](ByteView) { out = true; });
    return out;
}

}  // namespace mastline
