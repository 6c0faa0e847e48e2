// SPDX-License-Identifier: Apache-2.0
// Whatever becomes of the decoder, the program that asked goes on and says so.
#include <catch2/catch.hpp>

#include <system_error>

#include "mastline/still/decode_still.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace decode_still_test {

namespace {

// What becomes of a still whose decoder is this shell script.
Still decoded_by(const std::string& script, std::size_t size = 100'000, std::chrono::milliseconds patience = std::chrono::minutes(1)) {
    const TempFolder folder;
    write_text(folder.file("decoder"), "#!/bin/sh\n" + script + "\n");
    std::filesystem::permissions(folder.path() / "decoder", std::filesystem::perms::owner_all);
    StillMaterial material{"h264", std::chrono::seconds(3), std::vector<std::byte>(size), {}};
    return decode_still(material, folder.file("decoder"), patience);
}

const std::string kPixel = "printf '\\000\\001\\000\\001\\377\\200\\000'";

}  // namespace

TEST_CASE("a decoder's pixels become a JPEG file", "[unit]") {
    const auto still = decoded_by("cat > /dev/null; " + kPixel);
    CHECK(still.lack.empty());
    CHECK(still.width == 1);
    CHECK(still.height == 1);
    CHECK(still.at == Duration(std::chrono::seconds(3)));
    CHECK(still.jpeg.starts_with("\xFF\xD8\xFF"));  // start of image and of a marker (ITU-T T.81, table B.1)
    CHECK(still.jpeg.ends_with("\xFF\xD9"));
}

TEST_CASE("a decoder that goes on for too long, before its answer or behind it, is ended", "[input]") {
    for (const std::string script : {"exec sleep 100", "exec >&- <&-; exec sleep 100", "cat > /dev/null; exec sleep 100"}) {
        INFO(script);
        CHECK(decoded_by(script, 100'000, std::chrono::milliseconds(300)).lack == "the decoder took too long");
    }
}

TEST_CASE("a decoder that crashes, talks nonsense or never ends gives no still, and why", "[input]") {
    const std::vector<std::pair<std::string, std::string>> cases{
        {"cat > /dev/null; kill -SEGV $$", "the decoder crashed"},
        {"kill -KILL $$", "the decoder crashed"},
        {"cat > /dev/null; kill -SYS $$", "the decoder was stopped: it tried what it may not"},
        {"cat > /dev/null; " + kPixel + "; exit 4", "the decoder made no picture of it"},
        {"exit 4", "the decoder made no picture of it"},
        {"exit 2", "the decoder does not know this kind of video"},
        {"exit 3", "the decoder could not be shut into its sandbox"},
        {"exit 77", "the decoder failed"},
        {"echo '<script>'", "the decoder's answer is no picture"},
        {"exit 0", "the decoder's answer is no picture"},
        {"exec cat /dev/zero", "the decoder's answer is no picture"},
        {"cat > /dev/null; " + kPixel + "; printf x", "the decoder's answer is no picture"}};
    for (const auto& [script, lack] : cases) {
        INFO(script);
        const auto still = decoded_by(script);
        CHECK(still.lack == lack);
        CHECK(still.jpeg.empty());
        CHECK(still.width == 0);
    }
}

TEST_CASE("a decoder that takes none of its bytes does not stop who asked", "[input]") {
    CHECK(decoded_by("exit 4", 2 * 1024 * 1024).lack == "the decoder made no picture of it");
    CHECK(decoded_by(kPixel, 2 * 1024 * 1024).lack.empty());
}

TEST_CASE("without material, without a decoder and without a process there is no still", "[input]") {
    CHECK(decode_still({{}, {}, {}, "scrambled"}, "/nowhere").lack == "scrambled");
    CHECK(decode_still({"h264", {}, std::vector<std::byte>(1), {}}, "").lack == "mastline-still is not installed");
    CHECK_THROWS_AS(decode_still({"h264", {}, std::vector<std::byte>(1), {}}, "/nowhere"), std::system_error);
}

}  // namespace decode_still_test
