// SPDX-License-Identifier: Apache-2.0
// Stills on the page of a running watch, in the rehearsal network.
#include <catch2/catch.hpp>

#include "commands/lab.hpp"

using namespace mastline::test;

namespace watch_stills_live_test {

namespace {

const std::string kPage = "for i in $(seq 100); do PAGE=$(sed -n 's/.*page at //p' $DIR/lines); [ -n \"$PAGE\" ] && break; sleep 0.1; done\n";

}  // namespace

TEST_CASE("the pages of a verification and of a watch show a still of a clear channel and say why a scrambled one has none", "[browser]") {
    const Lab lab("6 4 udp");
    // A solid #2080c0 as channel 101; its rate is not that of the plan, which is no matter here.
    REQUIRE(run_command("ffmpeg -hide_banner -loglevel error -y -f lavfi -i color=c=0x2080c0:s=1280x720:r=25 -frames:v 200 "
                        "-vf format=rgb24,scale=out_color_matrix=bt709:out_range=tv -colorspace bt709 -pix_fmt yuv420p -c:v libx264 -g 25 "
                        "-muxrate 4M -f mpegts " + lab.file("blue.ts")).status == 0);
    const auto result = lab.run(
        "lab_head $REHEARSE $PLAN --interface head0 --for \"60 s\" --play 101=$DIR/blue.ts --fault 103:scrambled > /dev/null & SENDER=$!\n"
        "lab_display $PROBE verify --plan $PLAN --interface display0 --for '4 s' --html $DIR/page.html --stills > /dev/null; echo verify $?\n"
        "ip netns exec display $PROBE watch --plan $PLAN --interface display0 --listen 127.0.0.1:0 --token-file <(echo a-token-of-the-tests.1) "
        "--stills > $DIR/lines & WATCH=$!\n" + kPage +
        "ip netns exec display node " MASTLINE_SOURCE_DIR "/tests/browser/stills.mjs $PAGE a-token-of-the-tests.1 6 101 103 ${SHOTS:-} > $DIR/seen.json\n"
        "kill $WATCH; wait $WATCH; echo status $?; kill $SENDER; wait\n");
    INFO(result.output << read_text(lab.file("lines")));
    CHECK(result.output.find("status 0\n") != std::string::npos);
    CHECK(result.output.find("verify 1\n") != std::string::npos);  // two channels are not as planned
    const auto page = read_text(lab.file("page.html"));
    CHECK(page.find("<img src=\"data:image/jpeg;base64,/9j/") != std::string::npos);
    CHECK(page.find("alt=\"Still of channel 101, ") != std::string::npos);
    CHECK(page.find("no still: scrambled<") != std::string::npos);
    for (const std::string view : {"light", "dark"}) {
        const auto looked = run_command("timeout 60 node " MASTLINE_SOURCE_DIR "/tests/browser/axe.mjs " + view + " " + lab.file("page.html") + " 2>&1");
        INFO(looked.output);
        REQUIRE(looked.status == 0);
        const auto found = nlohmann::json::parse(looked.output)[0];
        CHECK(found["violations"].empty());
        CHECK(found["faults"].empty());
        CHECK(found["passes"] > 10);
    }
    const auto seen = lab.json("seen.json");
    INFO(seen.dump(1));
    CHECK(seen["without_token"] == 401);
    CHECK(seen["height_before"] == seen["height_after"]);
    CHECK(seen["alt"].get<std::string>().starts_with("Still of channel 101 at "));
    CHECK(seen["size"] == nlohmann::json::parse("[256, 144]"));
    CHECK(seen["mean"][0].get<double>() == Approx(0x20).margin(4));
    CHECK(seen["mean"][1].get<double>() == Approx(0x80).margin(4));
    CHECK(seen["mean"][2].get<double>() == Approx(0xC0).margin(4));
    CHECK(seen["headers"]["content-type"] == "image/jpeg");
    CHECK(seen["headers"]["x-content-type-options"] == "nosniff");
    CHECK(seen["headers"]["cache-control"] == "no-store");
    CHECK(seen["lacking"] == "no still: scrambled");
    CHECK(seen["detail"].get<std::string>().starts_with("Still of channel 101 at "));
    CHECK(seen["kept"] == true);
    CHECK(seen["light"].empty());
    CHECK(seen["dark"].empty());
    CHECK(seen["sideways"] <= 0);
    CHECK(seen["faults"].empty());
}

}  // namespace watch_stills_live_test
