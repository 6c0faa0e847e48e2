// SPDX-License-Identifier: Apache-2.0
// Captures that keep only the beginning of each frame (a snap length): what they hold is judged, and nothing that they
// do not hold is missed.
#include <nlohmann/json.hpp>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace cut_captures_test {

namespace {

nlohmann::json flow_of(const TempFolder& folder, const std::string& name) {
    const auto read = run_command(MASTLINE_BINARY_DIR "/probe/mastline-probe read " + folder.file(name + ".pcap") + " --json - 2>/dev/null");
    return nlohmann::json::parse(read.output)["files"][0]["capture"]["flows"][0];
}

std::uint64_t findings(const nlohmann::json& stream) {
    std::uint64_t out = 0;
    for (const auto& i : stream["indicators"])
        if (i["judged"] == true) out += i["count"].get<std::uint64_t>();
    return out;
}

}  // namespace

TEST_CASE("a capture cut at any length is judged for what it holds", "[outside]") {
    const TempFolder folder;
    const auto made = run_command("ffmpeg -v error -f lavfi -i testsrc=size=640x360:rate=25 -f lavfi -i sine -t 6 -c:v mpeg2video -b:v 2M -c:a mp2 "
                                  "-metadata service_name='Test Card' -mpegts_service_id 7 -muxrate 3500k -f mpegts " + folder.file("made.ts") +
                                  " 2>&1 && /usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/flow/make_cut.py " + folder.path().string() + " " +
                                  folder.file("made.ts") + " 68 96 242 300 700 1000 1200 65535 2>&1");
    INFO(made.output);
    REQUIRE(made.status == 0);
    const auto truth = nlohmann::json::parse(read_text(folder.file("truth.json")));
    const auto whole = flow_of(folder, "rtp-65535");
    for (const std::string kind : {"udp", "rtp"})
        for (const std::string snaplen : {"68", "96", "242", "300", "700", "1000", "1200"}) {
            const auto flow = flow_of(folder, kind + "-" + snaplen);
            INFO(kind << " " << snaplen << "\n" << flow.dump(1).substr(0, 6000));
            CHECK(flow["encapsulation"] == kind);
            CHECK(flow["datagrams"] == truth["datagrams"]);
            CHECK(flow["truncated_datagrams"] == truth["datagrams"]);
            CHECK(flow["payload_bytes"] == truth["datagrams"].get<int>() * (kind == "udp" ? 1316 : 1328));
            CHECK(flow["packing"] == nlohmann::json::array({{{"packets", 7}, {"datagrams", truth["datagrams"]}}}));
            CHECK(flow["repeated_datagrams"] == 0);
            CHECK(flow["delivery_index"]["max_media_loss_rate_per_s"] == 0);
            if (kind == "rtp") CHECK(flow["rtp"]["lost"] == 0);
            const auto& stream = flow["stream"];
            CHECK(stream["packets"] == truth["packets"][kind][snaplen]);
            CHECK(stream["continuity_errors"] == 0);
            CHECK(stream["arrival_rate_bps"].get<double>() == Approx(truth["bits_per_second"].get<double>()).epsilon(0.001));
            CHECK(findings(stream) == 0);
        }
    // What is held is told: the PAT, the programme and its name, where a datagram kept the packet that has them.
    const auto most = flow_of(folder, "rtp-1200")["stream"];
    CHECK(most["programmes"][0]["program_number"] == 7);
    CHECK(most["programmes"][0]["service"]["name"] == "Test Card");
    CHECK(whole["stream"]["programmes"][0]["components"][0]["kind"] == most["programmes"][0]["components"][0]["kind"]);
    // Losses on the network are losses still.
    for (const std::string snaplen : {"68", "300", "1200"}) {
        const auto flow = flow_of(folder, "lossy-" + snaplen);
        INFO(snaplen);
        CHECK(flow["rtp"]["lost"] == truth["lost"]);
        CHECK(flow["rtp"]["gaps"] == 2);
        CHECK(flow["delivery_index"]["max_media_loss_rate_per_s"].get<int>() >= 35);
    }
}

}  // namespace cut_captures_test
