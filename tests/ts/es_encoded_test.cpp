// SPDX-License-Identifier: Apache-2.0
// Headers that FFmpeg's encoders write, of kinds that its multiplexer puts into no transport stream as the standards say.
#include <catch2/catch.hpp>

#include <fstream>
#include <iterator>

#include "mastline/ts/es_header.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace es_encoded_test {

namespace {

Bytes encoded(const std::string& source, const std::string& options, const std::string& file) {
    const TempFolder folder;
    const std::string path = (folder.path() / file).string();
    const auto made = run_command("ffmpeg -v error -f lavfi -i testsrc2=" + source + " -frames:v 2 " + options + " -y '" + path + "' 2>&1");
    INFO(made.output);
    REQUIRE(made.status == 0);
    std::ifstream in(path, std::ios::binary);
    const std::string text((std::istreambuf_iterator<char>(in)), {});
    return bytes_of(text);
}

// The payload with emulation prevention (ISO/IEC 14496-10, 7.4.1.1), which AV1 in transport streams uses as well.
Bytes behind_start_code(const Bytes& unit) {
    Bytes out = bytes_of({0, 0, 1});
    int zeros = 0;
    for (const std::byte b : unit) {
        if (zeros >= 2 && b <= std::byte{3}) out.push_back(std::byte{3}), zeros = 0;
        zeros = b == std::byte{0} ? zeros + 1 : 0;
        out.push_back(b);
    }
    return out;
}

// Units with sizes below 128, which those in front of the first frame have.
Bytes first_units_behind_start_codes(const Bytes& units) {
    Bytes out;
    for (std::size_t at = 0; at + 1 < units.size();) {
        const auto size = std::to_integer<std::size_t>(units[at + 1]);
        const bool last = (std::to_integer<unsigned>(units[at]) >> 3) > 2;
        const std::size_t end = last ? std::min(units.size(), at + 100) : at + 2 + size;
        append(out, behind_start_code({units.begin() + static_cast<std::ptrdiff_t>(at), units.begin() + static_cast<std::ptrdiff_t>(end)}));
        if (last) break;
        at = end;
    }
    return out;
}

}  // namespace

TEST_CASE("the sequence header of an AV1 encoder gives the picture, in either form", "[outside]") {
    const Bytes units = encoded("size=362x202:rate=30000/1001", "-c:v libaom-av1 -cpu-used 8 -profile:v 1 -pix_fmt yuv444p", "one.obu");
    for (const Bytes& bytes : {units, first_units_behind_start_codes(units)}) {
        const auto f = find_video("av1", bytes);
        REQUIRE(f);
        CHECK(f->profile == "High");
        CHECK(f->level == "2.0");  // 362 x 202 at 30 frames/s: annex A.3 of the AV1 specification
        CHECK(f->width == 362);
        CHECK(f->height == 202);
        CHECK(begins_access_point("av1", bytes));
    }
    CHECK(find_video("av1", encoded("size=1920x1080:rate=25", "-c:v libaom-av1 -cpu-used 8", "two.obu"))->width == 1920);
    CHECK_FALSE(find_video("av1", ByteView(units).first(4)));
    CHECK_FALSE(begins_access_point("av1", bytes_of({0x12, 0, 0x32, 3, 0x10, 0, 0})));  // a frame alone
}

TEST_CASE("timing information of an AV1 sequence header gives the frame rate", "[unit]") {
    // AV1 specification 5.5.1 and 5.5.3: Main profile, 1001/30000 s a picture, operating point 0 at level 2.0,
    // 11 bits for a width of 1920, 11 for a height of 1080.
    Bytes bits;
    const auto put = [&](std::uint64_t value, int count) {
        for (int i = count - 1; i >= 0; --i) bits.push_back(static_cast<std::byte>(value >> i & 1));
    };
    put(0, 5);                                     // profile 0, no still picture, not reduced
    put(1, 1), put(1001, 32), put(30000, 32), put(1, 1), put(1, 1), put(0, 1);  // equal intervals of one tick; no decoder model
    put(0, 1), put(0, 5), put(0, 12), put(0, 5);   // no display delay, one operating point
    put(10, 4), put(10, 4), put(1919, 11), put(1079, 11);
    Bytes unit = bytes_of({0x08});
    while (bits.size() % 8 != 0) bits.push_back(std::byte{0});
    for (std::size_t i = 0; i < bits.size(); i += 8) {
        unsigned byte = 0;
        for (std::size_t k = 0; k < 8; ++k) byte = byte << 1 | std::to_integer<unsigned>(bits[i + k]);
        unit.push_back(static_cast<std::byte>(byte));
    }
    CHECK(find_video("av1", behind_start_code(unit)) == VideoFormat{"Main", "2.0", 1920, 1080, false, FrameRate{30000, 1001}});
}

TEST_CASE("the size of a JPEG 2000 codestream is found behind the head of the access unit", "[outside]") {
    // The head from memory of ISO/IEC 13818-1, annex S; the codestream is an encoder's.
    const Bytes codestream = encoded("size=718x240", "-c:v libopenjpeg -format j2k -f image2 -update 1", "one.j2k");
    const Bytes time_and_colour = joined({bytes_of("tcod"), Bytes(4), bytes_of("bcol"), bytes_of({3, 0})});
    const Bytes rate = joined({bytes_of("elsm"), bytes_of("frat"), bytes_of({0x03, 0xE9, 0x75, 0x30}), bytes_of("brat"), Bytes(8)});
    const auto whole = find_video("jpeg2000", joined({rate, time_and_colour, codestream}));
    REQUIRE(whole);
    CHECK(*whole == VideoFormat{"unrestricted", "", 718, 240, false, FrameRate{30000, 1001}});
    const auto fields = find_video("jpeg2000", joined({rate, Bytes(4), bytes_of("fiel"), bytes_of({2, 1}), time_and_colour, codestream}));
    REQUIRE(fields);
    CHECK(fields->height == 480);
    CHECK(fields->interlaced);
    CHECK_FALSE(find_video("jpeg2000", joined({rate, time_and_colour, bytes_of({0xFF, 0x4F})})));
}

}  // namespace es_encoded_test
