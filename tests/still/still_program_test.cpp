// SPDX-License-Identifier: Apache-2.0
// mastline-still itself: against what FFmpeg's own program makes of the same streams, and with bytes that are no video.
#include <catch2/catch.hpp>

#include "mastline/still/decode_still.hpp"
#include "mastline/stream/still_collector.hpp"
#include "support/dice.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace still_program_test {

namespace {

const std::string kProgram = MASTLINE_BINARY_DIR "/probe/mastline-still";
const std::string kFfmpeg = "ffmpeg -hide_banner -loglevel error -y ";

Still decoded(const StillMaterial& material) { return decode_still(material, kProgram, std::chrono::minutes(1)); }

StillMaterial material_of(const std::string& stream) {
    StillCollector collector(ProgramNumber{1});
    collector.packets(bytes_of(read_text(stream)), std::nullopt);
    return collector.material();
}

// Means of red, green and blue of the first picture of a file, scaled to that size.
std::array<double, 3> means_of(const std::string& file, unsigned width, unsigned height) {
    const auto rgb = run_command(kFfmpeg + "-i " + file + " -frames:v 1 -vf scale=" + std::to_string(width) + ":" + std::to_string(height) +
                                 ":flags=area -pix_fmt rgb24 -f rawvideo -").output;
    REQUIRE(rgb.size() == std::size_t{width} * height * 3);
    std::array<double, 3> out{};
    for (std::size_t i = 0; i < rgb.size(); ++i) out[i % 3] += static_cast<unsigned char>(rgb[i]) * 3.0 / static_cast<double>(rgb.size());
    return out;
}

struct Sent {
    std::string source;   // of FFmpeg's lavfi
    std::string coding;
    unsigned width, height;  // of the still
};

// A solid colour is #2080c0. Where a stream names its matrix, both programs must use that.
const std::string kHd = "-vf format=rgb24,scale=out_color_matrix=bt709:out_range=tv -colorspace bt709 -color_primaries bt709 -color_trc bt709 -pix_fmt yuv420p ";
const std::string kSd = "-vf format=rgb24,scale=out_color_matrix=smpte170m:out_range=tv -colorspace smpte170m -color_primaries smpte170m -color_trc smpte170m -pix_fmt yuv420p ";

Still still_of(const Sent& sent, const std::string& stream) {
    REQUIRE(run_command(kFfmpeg + "-f lavfi -i " + sent.source + " -frames:v 12 " + sent.coding + " -f mpegts " + stream).status == 0);
    const auto material = material_of(stream);
    REQUIRE(material.lack.empty());
    return decoded(material);
}

}  // namespace

TEST_CASE("a still has the colours and the shape that FFmpeg gives the same picture", "[outside]") {
    const std::vector<Sent> streams{
        {"testsrc2=s=1280x720:r=25", kHd + "-c:v libx264", 256, 144},
        {"testsrc2=s=720x576:r=25", kSd + "-aspect 16:9 -c:v mpeg2video -b:v 4M", 256, 144},
        {"testsrc2=s=720x576:r=25", kSd + "-aspect 4:3 -c:v mpeg2video -b:v 4M", 192, 144},
        {"testsrc2=s=480x576:r=25", kSd + "-aspect 4:3 -c:v libx264", 192, 144},
        {"testsrc2=s=1440x1080:r=25", kHd + "-aspect 16:9 -c:v libx264 -preset ultrafast -flags +ildct+ilme -x264opts tff=1", 256, 144},
        {"testsrc2=s=1920x1080:r=25", kHd + "-c:v libx265 -preset ultrafast -x265-params log-level=error", 256, 144},
        {"testsrc2=s=1280x720:r=25", kHd + "-pix_fmt yuv420p10le -c:v libx265 -preset ultrafast -x265-params log-level=error", 256, 144},
        {"testsrc2=s=160x120:r=25", kSd + "-c:v mpeg1video", 160, 120},
        {"testsrc2=s=640x120:r=25", kSd + "-c:v mpeg4", 256, 48}};
    const TempFolder folder;
    for (const auto& sent : streams) {
        INFO(sent.source << " " << sent.coding);
        const auto still = still_of(sent, folder.file("stream.ts"));
        REQUIRE(still.lack == "");
        CHECK(still.width == sent.width);
        CHECK(still.height == sent.height);
        CHECK(still.jpeg.size() < 30'000);
        write_text(folder.file("still.jpg"), still.jpeg);
        const auto ours = means_of(folder.file("still.jpg"), still.width, still.height);
        const auto theirs = means_of(folder.file("stream.ts"), still.width, still.height);
        for (std::size_t c = 0; c < 3; ++c) CHECK(ours[c] == Approx(theirs[c]).margin(2));
    }
}

TEST_CASE("a still of one colour has that colour, whatever the matrix that it was sent by", "[outside]") {
    const TempFolder folder;
    for (const std::string& coding : {kHd + "-c:v libx264", kSd + "-c:v libx264", kSd + "-c:v mpeg2video -b:v 4M",
                               std::string("-vf format=rgb24,scale=out_color_matrix=bt709:out_range=tv -pix_fmt yuv420p -c:v libx264")}) {  // untold: as the many lines say
        INFO(coding);
        const auto still = still_of({"color=c=0x2080c0:s=1280x720:r=25", coding, 256, 144}, folder.file("stream.ts"));
        REQUIRE(still.lack == "");
        write_text(folder.file("still.jpg"), still.jpeg);
        const auto means = means_of(folder.file("still.jpg"), still.width, still.height);
        CHECK(means[0] == Approx(0x20).margin(3));
        CHECK(means[1] == Approx(0x80).margin(3));
        CHECK(means[2] == Approx(0xC0).margin(3));
    }
}

TEST_CASE("of bytes that are no video, cut short or damaged the decoder makes no picture, or a whole one", "[input]") {
    const TempFolder folder;
    REQUIRE(run_command(kFfmpeg + "-f lavfi -i testsrc2=s=640x360:r=25 -frames:v 12 -c:v libx264 -f mpegts " + folder.file("stream.ts")).status == 0);
    const auto whole = material_of(folder.file("stream.ts"));
    Dice dice(5);
    std::size_t pictures = 0;
    for (int turn = 0; turn < 60; ++turn) {
        auto material = whole;
        const auto kinds = std::array{"h264", "hevc", "mpeg2-video", "mpeg4-video"};
        if (turn % 6 == 0) material.kind = kinds[dice.below(4)];
        if (turn % 6 == 1) for (auto& b : material.bytes) b = static_cast<std::byte>(dice.below(256));
        if (turn % 6 == 2) material.bytes.resize(dice.below(static_cast<std::uint32_t>(material.bytes.size())));
        if (turn % 6 >= 3)
            for (int n = 0; n < 1 << (turn % 6); ++n) material.bytes[dice.below(static_cast<std::uint32_t>(material.bytes.size()))] = static_cast<std::byte>(dice.below(256));
        const auto still = decoded(material);
        INFO(turn << ": " << still.lack);
        CHECK(still.jpeg.empty() != still.lack.empty());
        const bool told = still.lack.empty() || still.lack == "the decoder made no picture of it";
        CHECK(told);
        pictures += still.lack.empty() ? 1 : 0;
    }
    CHECK(pictures < 60);
    CHECK(decoded({"h264", {}, {}, {}}).lack == "the decoder made no picture of it");
    CHECK(decoded({"vvc", {}, whole.bytes, {}}).lack == "the decoder does not know this kind of video");
    CHECK(decoded({"--help", {}, whole.bytes, {}}).lack == "the decoder does not know this kind of video");
}

TEST_CASE("a picture larger than any channel's is not decoded", "[input]") {
    const TempFolder folder;
    REQUIRE(run_command(kFfmpeg + "-f lavfi -i color=s=7680x4320:r=25 -frames:v 3 -c:v libx264 -preset ultrafast -pix_fmt yuv420p -f mpegts " +
                        folder.file("stream.ts")).status == 0);
    CHECK(decoded(material_of(folder.file("stream.ts"))).lack == "the decoder made no picture of it");
}

TEST_CASE("the page of a capture has a still of each channel, or why there is none", "[outside]") {
    const TempFolder folder;
    const auto make = [&](const std::string& name, const std::string& how) {
        REQUIRE(run_command(kFfmpeg + "-f lavfi -i " + how + " -f mpegts " + folder.file(name)).status == 0);
    };
    make("clear.ts", "testsrc2=s=640x360:r=25:d=2 -c:v libx264 -g 12");
    make("sound.ts", "anoisesrc=d=1 -c:a mp2");
    std::string scrambled = read_text(folder.file("clear.ts"));
    for (std::size_t at = 0; at < scrambled.size(); at += 188)
        if ((scrambled[at + 1] & 0x1F) == 1 && scrambled[at + 2] == 0) scrambled[at + 3] = static_cast<char>(scrambled[at + 3] | 0x80);
    write_text(folder.file("scrambled.ts"), scrambled);
    REQUIRE(run_command("cd " + folder.path().string() + " && " MASTLINE_SOURCE_DIR "/tests/still/make_channels.py . 'A <b>=clear.ts' "
                        "Locked=scrambled.ts Sound=sound.ts Away=- 2>&1").status == 0);
    const std::string read = "cd " + folder.path().string() + " && " MASTLINE_BINARY_DIR "/probe/mastline-probe read channels.pcap --plan plan.toml ";
    const auto with = run_command(read + "--html with.html --stills --json with.json");
    const auto without = run_command(read + "--html without.html --json without.json");
    CHECK(with.status == without.status);
    CHECK(with.output == without.output);
    CHECK(read_text(folder.file("with.json")) == read_text(folder.file("without.json")));
    const auto page = read_text(folder.file("with.html"));
    CHECK(read_text(folder.file("without.html")).find("<img") == std::string::npos);
    CHECK(page.find("<img src=\"data:image/jpeg;base64,/9j/") != std::string::npos);  // FF D8 FF (RFC 4648)
    CHECK(page.find("width=\"256\" height=\"144\" alt=\"Still of channel 1, 0.0 s after the beginning\"") != std::string::npos);
    for (const std::string lack : {"scrambled", "it has no video", "nothing arrived"}) CHECK(page.find("no still: " + lack + "<") != std::string::npos);
    // The picture in the page is a picture.
    const auto from = page.find("base64,") + 7;
    write_text(folder.file("still.64"), page.substr(from, page.find('"', from) - from));
    CHECK(run_command("base64 -d " + folder.file("still.64") + " > " + folder.file("still.jpg") + " && ffprobe -v error -show_entries "
                      "stream=codec_name,width,height -of csv=p=0 " + folder.file("still.jpg")).output == "mjpeg,256,144\n");
}

}  // namespace still_program_test
