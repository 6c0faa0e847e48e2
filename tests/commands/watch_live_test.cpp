// SPDX-License-Identifier: Apache-2.0
// A watch that goes on at a display end, in the rehearsal network: its page, screen, lines and metrics.
#include "commands/lab.hpp"

using namespace mastline::test;

namespace watch_live_test {

namespace {

const std::string kSend = "lab_head $REHEARSE $PLAN --interface head0 --for \"60 s\" ";
const std::string kWatch = "$PROBE watch --plan $PLAN --interface display0 ";
// Waits for the page of the watch whose lines go to $DIR/lines; PAGE is its address.
const std::string kPage = "for i in $(seq 100); do PAGE=$(sed -n 's/.*page at //p' $DIR/lines); [ -n \"$PAGE\" ] && break; sleep 0.1; done\n";

std::int64_t number_after(const std::string& text, const std::string& before) {
    const auto at = text.find(before);
    return at == std::string::npos ? -1 : std::stoll(text.substr(at + before.size()));
}

}  // namespace

TEST_CASE("the page of a watch shows a fault within a second of it, and its token, keys and WCAG", "[browser][alone]") {
    const Lab lab("12 2");
    write_text(lab.file("token"), "a-token-of-the-tests.1\n");
    const auto result = lab.run(
        "echo began $(date +%s%3N)\n" + kSend +
        "--fault 103:scrambled@9s --fault 105:scrambled@11s --fault 107:scrambled@13s > /dev/null & SENDER=$!\n"
        "ip netns exec display " + kWatch + "--listen 10.99.0.2:0 --token-file $DIR/token > $DIR/lines & WATCH=$!\n" + kPage +
        "lab_display node " MASTLINE_SOURCE_DIR "/tests/browser/live.mjs $PAGE a-token-of-the-tests.1 12 103 105 107 > $DIR/seen.json\n"
        "kill $WATCH; wait $WATCH; echo status $?; kill $SENDER; wait\n");
    INFO(result.output << read_text(lab.file("lines")));
    const auto began = number_after(result.output, "began ");
    const auto seen = lab.json("seen.json");
    INFO(seen.dump(1));
    CHECK(result.output.find("status 0\n") != std::string::npos);
    CHECK(seen["without_token"] == 401);
    CHECK(seen["wrong_token"] == 403);
    CHECK(seen["address"].get<std::string>().find("token") == std::string::npos);
    CHECK(seen["cookies"] == nlohmann::json::parse("[[true, \"Strict\"]]"));
    // From the start of the rehearsal, so its own start is in the figure; the best of three, because the
    // machine that tests has other work.
    std::int64_t best = 1'000'000;
    for (const auto& [channel, second] : std::map<std::string, int>{{"103", 9}, {"105", 11}, {"107", 13}})
        best = std::min(best, seen["failed_at"][channel].get<std::int64_t>() - began - second * 1000);
    CHECK(best >= 0);
    CHECK(best < 1000);
    CHECK(seen["result"].get<std::string>().find("9 of 12 channels are right, 3 failed") != std::string::npos);
    CHECK(seen["first_event"].get<std::string>().find("107 Channel 7: scrambled (stream.scrambling") != std::string::npos);
    CHECK(seen["found"] == "4 of 12 channels shown");  // 1, 10, 11, 12
    CHECK(seen["second"] == "102");
    CHECK(seen["detail"] == "102 Channel 2");
    CHECK(seen["in_detail"] == "detail");
    CHECK(seen["back"] == "102");
    CHECK(seen["light"].empty());
    CHECK(seen["dark"].empty());
    CHECK(seen["sideways"] <= 0);
    CHECK(seen["faults"].empty());
}

TEST_CASE("a collector scrapes five hundred channels with the token, and its alerts see them", "[live]") {
    const Lab lab("500 1");
    write_text(lab.file("token"), "a-token-of-the-tests.1\n");
    write_text(lab.file("collect.yml"),
               "global: { scrape_interval: 1s, scrape_timeout: 1s, evaluation_interval: 1s }\n"
               "rule_files: [ '" MASTLINE_SOURCE_DIR "/probe/service/mastline-alerts.yml' ]\n"
               "scrape_configs:\n- job_name: mastline\n  authorization: { credentials: a-token-of-the-tests.1 }\n"
               "  static_configs: [ { targets: [ 'TARGET' ] } ]\n");
    // Nothing is sent: that all of them fail is what is measured.
    const auto result = lab.run(
        "ip netns exec display " + kWatch + "--window '5 s' --listen 10.99.0.2:0 --token-file $DIR/token > $DIR/lines & WATCH=$!\n" + kPage +
        "TARGET=${PAGE#http://}; sed -i \"s/TARGET/${TARGET%/}/\" $DIR/collect.yml\n"
        "ip netns exec display prometheus --config.file=$DIR/collect.yml --storage.tsdb.path=$DIR/tsdb "
        "--web.listen-address=127.0.0.1:9090 --log.level=error & COLLECTOR=$!\n"
        "ask() { lab_display promtool query instant http://127.0.0.1:9090 \"$1\" 2>/dev/null; }\n"
        "for i in $(seq 60); do ask 'sum(mastline_channel_failed) == 500' | grep -q 500 && break; sleep 0.5; done\n"
        "sleep 2\n"
        "echo failed $(ask 'sum(mastline_channel_failed)')\n"
        "echo counters $(ask 'count(mastline_channel_failures_total)')\n"
        "echo up $(ask 'up')\necho pending $(ask 'count(ALERTS{alertname=\"MastlineChannelFailed\"})')\n"
        "kill $COLLECTOR; wait $COLLECTOR; kill $WATCH; wait $WATCH; echo status $?\n");
    INFO(result.output);
    CHECK(result.output.find("failed {} => 500 ") != std::string::npos);
    CHECK(result.output.find("counters {} => 500 ") != std::string::npos);
    CHECK(result.output.find("job=\"mastline\"} => 1 ") != std::string::npos);
    CHECK(result.output.find("pending {} => 500 ") != std::string::npos);
    CHECK(result.output.find("status 0\n") != std::string::npos);
}

TEST_CASE("in a terminal a watch fills it, at any size, without colour and without UTF-8, and leaves it as it was", "[live]") {
    const Lab lab("24 2");
    const auto result = lab.run(
        kSend + "--fault 103:scrambled --fault 104:missing > /dev/null & SENDER=$!; sleep 1\n"
        "screen() { lab_display tmux -S $DIR/tmux -f /dev/null \"$@\"; }\n"
        "start() { screen new-session -d -s $1 -x $2 -y $3 \"bash --norc\"; screen send-keys -t $1 \"PS1='back$ '; clear; $4 " + kWatch + "; echo status \\$?\" Enter; }\n"
        "start small 80 24 'LC_ALL=C.UTF-8 TERM=screen'\nstart large 160 50 'LC_ALL=C.UTF-8 NO_COLOR=1 TERM=screen'\n"
        "start ascii 80 24 'LC_ALL=C TERM=screen'\nsleep 6\n"
        "for s in small large ascii; do screen capture-pane -p -e -t $s > $DIR/$s; done\n"
        "screen send-keys -t small Enter; screen resize-window -t large -x 100 -y 30; screen send-keys -t ascii / 'el 7'; sleep 1.5\n"
        "for s in small large ascii; do screen capture-pane -p -t $s > $DIR/$s-then; done\n"
        "screen send-keys -t small q; screen send-keys -t large C-c; screen send-keys -t ascii Escape; sleep 0.5; screen send-keys -t ascii q; sleep 1\n"
        "for s in small large ascii; do echo $s; screen capture-pane -p -t $s | grep -A1 status; done; screen kill-server; kill $SENDER; wait\n");
    INFO(result.output);
    const std::string small = read_text(lab.file("small")), large = read_text(lab.file("large")), ascii = read_text(lab.file("ascii"));
    INFO(small << large << ascii);
    CHECK(small.find("2 failed, 22 right of 24 channels") != std::string::npos);
    CHECK(small.find("\u2717 failed") < small.find("\u2713 right"));
    CHECK(small.find("\x1b[1m\x1b[31m") != std::string::npos);
    CHECK(large.find('\x1b') == std::string::npos);
    CHECK(large.find("124 Channel 24") != std::string::npos);
    CHECK(large.find("last hour, 1 min each") != std::string::npos);
    CHECK(ascii.find("FAILED") < ascii.find("right  "));
    CHECK(std::none_of(ascii.begin(), ascii.end(), [](char c) { return static_cast<unsigned char>(c) > 0x7E; }));
    CHECK(read_text(lab.file("small-then")).find("239.192.10.") != std::string::npos);
    const std::string resized = read_text(lab.file("large-then"));
    CHECK(std::count(resized.begin(), resized.end(), '\n') == 30);
    CHECK(resized.find("2 failed, 22 right of 24 channels") != std::string::npos);
    const std::string found = read_text(lab.file("ascii-then"));
    CHECK(found.find("find: el 7_") != std::string::npos);
    CHECK(found.find("107 Channel 7") != std::string::npos);
    CHECK(found.find("108 Channel 8") == std::string::npos);
    std::size_t ended = 0;
    for (auto at = result.output.find("status 0\nback$"); at != std::string::npos; at = result.output.find("status 0\nback$", at + 1)) ++ended;
    CHECK(ended == 3);
}

TEST_CASE("elsewhere it writes a line per event, for the journal with priorities, and leaves its groups at the end", "[live]") {
    const Lab lab("6 2");
    const auto result = lab.run(
        kSend + "--fault 105:missing@3s+3s --fault 106:missing@3s+3s > /dev/null & SENDER=$!\n"
        "touch $DIR/lines; export JOURNAL_STREAM=$(stat -c %d:%i $DIR/lines)\n"
        "ip netns exec display " + kWatch + "--window '5 s' >> $DIR/lines & WATCH=$!; sleep 19\n"
        "kill -TERM $WATCH; wait $WATCH; echo status $?\nsleep 1.5; lab_switch bridge mdb show dev br0 | grep -c 'port p-display grp 239'\n"
        "kill $SENDER; wait\n");
    const std::string lines = read_text(lab.file("lines"));
    INFO(result.output << lines);
    CHECK(result.output.find("status 0\n0\n") != std::string::npos);
    CHECK(lines.starts_with("<6>watching 6 channels of Rehearsal Hall (plan test) on interface display0\n"));
    CHECK(lines.find("<4>105 Channel 5: failed, silent for 1.") != std::string::npos);
    CHECK(lines.find("<5>shared: card:3: channels 105, 106\n") != std::string::npos);
    CHECK(lines.find("<5>106 Channel 6: right again after ") != std::string::npos);
    CHECK(lines.find("; 6 right\n") != std::string::npos);
    CHECK(lines.find("101 ") == std::string::npos);
}

TEST_CASE("promtool passes the alert rules, and they fire as they should", "[outside]") {
    const TempFolder folder;
    const std::string rules = MASTLINE_SOURCE_DIR "/probe/service/mastline-alerts.yml";
    std::string tests = read_text(MASTLINE_SOURCE_DIR "/tests/commands/alerts_test.yml");
    tests.replace(tests.find("[RULES]"), 7, "['" + rules + "']");
    write_text(folder.file("test.yml"), tests);
    for (const std::string& command : {"promtool check rules " + rules, "promtool test rules " + folder.file("test.yml")}) {
        const auto result = run_command(command + " 2>&1");
        INFO(result.output);
        CHECK(result.status == 0);
    }
}

TEST_CASE("systemd takes the unit, and finds it well shut in", "[outside]") {
    const TempFolder folder;
    std::string unit = read_text(MASTLINE_BINARY_DIR "/probe/mastline-watch@.service");
    const auto program = unit.find("ExecStart=") + 10;
    unit.replace(program, unit.find(' ', program) - program, MASTLINE_BINARY_DIR "/probe/mastline-probe");
    write_text(folder.file("mastline-watch@eth0.service"), unit);
    const auto verified = run_command("systemd-analyze verify --man=no " + folder.file("mastline-watch@eth0.service") + " 2>&1");
    INFO(verified.output);
    CHECK(verified.status == 0);
    CHECK(verified.output.empty());
    // Exposure from 0 to 10, in tenths; "OK" begins below 5.
    const auto shut = run_command("systemd-analyze security --offline=true --threshold=20 " + folder.file("mastline-watch@eth0.service") + " 2>&1");
    INFO(shut.output);
    CHECK(shut.status == 0);
}

}  // namespace watch_live_test
