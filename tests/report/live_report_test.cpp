// SPDX-License-Identifier: Apache-2.0
// A running watch as screen, lines, JSON and metrics tell it.
#include <nlohmann/json.hpp>

#include "mastline/report/live_json.hpp"
#include "mastline/report/live_lines.hpp"
#include "mastline/report/live_page.hpp"
#include "mastline/report/live_screen.hpp"
#include "mastline/report/metrics.hpp"
#include "support/lines_of.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"
#include "watch/looks.hpp"

using namespace mastline;
using namespace mastline::test;
using namespace std::chrono_literals;

namespace live_report_test {

namespace {

// Markup, a terminal sequence, a bidirectional control, quotes, a backslash and a line break.
const std::string kNasty = "<b>N\x1b[31m\xE2\x80\xAE\"\\\n'&";

ExpectedLineup nasty_lineup() {
    auto out = three_channels();
    out.venue = "Hall " + kNasty;
    out.flows[1].name = kNasty;
    out.flows[1].parts = {"card:A1" + kNasty};
    return out;
}

LineupState sample() {
    const auto lineup = nasty_lineup();
    LineupState state(lineup, "interface eth0", kStart);
    for (Duration at = kStart; at < kStart + 30min; at += 5s) state.update(look_at(at, {{}, {}, {}}, lineup));
    state.update(look_at(kStart + 30min, {{}, {"flow.loss", "stream.continuity"}, {}}, lineup));
    state.update(look_at(kStart + 31min, {{}, {"flow.loss", "stream.continuity"}, {}}, lineup));
    return state;
}

std::size_t characters(const std::string& line) {
    return static_cast<std::size_t>(std::count_if(line.begin(), line.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

ScreenChoice pressed(ScreenChoice choice, const std::string& bytes, const LineupState& state) {
    for (const auto& key : keys_of(bytes)) choice = after_key(std::move(choice), key, state, 24);
    return choice;
}

}  // namespace

TEST_CASE("the screen fills the terminal exactly and keeps within it, the worst first", "[unit]") {
    const auto state = sample();
    for (const auto& [width, rows] : std::vector<std::pair<std::size_t, std::size_t>>{{80, 24}, {160, 50}, {40, 10}, {300, 12}})
        for (const bool open : {false, true}) {
            ScreenChoice choice;
            choice.open = open;
            choice.channel = 1;
            const auto plain = lines_of(live_screen(state, choice, {width, false, false}, rows));
            const auto utf8 = lines_of(live_screen(state, choice, {width, false, true}, rows));
            CHECK(plain.size() == rows);
            CHECK(utf8.size() == rows);
            for (const auto& line : utf8) CHECK(characters(line) <= width);
            for (const auto& line : plain) {
                CHECK(line.size() <= width);
                for (const char c : line) CHECK((c >= 0x20 && c < 0x7F));
            }
        }
    const auto lines = lines_of(live_screen(state, {}, {80, false, true}, 24));
    CHECK(lines[0] == "  1 failed, 2 right of 3 channels");
    CHECK(lines[1].starts_with("  shared: card:A1<b>N"));
    CHECK(lines[3].starts_with("  \u2717 failed 114"));
    CHECK(lines[3].find("1 min: 3 of them, 1 more") != std::string::npos);
    CHECK(lines[4].starts_with("  \u2713 right  112"));
}

TEST_CASE("without colour the screen has no escape at all, with it the words stay", "[unit]") {
    const auto state = sample();
    CHECK(live_screen(state, {}, {80, false, true}, 24).find('\x1b') == std::string::npos);
    std::string coloured = live_screen(state, {}, {80, true, true}, 24);
    CHECK(coloured.find("\x1b[1;31m\u2717 failed") != std::string::npos);
    for (auto at = coloured.find("\x1b["); at != std::string::npos; at = coloured.find("\x1b["))
        coloured.erase(at, coloured.find('m', at) - at + 1);
    CHECK(coloured == live_screen(state, {}, {80, false, true}, 24));
}

TEST_CASE("an hour is a row of marks, each standing for its stretch", "[unit]") {
    const auto state = sample();
    const Duration now = state.now();
    const auto& history = state.channels()[1].history;
    const std::string ascii = hour_text(history, now, 12, {80, false, false});
    CHECK(ascii.size() == 12);
    CHECK(ascii.substr(0, 5) == "     ");
    CHECK(ascii[8] == '.');
    CHECK(ascii.find_first_of("!#") != std::string::npos);
    CHECK(history_text(state.channels()[0].history, now, 60).find_first_of("123456789u") == std::string::npos);
    CHECK(history_text(history, now, 60).back() == '9');
}

TEST_CASE("keys sort, find, open, scroll and quit", "[unit]") {
    const auto state = sample();
    CHECK(pressed({}, "q", state).quit);
    CHECK(pressed({}, "s", state).order == ChannelOrder::lineup);
    CHECK(pressed({}, "ssss", state).order == ChannelOrder::worst);
    CHECK(listed_channels(state, {}) == std::vector<std::size_t>{1, 0, 2});
    CHECK(listed_channels(state, pressed({}, "s", state)) == std::vector<std::size_t>{0, 1, 2});
    CHECK(listed_channels(state, pressed({}, "ss", state)) == std::vector<std::size_t>{1, 0, 2});
    // The marked channel stays marked when the order changes.
    CHECK(pressed({}, "\x1b[B", state).channel == 0);
    CHECK(pressed({}, "\x1b[B\x1b[Bs", state).channel == 2);
    CHECK(pressed({}, "\x1bOA\x1b[5~", state).channel == 1);
    CHECK(pressed({}, "\x1b[F", state).channel == 2);
    const auto opened = pressed({}, "\r", state);
    CHECK(opened.open);
    CHECK(opened.channel == 1);
    CHECK(pressed(opened, "\x1b[B\x1b[B\x1b[A", state).scrolled == 1);
    CHECK(!pressed(opened, "\x1b", state).open);
    const auto found = pressed({}, "/CHANNEL 115", state);
    CHECK(found.typing);
    CHECK(listed_channels(state, found) == std::vector<std::size_t>{2});
    CHECK(!found.quit);
    CHECK(pressed({}, "/q\x7f\r", state).filter.empty());
    CHECK(pressed({}, "/q\r", state).filter == "q");
    CHECK(pressed({}, "/q\x1b", state).filter.empty());
    CHECK(pressed({}, "/nobody\r\r", state).open == false);
}

TEST_CASE("what is no key of ours is passed over whole", "[input]") {
    const auto state = sample();
    const ScreenChoice none;
    for (const std::string bytes : {"\x1b[200~", "\x1b[1;5C", "\x1b[", "\x1b[99999999999", "\x01\x02", "\xFF\xFE", "\xE2\x80\xAE", "x"})
        CHECK(pressed(none, bytes, state) == none);
    std::string all;
    for (int c = 0; c < 256; ++c) all += static_cast<char>(c);
    const auto typed = pressed({}, "/" + all + all, state);
    for (const char c : typed.filter) CHECK(static_cast<unsigned char>(c) >= 0x20);
}

TEST_CASE("what happens to many channels at once is told as one, in the log one by one", "[unit]") {
    ExpectedLineup lineup{"Hall", "r1", {}};
    for (int i = 0; i < 40; ++i) lineup.flows.push_back(planned(i + 1));
    LineupState state(lineup, "interface eth0", kStart);
    state.update(look_at(kStart + 1s, {{"stream.continuity"}, {}, {"stream.continuity"}}, lineup));
    const auto events = state.update(look_at(kStart + 2s, std::vector<std::vector<std::string>>(40, {"flow.loss"}), lineup));
    CHECK(events.size() == 40);
    const auto lines = lines_of(live_screen(state, {}, {80, false, false}, 24));
    CHECK(lines[19].find("  37 channels from ") != std::string::npos);
    CHECK(lines[19].ends_with(": failed (flow.loss)"));
    const auto whole = nlohmann::json::parse(live_state_json(state, 10s));
    CHECK(whole["events"].size() == 6);  // 37 together, three and two apart
    const std::string log = event_lines(state, events, {false, false});
    CHECK(std::count(log.begin(), log.end(), '\n') >= 40);
}

TEST_CASE("the keys of a narrow screen all fit, in any letters", "[unit]") {
    const auto state = sample();
    for (const bool utf8 : {false, true}) CHECK(lines_of(live_screen(state, {}, {80, false, utf8}, 24)).back().find("q quit ") != std::string::npos);
}

TEST_CASE("lines say what begins, happens and ends, with priorities for the journal", "[unit]") {
    const auto lineup = nasty_lineup();
    LineupState state(lineup, "interface eth0", kStart);
    state.update(look_at(kStart + 1s, {{}, {}, {}}, lineup));
    const auto began = state.update(look_at(kStart + 2s, {{"flow.loss"}, {"flow.loss", "stream.continuity"}, {}}, lineup));
    const std::string lines = event_lines(state, began, {true, true});
    // sd-daemon(3): the priority in angle brackets at the start of each line.
    CHECK(lines.starts_with("<4>112 Channel 112: failed, 3 of them (flow.loss)\n<4>114 <b>N"));
    CHECK(lines.find("(flow.loss and 1 more)\n<5>shared: card:A1") != std::string::npos);
    const auto ended = state.update(look_at(kStart + 9s, {{}, {}, {}}, lineup));
    CHECK(event_lines(state, ended, {true, true}).starts_with("<5>112 Channel 112: right again after 7 s\n"));
    CHECK(opening_line(state, {true, true}).starts_with("<6>watching 3 channels of Hall <b>N"));
    for (const std::string& text : {lines, opening_line(state, {false, false}), standing_line(state, {false, false}), closing_line(state, {false, false})})
        for (const auto& line : lines_of(text)) CHECK(line.find_first_of("\x1b\r") == std::string::npos);
    CHECK(opening_line(state, {false, false})[2] == ':');
}

TEST_CASE("JSON holds every channel, and what comes from outside as plain text", "[unit]") {
    const auto state = sample();
    const auto whole = nlohmann::json::parse(live_state_json(state, 10s));
    CHECK(whole["channels"].size() == 3);
    CHECK(whole["channels"][1]["outcome"] == "failed");
    CHECK(whole["channels"][1]["hour"].get<std::string>().size() == 60);
    CHECK(whole["events"][0]["checks"] == std::vector<std::string>{"flow.loss", "stream.continuity"});
    CHECK(whole["causes"].size() == 1);
    for (const std::string& text : {live_state_json(state, 10s), live_channel_json(state, 1), live_tick_json(state)})
        CHECK(text.find_first_of("\n\x1b") == std::string::npos);
    CHECK(whole.dump().find("\xE2\x80\xAE") == std::string::npos);
    const auto tick = nlohmann::json::parse(live_tick_json(state));
    CHECK(tick["channels"][1] == nlohmann::json::parse("[\"failed\", 8000000]"));
    const auto channel = nlohmann::json::parse(live_channel_json(state, 1));
    CHECK(channel["checks"][0]["check"] == "flow.loss");
    CHECK(channel["checks"][0]["rule"].get<std::string>().find("RFC 3550") == 0);
    CHECK(channel["minutes"].size() == 60);
    CHECK(channel["minutes"][59][0] == 1.0);
    CHECK(live_page("<script>&").find("<title>Watch of &lt;script&gt;&amp;</title>") != std::string::npos);
}

TEST_CASE("metrics answer in the format that is asked for", "[unit]") {
    CHECK(metrics_format("application/openmetrics-text;version=1.0.0,application/openmetrics-text;version=0.0.1;q=0.75,text/plain;version=0.0.4;q=0.5,*/*;q=0.1") == MetricsFormat::open_metrics);
    CHECK(metrics_format("*/*") == MetricsFormat::plain);
    const std::string open = metrics_text(sample(), 10s, MetricsFormat::open_metrics);
    CHECK(open.ends_with("\n# EOF\n"));
    CHECK(open.find("# TYPE mastline_channel_lost_datagrams counter\n# UNIT mastline_channel_lost_datagrams datagrams\n") != std::string::npos);
    CHECK(open.find("\nmastline_channel_failed{channel=\"114\",copy=\"1\"} 1\n") != std::string::npos);
    CHECK(open.find("\nmastline_channel_failed_seconds_total{channel=\"114\",copy=\"1\"} 60\n") != std::string::npos);
    CHECK(open.find("\nmastline_channel_check_failed{channel=\"114\",copy=\"1\",check=\"flow.loss\"} 1\n") != std::string::npos);
    CHECK(open.find("\nmastline_channel_rate_bytes_per_second{channel=\"112\",copy=\"1\"} 1000000\n") != std::string::npos);
    CHECK(open.find("name=\"<b>N\uFFFD[31m\uFFFD\\\"\\\\\uFFFD'&\"") != std::string::npos);
}

TEST_CASE("promtool finds nothing to say about the metrics", "[outside]") {
    const TempFolder folder;
    write_text(folder.file("metrics"), metrics_text(sample(), 10s, MetricsFormat::plain));
    const auto result = run_command("promtool check metrics < " + folder.file("metrics") + " 2>&1");
    INFO(result.output);
    CHECK(result.status == 0);
    CHECK(result.output.empty());
    // The tool does find fault where there is one.
    write_text(folder.file("metrics"), "# TYPE mastline_x_bits gauge\nmastline_x_bits 1\n");
    CHECK(run_command("promtool check metrics < " + folder.file("metrics") + " 2>&1").status != 0);
}

}  // namespace live_report_test
