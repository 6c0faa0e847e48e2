// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

TEST_CASE("what decodes stills is a package of its own, and works where both are unpacked", "[outside]") {
    const TempFolder folder;
    const auto made = run_command(MASTLINE_SOURCE_DIR "/tools/package --built " MASTLINE_BINARY_DIR " " + folder.path().string() + " 2>&1");
    INFO(made.output);
    REQUIRE(made.status == 0);
    const auto unpack = [&](const std::string& name) {
        const auto at = made.output.find("/" + name + "_");
        const auto begin = made.output.rfind('\n', at) + 1;
        const auto package = made.output.substr(begin, made.output.find('\n', at) - begin);
        REQUIRE(run_command("dpkg-deb -x " + package + " " + folder.file("root")).status == 0);
        return run_command("dpkg-deb -f " + package).output;
    };
    const auto main = unpack("mastline");
    CHECK(main.find("libavcodec") == std::string::npos);
    CHECK(main.find("Suggests: mastline-stills\n") != std::string::npos);
    const auto read = folder.file("root/usr/bin/mastline-probe") + " read none.pcap --plan none --html none.html --stills 2>&1";
    const auto without = run_command(read);
    CHECK(without.status == 3);
    CHECK(without.output.find("mastline-still is not installed") != std::string::npos);
    const auto stills = unpack("mastline-stills");
    for (const std::string needed : {"mastline (= ", "libavcodec", "libavutil", "libswscale", "libseccomp2"})
        CHECK(stills.find(needed) != std::string::npos);
    CHECK(run_command(read).output.find("mastline-still") == std::string::npos);
    CHECK(run_command(folder.file("root/usr/libexec/mastline/mastline-still") + " --version").output.starts_with("mastline-still "));
}
