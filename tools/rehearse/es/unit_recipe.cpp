// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/es/unit_recipe.hpp"

#include <span>

#include "tools/rehearse/es/recorded_units.hpp"
#include "tools/rehearse/es/text_units.hpp"

namespace mastline {

namespace {

constexpr std::uint8_t kPrivateStream = 0xBD, kAudioStream = 0xC0, kVideoStream = 0xE0;
constexpr std::uint8_t kTeletextHeaderLength = 0x24;  // EN 300 472, 4.2

// Samples per frame over sampling rate.
constexpr PtsTicks samples(std::int64_t count, std::int64_t per_second) {
    return PtsTicks(count * PtsTicks::period::den / per_second);
}

template <class Array>
ByteView recorded(const Array& unit) {
    return std::as_bytes(std::span(unit));
}

UnitRecipe video(std::vector<ByteView> units, Filler filler) {
    return {kVideoStream, false, 5, samples(1, 25), std::move(units), filler};
}

UnitRecipe reordered_video(ByteView unit) {
    return {kVideoStream, false, 10, samples(1, 25), {unit}, Filler::zero_bytes, samples(1, 25)};
}

UnitRecipe audio(std::uint8_t stream_id, PtsTicks period, ByteView unit) {
    return {stream_id, false, 5, period, {unit}, Filler::none};
}

}  // namespace

std::optional<UnitRecipe> recipe_of(std::string_view kind) {
    if (kind == "h264") return video({recorded(kAvcPictureA), recorded(kAvcPictureB)}, Filler::avc);
    if (kind == "hevc") return video({recorded(kHevcPicture)}, Filler::hevc);
    if (kind == "mpeg2-video") return reordered_video(recorded(kMpeg2Picture));
    if (kind == "mpeg1-video") return reordered_video(recorded(kMpeg1Picture));
    if (kind == "mpeg1-audio")
        return audio(kAudioStream, samples(1152, 48000), recorded(kLayer2Frame));
    if (kind == "mpeg2-audio")
        return audio(kAudioStream, samples(1152, 24000), recorded(kLayer2HalfRateFrame));
    if (kind == "aac") return audio(kAudioStream, samples(1024, 48000), recorded(kAdtsFrame));
    if (kind == "aac-latm") return audio(kAudioStream, samples(1024, 48000), recorded(kLatmFrame));
    if (kind == "ac3" || kind == "ac3-atsc")
        return audio(kPrivateStream, samples(1536, 48000), recorded(kAc3Frame));
    if (kind == "eac3" || kind == "eac3-atsc")
        return audio(kPrivateStream, samples(1536, 48000), recorded(kEac3Frame));
    if (kind == "teletext")
        return UnitRecipe{
            kPrivateStream, true, kTeletextHeaderLength, samples(1, 25), {teletext_unit()}};
    if (kind == "subtitles")
        return UnitRecipe{kPrivateStream, true, 5, samples(1, 2), {subtitle_unit()}};
    if (kind == "private-data") {
        static constexpr std::array<std::uint8_t, 4> zeros{};
        return UnitRecipe{kPrivateStream, false, 5, samples(1, 10), {recorded(zeros)}};
    }
    return std::nullopt;
}

}  // namespace mastline
