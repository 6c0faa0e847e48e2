// SPDX-License-Identifier: Apache-2.0
// The catalogue of tests/stream/faults.py, made from the standards without a line of ours: every count
// of every fault must equal its truth, and every count that is not named must be zero.
#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <map>
#include <vector>

#include <nlohmann/json.hpp>

#include "mastline/stream/stream.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/stream_reading.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

std::map<std::string, std::uint64_t> counts_of(const StreamObservation& o) {
    std::map<std::string, std::uint64_t> out{
        {"cc", o.continuity_errors}, {"lost", o.packets_lost},        {"dup", o.duplicates},
        {"tei", o.transport_errors}, {"sync_bytes", o.sync_byte_errors}, {"sync_losses", o.sync_losses},
        {"scrambled", o.scrambled_packets}, {"skipped", o.bytes_skipped}};
    for (const auto& i : o.indicators) out[std::string(i.number)] = i.found.count;
    for (const auto& p : o.pcrs) {
        out["wraps"] += p.wraps;
    }
    for (const auto& p : o.pids) out["signalled_discontinuities"] += p.signalled_discontinuities;
    for (const auto& t : o.tables) out["version_changes"] += t.version_changes;
    for (const auto& p : o.programmes)
        for (const auto& c : p.components) out["pts_order"] += c.pts.order_errors;
    return out;
}

// "" when everything is as the truth says.
// `in_front`: how much of what stands in front of the first packet the monitor sees.
std::string differences(const StreamObservation& o, nlohmann::json expect, bool by_position, std::uint64_t in_front) {
    if (in_front > 0) expect["skipped"] = in_front;
    std::string out;
    for (const auto& [key, count] : counts_of(o)) {
        const auto said = expect.find(key);
        if (said != expect.end() && said->is_null()) continue;
        const auto truth = said == expect.end() ? 0U : said->get<std::uint64_t>();
        if (count != truth) out += key + " " + std::to_string(count) + " instead of " + std::to_string(truth) + "; ";
    }
    if (by_position && expect.contains("jitter_ns")) {
        const auto jitter = o.pcrs.at(0).jitter.overall.count();
        if (jitter < expect["jitter_ns"][0] || jitter > expect["jitter_ns"][1])
            out += "jitter " + std::to_string(jitter) + " ns; ";
    }
    return out;
}

// "" when each indicator names the packets that the truth names, and the time of the first and the last.
std::string wrong_causes(const StreamObservation& o, const nlohmann::json& truth, Duration per_packet) {
    std::string out;
    for (const auto& [number, packets] : truth.items()) {
        const auto& found = indicator(o, number)->found;
        const auto wanted = packets.get<std::vector<std::uint64_t>>();
        if (found.packets != wanted) out += number + " names other packets; ";
        const auto time_is = [&](std::optional<Duration> at, std::uint64_t packet) {
            const Duration exact = per_packet * static_cast<std::int64_t>(packet);
            // A packet that is taken out widens the room of those between the same two PCRs.
            return at && std::chrono::abs(*at - *o.first - exact) <= std::chrono::microseconds(20);
        };
        if (!time_is(found.first, wanted.front()) || !time_is(found.last, wanted.back())) out += number + " says another time; ";
    }
    return out;
}

}  // namespace

TEST_CASE("every fault of the independent catalogue is counted as its truth says", "[outside]") {
    const TempFolder folder;
    const auto made = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/stream/faults.py " +
                                  folder.path().string());
    REQUIRE(made.status == 0);
    const auto catalogue = nlohmann::json::parse(std::ifstream(folder.path() / "catalogue.json"));
    REQUIRE(catalogue.size() >= 150);
    for (const auto& entry : catalogue) {
        const std::string name = entry["name"];
        const auto file = folder.path() / (name + ".ts");
        CAPTURE(name);
        const auto bytes = file_bytes(file);
        const std::uint64_t in_front = entry["expect"].value("leading", 0U);
        CHECK(differences(observe_bytes(bytes), entry["expect"], true, in_front) == "");
        CHECK(differences(observe_bytes(bytes, 997), entry["expect"], true, in_front) == "");  // cut anywhere
        CHECK(differences(observe_file(file), entry["expect"], true, 0) == "");  // as the program reads it
        const Duration per_packet(entry["packet_ns"].get<std::int64_t>());
        CHECK(wrong_causes(observe_bytes(bytes), entry["packets"], per_packet) == "");
        CHECK(differences(observe_stamped(bytes, per_packet), entry["expect"], false, in_front) == "");
    }
}
