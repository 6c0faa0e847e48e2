// SPDX-License-Identifier: Apache-2.0
// Headers written out from the syntax tables; what real encoders write is compared with ffprobe in
// tests/stream.
#include <catch2/catch.hpp>

#include "mastline/ts/es_header.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("an MPEG-2 sequence header and its extension give the picture", "[unit]") {
    // 720 x 576, 4:3, 25 frames/s; Main profile at Main level (0x48), interlaced, 4:2:0.
    const Bytes bytes = bytes_of({0, 0, 1, 0xB3, 0x2D, 0x02, 0x40, 0x23, 0xFF, 0xFF, 0xE0, 0x18,
                                  0, 0, 1, 0xB5, 0x14, 0x82, 0x00, 0x01, 0x00, 0x00});
    const auto f = find_video("mpeg2-video", bytes);
    REQUIRE(f);
    CHECK(*f == VideoFormat{"Main", "Main", 720, 576, true, FrameRate{25, 1}});
    CHECK(begins_access_point("mpeg2-video", bytes));
}

TEST_CASE("a sequence header without extension is MPEG-1", "[unit]") {
    const Bytes bytes = bytes_of({0, 0, 1, 0xB3, 0x16, 0x01, 0x20, 0x13, 0xFF, 0xFF, 0xE0, 0x18, 0, 0, 1, 0xB8, 0});
    const auto f = find_video("mpeg1-video", bytes);
    REQUIRE(f);
    CHECK(f->width == 352);
    CHECK(f->height == 288);
    CHECK(f->profile.empty());
    CHECK_FALSE(f->interlaced);
}

TEST_CASE("a header cut off gives nothing yet", "[unit]") {
    CHECK_FALSE(find_video("mpeg2-video", bytes_of({0, 0, 1, 0xB3, 0x2D, 0x02})));
    CHECK_FALSE(find_video("h264", bytes_of({0, 0, 1, 0x67, 0x42, 0xC0, 0x1E})));
    CHECK_FALSE(find_audio("mpeg1-audio", bytes_of({0xFF, 0xFD, 0x84})));
    CHECK_FALSE(find_audio("ac3", bytes_of({0x0B, 0x77, 0, 0})));
    CHECK_FALSE(find_video("teletext", bytes_of({0, 0, 1, 0xB3})));
}

TEST_CASE("MPEG audio frame headers give layer, rate and channels", "[unit]") {
    // ISO/IEC 11172-3, 2.4.2.3: layer II, 256 kbit/s, 48 kHz, stereo; layer II mono 64 kbit/s.
    const auto stereo = find_audio("mpeg1-audio", bytes_of({0xFF, 0xFD, 0xC4, 0x00}));
    REQUIRE(stereo);
    CHECK(*stereo == AudioFormat{"Layer II", Frequency(48'000), 2, BitRate(256'000)});
    const auto mono = find_audio("mpeg1-audio", bytes_of({0xFF, 0xFD, 0x44, 0xC0}));
    REQUIRE(mono);
    CHECK(*mono == AudioFormat{"Layer II", Frequency(48'000), 1, BitRate(64'000)});
    // 13818-3: half rates, layer II 64 kbit/s at 24 kHz
    const auto half = find_audio("mpeg2-audio", bytes_of({0xFF, 0xF5, 0x84, 0x00}));
    REQUIRE(half);
    CHECK(half->sample_rate == Frequency(24'000));
    CHECK(half->rate == BitRate(64'000));
}

TEST_CASE("a syncword amid sound counts only where the next frame follows", "[unit]") {
    Bytes noise = bytes_of({0x12, 0xFF, 0xFD, 0xC4, 0x00, 0x55, 0x55});
    CHECK_FALSE(find_audio("mpeg1-audio", noise));
    // Layer II, 32 kbit/s, 48 kHz: frames of 96 bytes.
    Bytes frame = bytes_of({0xFF, 0xFD, 0x14, 0xC0});
    frame.resize(96);
    const auto f = find_audio("mpeg1-audio", joined({bytes_of({0x12}), frame, frame}));
    REQUIRE(f);
    CHECK(f->rate == BitRate(32'000));
}

TEST_CASE("ADTS headers give profile, rate and channels", "[unit]") {
    // ISO/IEC 13818-7, 6.2: LC, 48 kHz (index 3), 2 channels
    const auto f = find_audio("aac", bytes_of({0xFF, 0xF1, 0x4C, 0x80, 0x2E, 0x7F, 0xFC}));
    REQUIRE(f);
    CHECK(*f == AudioFormat{"LC", Frequency(48'000), 2, std::nullopt});
    CHECK_FALSE(find_audio("aac", bytes_of({0xFF, 0xF1, 0x7C, 0x80, 0x2E, 0x7F, 0xFC})));  // index 15
}

TEST_CASE("AC-3 headers give rate and channels", "[unit]") {
    // TS 102 366, 4.3: 48 kHz, frmsizecod 28 (384 kbit/s), bsid 8, acmod 7 (3/2), lfeon
    const auto f = find_audio("ac3", bytes_of({0x0B, 0x77, 0, 0, 0x1C, 0x40, 0xE1, 0x00, 0}));
    REQUIRE(f);
    CHECK(*f == AudioFormat{"AC-3", Frequency(48'000), 6, BitRate(384'000)});
}

// Bits of fields, most significant first: {value, count}.
static Bytes bits_of(std::initializer_list<std::pair<std::uint32_t, unsigned>> fields) {
    Bytes out;
    unsigned used = 0;
    for (const auto& [value, count] : fields)
        for (unsigned i = count; i-- > 0; ++used) {
            if (used % 8 == 0) out.push_back(std::byte{0});
            if ((value >> i & 1U) != 0) out.back() |= std::byte{0x80} >> (used % 8);
        }
    return out;
}

TEST_CASE("LATM says what is heard, band replication and parametric stereo included", "[unit]") {
    // ISO/IEC 14496-3, 1.7.2 and 1.7.3: AudioSyncStream with audioMuxVersion 0, then AudioSpecificConfig
    // (1.6.2.1): object type, sampling index, channels; LC, 48 kHz, 5.1.
    const auto latm = [](std::initializer_list<std::pair<std::uint32_t, unsigned>> config) {
        return joined({bits_of({{0x2B7, 11}, {100, 13}}),
                       bits_of({{0, 1}, {0, 1}, {1, 1}, {0, 6}, {0, 4}, {0, 3}, {*config.begin()},
                                {*(config.begin() + 1)}, {*(config.begin() + 2)}, {*(config.begin() + 3)},
                                {*(config.begin() + 4)}, {0, 32}})});
    };
    const auto plain = find_audio("aac-latm", latm({{2, 5}, {3, 4}, {6, 4}, {0, 3}, {0, 1}}));
    REQUIRE(plain);
    CHECK(*plain == AudioFormat{"LC", Frequency(48'000), 6, std::nullopt});
    // Object type 5 (SBR): the core runs at 24 kHz (index 6), what is heard at 48 kHz; 29: and mono
    // becomes stereo.
    const auto high = find_audio("aac-latm", latm({{5, 5}, {6, 4}, {2, 4}, {3, 4}, {2, 5}}));
    REQUIRE(high);
    CHECK(*high == AudioFormat{"HE-AAC", Frequency(48'000), 2, std::nullopt});
    const auto stereo = find_audio("aac-latm", latm({{29, 5}, {6, 4}, {1, 4}, {3, 4}, {2, 5}}));
    REQUIRE(stereo);
    CHECK(*stereo == AudioFormat{"HE-AACv2", Frequency(48'000), 2, std::nullopt});
    CHECK_FALSE(find_audio("aac-latm", latm({{2, 5}, {13, 4}, {2, 4}, {0, 3}, {0, 1}})));  // reserved rate
}

TEST_CASE("dependent frames of Enhanced AC-3 add their channels", "[unit]") {
    // TS 102 366, E.1.2: frames of 64 bytes at 48 kHz with six blocks, 3/2 and a low-frequency channel; the
    // dependent one (strmtyp 1) maps left and right surround and the rear pair: 7.1.
    Bytes first = joined({bytes_of({0x0B, 0x77}),
                          bits_of({{0, 2}, {0, 3}, {31, 11}, {0, 2}, {3, 2}, {7, 3}, {1, 1}, {16, 5}, {0, 6}})});
    Bytes rear = joined({bytes_of({0x0B, 0x77}), bits_of({{1, 2}, {0, 3}, {31, 11}, {0, 2}, {3, 2}, {6, 3}, {0, 1}, {16, 5},
                                                          {0, 5}, {0, 1}, {1, 1}, {0x1A00, 16}, {0, 9}})});
    first.resize(64);
    rear.resize(64);
    const auto whole = find_audio("eac3", joined({first, rear, first}));
    REQUIRE(whole);
    CHECK(*whole == AudioFormat{"E-AC-3", Frequency(48'000), 8, BitRate(32'000)});  // 128 bytes in 32 ms
    const auto alone = find_audio("eac3", joined({first, first}));
    REQUIRE(alone);
    CHECK(alone->channels == 6);
    CHECK_FALSE(find_audio("eac3", first, true));  // what follows may depend on it
    CHECK(find_audio("eac3", first));
}

TEST_CASE("sound of SMPTE ST 302 and of quarter rates says what it is", "[unit]") {
    // 1920 bytes, 4 channels (code 1), 20 bits (code 1)
    const auto pcm = find_audio("smpte302m", bits_of({{1920, 16}, {1, 2}, {0, 8}, {1, 2}, {0, 4}}));
    REQUIRE(pcm);
    CHECK(*pcm == AudioFormat{"PCM 20 bit", Frequency(48'000), 4, BitRate(3'840'000)});
    const auto quarter = find_audio("mpeg2-audio", bytes_of({0xFF, 0xE3, 0x80, 0xC0}));
    REQUIRE(quarter);
    CHECK(*quarter == AudioFormat{"Layer III", Frequency(11'025), 1, BitRate(64'000)});
}

TEST_CASE("access points are told by their first unit", "[unit]") {
    CHECK(begins_access_point("h264", bytes_of({0, 0, 0, 1, 0x09, 0x10, 0, 0, 0, 1, 0x67, 0x42})));
    CHECK(begins_access_point("h264", bytes_of({0, 0, 1, 0x65, 0x88})));
    CHECK_FALSE(begins_access_point("h264", bytes_of({0, 0, 0, 1, 0x09, 0x30, 0, 0, 0, 1, 0x41, 0x9A})));
    CHECK(begins_access_point("hevc", bytes_of({0, 0, 1, 0x26, 0x01})));        // IDR_W_RADL
    CHECK_FALSE(begins_access_point("hevc", bytes_of({0, 0, 1, 0x02, 0x01})));  // TRAIL_R
    CHECK(begins_access_point("aac", bytes_of({0xFF})));
    CHECK_FALSE(begins_access_point("teletext", bytes_of({0x10})));
}
