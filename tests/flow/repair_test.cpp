// SPDX-License-Identifier: Apache-2.0
// Forward error correction of SMPTE ST 2022-1, on streams made by an independent script that recovers
// the lost packets byte by byte, and on what FFmpeg sends.
#include <unistd.h>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "mastline/flow/flow_set.hpp"
#include "mastline/source/capture_file.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

const std::string kMake = "/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/flow/fec_streams.py ";

class FlowsOfFile final : public PacketSink {
public:
    void on_datagram(const Datagram& d) override { flows.datagram(d); }
    FlowSet flows;
};

std::vector<FlowObservation> flows_in(const std::string& path) {
    const auto input = open_input(path);
    BlockReader reader(*input);
    FlowsOfFile sink;
    FrameDecoder decoder(sink);
    read_capture(reader, [&](const CapturedFrame& f) { decoder.add(f); });
    return sink.flows.observe();
}

nlohmann::json counts(const RepairObservation& r) {
    return {{"lost", r.lost}, {"recoverable_by_column", r.by_column}, {"recoverable_by_row", r.by_row},
            {"recoverable", r.by_both}, {"unrecoverable", r.unrecoverable}, {"compared", r.compared},
            {"contradicting", r.contradicting}};
}

nlohmann::json check_all(const TempFolder& folder) {
    const auto truths = nlohmann::json::parse(read_text(folder.file("truth.json")));
    for (const auto& [name, truth] : truths.items()) {
        INFO(name);
        const auto flows = flows_in(folder.file(name + ".pcap"));
        REQUIRE(flows.size() >= 2);
        REQUIRE(flows[0].repair);
        CHECK(counts(*flows[0].repair) == truth);
        CHECK(flows[0].repair->untold == 0);
        CHECK(flows[0].rtp->lost == truth["lost"]);
        CHECK(flows[1].fec == FecRole::column);
        CHECK_FALSE(flows[1].stream);
        if (flows.size() > 2) CHECK(flows[2].fec == FecRole::row);
    }
    return truths;
}

}  // namespace

TEST_CASE("what FEC would have recovered is what recovering byte by byte recovers", "[outside]") {
    const TempFolder folder;
    REQUIRE(run_command(kMake + folder.path().string()).status == 0);
    const auto truths = check_all(folder);
    CHECK(truths.size() == 12);
    CHECK(truths["loss-of-15-per-cent"]["unrecoverable"] > 0);
    CHECK(truths["repair-packets-contradict"]["contradicting"] == 5);
    const auto repair = flows_in(folder.file("burst-longer-than-a-row.pcap"))[0].repair;
    CHECK(repair_shape(*repair) == "10 columns x 6 rows, columns alone");
}

TEST_CASE("FEC as FFmpeg sends it fits its media", "[outside]") {
    const TempFolder folder;
    const std::string way = std::string("timeout 60 unshare ") + (geteuid() == 0 ? "" : "-U -r ") + "-n ";
    REQUIRE(run_command(way + kMake + folder.path().string() + " ffmpeg").status == 0);
    const auto truths = check_all(folder);
    CHECK(truths["whole"]["compared"] > 100);
    CHECK(truths["whole"]["contradicting"] == 0);
    CHECK(truths["loss-of-5-per-cent"]["recoverable"] > 10);
    CHECK(repair_shape(*flows_in(folder.file("whole.pcap"))[0].repair) == "8 columns x 5 rows");
}
