// SPDX-License-Identifier: Apache-2.0
// A still of a channel of a running watch, also where one window gives way to the next.
#include <catch2/catch.hpp>

#include "mastline/report/live_json.hpp"
#include "mastline/watch/rolling_watch.hpp"
#include "support/ts_builder.hpp"
#include "verdict/seen.hpp"

#include <nlohmann/json.hpp>

using namespace mastline;
using namespace mastline::test;
using namespace std::chrono_literals;

namespace rolling_still_test {

namespace {

// AVC access units: a parameter set and an IDR picture, or another picture (ISO/IEC 14496-10, 7.4.1).
Bytes unit(bool access) {
    Bytes out = access ? bytes_of({0, 0, 1, 0x67, 0x64, 0, 0, 1, 0x65}) : bytes_of({0, 0, 1, 0x41});
    out.resize(3000, std::byte{7});
    return out;
}

class Sent {
public:
    Sent() : expected_(planned(12)), watch({"Hall", "r1", {expected_}}, kStart, 10s) {}

    // A packet each five milliseconds, null packets where the stream has no more.
    void run(Duration until) {
        for (; now < kStart + until; now += 5ms) {
            if (next_ == packets_.size()) packets_.push_back(PacketBuilder{}.build(0xFF));
            send(packets_[next_++]);
            if ((now - kStart) % 500ms == 495ms) watch.look(now + 5ms);
        }
    }
    void tables() {
        const unsigned programme = expected_.program_number.value;
        add([&](StreamBuilder& s) {
            s.section(0, pat_section(1, {{programme, 0x100}}));
            s.section(0x100, pmt_section(programme, 0x101, {{0x1B, 0x101, {}}}));
        });
    }
    void picture(bool access) {
        add([&](StreamBuilder& s) { s.pes(packet(0x101), pes_packet(0xE0, 90'000, {}, unit(access))); });
    }

private:
    Expectation expected_;

public:
    RollingWatch watch;
    Duration now = kStart;

private:
    void add(const std::function<void(StreamBuilder&)>& what) {
        const std::size_t before = stream_.count();
        what(stream_);
        packets_.insert(packets_.end(), stream_.packets().begin() + static_cast<std::ptrdiff_t>(before), stream_.packets().end());
    }
    void send(const PacketBytes& packet) {
        Datagram d;
        d.payload = packet;
        d.arrival = now;
        d.source = *expected_.source;
        d.destination = expected_.flow.group.address();
        d.port = expected_.flow.port;
        watch.on_datagram(d);
    }

    StreamBuilder stream_;
    std::vector<PacketBytes> packets_;
    std::size_t next_ = 0;
};

}  // namespace

TEST_CASE("a still that is being collected survives the change of the windows", "[unit]") {
    Sent sent;
    sent.run(8s);
    CHECK(sent.watch.still(0).bytes.empty());
    sent.watch.want_still(0);
    sent.tables();
    sent.run(9'950ms);
    for (const bool access : {true, false, false}) sent.picture(access);
    sent.run(9'995ms);  // half of the access point has come; the windows change at 10 s
    CHECK(sent.watch.still(0).lack == "no whole picture that a decoder can begin with has come");
    sent.run(11s);
    const auto got = sent.watch.still(0);
    CHECK(got.bytes == joined({unit(true), unit(false)}));
    CHECK(got.at == kStart + 9'950ms);
    sent.watch.end_still(0);
    CHECK(sent.watch.still(0).bytes.empty());
    sent.run(30s);  // nor by the windows that follow
    CHECK(sent.watch.still(0) == StillMaterial{});
}

TEST_CASE("the JSON of a watch tells when a still was on the air, or why there is none, where they were asked for", "[unit]") {
    const LineupState state({"Hall", "r1", {planned(12), planned(13)}}, "interface eth0", kStart);
    const std::vector<Still> stills{{"JPEG", 256, 144, kStart + 2s, {}}, {{}, 0, 0, kStart + 3s, "scrambled\x1b"}};
    const auto whole = nlohmann::json::parse(live_state_json(state, 10s, stills));
    const auto start_ms = std::chrono::duration_cast<std::chrono::milliseconds>(kStart).count();
    CHECK(whole["channels"][0]["still"] == nlohmann::json({{"at_ms", start_ms + 2000}}));
    CHECK(whole["channels"][1]["still"]["none"].get<std::string>().starts_with("scrambled"));
    CHECK(whole["channels"][1]["still"]["none"].get<std::string>().find('\x1b') == std::string::npos);
    CHECK_FALSE(nlohmann::json::parse(live_state_json(state, 10s))["channels"][0].contains("still"));
    CHECK(nlohmann::json::parse(live_channel_json(state, 1, &stills[1]))["still"] == whole["channels"][1]["still"]);
}

}  // namespace rolling_still_test
