// SPDX-License-Identifier: Apache-2.0
// What `mastline-probe read` says of a file in a terminal.
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

TEST_CASE("a file's pictures and sound are told as they were made", "[outside]") {
    // FFmpeg makes it: 30000/1001 pictures a second, one channel at 48 kHz.
    const TempFolder folder;
    const auto made = run_command("ffmpeg -v error -f lavfi -i testsrc=size=320x240:rate=30000/1001 -f lavfi -i sine=sample_rate=48000 -t 2 "
                                  "-c:v mpeg2video -c:a mp2 -ac 1 " + folder.file("made.ts") + " 2>&1");
    INFO(made.output);
    REQUIRE(made.status == 0);
    const auto read = run_command(MASTLINE_BINARY_DIR "/probe/mastline-probe read " + folder.file("made.ts") + " 2>&1");
    INFO(read.output);
    CHECK(read.status == 0);
    CHECK(read.output.find("mpeg2-video, 320x240 Main, 29.97 frames/s, ") != std::string::npos);
    CHECK(read.output.find("48 kHz, 1 channel, ") != std::string::npos);
}
