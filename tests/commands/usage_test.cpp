// SPDX-License-Identifier: Apache-2.0
// The program's answers to what it cannot use. No network is touched.
#include <map>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace {
CommandResult probe(const std::string& arguments) {
    return run_command(MASTLINE_BINARY_DIR "/probe/mastline-probe " + arguments + " 2>&1 </dev/null");
}
}  // namespace

TEST_CASE("wrong usage is exit status 2, help is 0 and shows examples", "[input]") {
    CHECK(probe("").status == 2);
    CHECK(probe("listen").status == 2);
    CHECK(probe("verify --plan p").status == 2);
    CHECK(probe("verify --plan p --interface lo --listen ears").status == 2);
    CHECK(probe("read").status == 2);
    for (const std::string command : {"read", "verify", "survey", "watch"}) {
        const auto help = probe(command + " --help");
        CHECK(help.status == 0);
        const auto first = help.output.find("  mastline-probe " + command);
        REQUIRE(first != std::string::npos);
        CHECK(help.output.find("  mastline-probe " + command, first + 1) != std::string::npos);
    }
}

TEST_CASE("what is mistyped or not there is told with what would be right", "[input]") {
    const std::string planner = MASTLINE_BINARY_DIR "/planner/mastline-planner ", probe = MASTLINE_BINARY_DIR "/probe/mastline-probe ";
    const std::string rehearse = MASTLINE_BINARY_DIR "/tools/rehearse/mastline-rehearse ";
    const TempFolder folder;
    write_text(folder.file("plan.toml"), "no plan");
    const std::string venue = MASTLINE_SOURCE_DIR "/lineups/quillwater-arena", none = folder.file("none");
    for (const auto& [arguments, words] : std::map<std::string, std::string>{
             {planner + "chekc " + venue, "there is no command 'chekc'; did you mean 'check'?\nsee mastline-planner --help\n"},
             {planner, "a command is needed; known: check, build, "},
             {planner + "check " + venue + " more", "'more' is one word too many\nsee mastline-planner check --help\n"},
             {planner + "build " + venue + " --otu x", "there is no flag '--otu'; did you mean '--out'?\nsee mastline-planner build --help\n"},
             {planner + "compare " + none + " " + none, "there is no plan at " + none + "; mastline-planner build VENUE --out FOLDER writes FOLDER/plan.toml\n"},
             {planner + "readings " + venue + " " + none, "there is no sheet of readings at " + none + "; mastline-planner build "},
             {probe + "raed x", "there is no command 'raed'; did you mean 'read'?"},
             {probe + "verify --plan=" + none + " --interface=lo", "there is no plan at " + none + "; mastline-planner build "},
             {probe + "verify --plan " + folder.path().string() + " --interface lo", "plan.toml:1:"},
             {probe + "compare " + none + " " + none, "there is no verification at " + none + "; mastline-probe verify --json FILE writes one\n"},
             {probe + "read " + none, "there is no capture or transport-stream file at " + none},
             {probe + "read " + folder.file("plan.toml") + " --json " + none + "/x.json", "there is no folder " + none + " to write " + none + "/x.json into; make it first\n"},
             {rehearse + "--lst-faults", "there is no flag '--lst-faults'; did you mean '--list-faults'?"},
             {rehearse + none + " --interface lo", "there is no plan at " + none}}) {
        const auto result = run_command(arguments + " 2>&1 </dev/null");
        INFO(arguments << "\n" << result.output);
        CHECK(result.status == 2);
        CHECK(result.output.find(words) != std::string::npos);
    }
}

TEST_CASE("a folder that cannot be made is told by its name and the reason alone", "[input]") {
    const auto result = run_command(MASTLINE_BINARY_DIR "/planner/mastline-planner build " MASTLINE_SOURCE_DIR
                                    "/lineups/quillwater-arena --out /proc/none 2>&1");
    CHECK(result.status == 3);
    CHECK(result.output.ends_with("mastline-planner: /proc/none: No such file or directory\n"));
}

TEST_CASE("a time without a unit is refused before anything is joined", "[input]") {
    const auto result = probe("verify --plan p --interface lo --for 10");
    CHECK(result.status == 2);
    CHECK(result.output.find("\"10\" has no unit; a duration is written like \"10 s\"") != std::string::npos);
    CHECK(probe("verify --plan p --interface lo --for '0 s'").status == 2);
}

TEST_CASE("a watch refuses a window, an address or a token that it cannot use, before anything is joined", "[input]") {
    const TempFolder folder;
    write_text(folder.file("short"), "secret\n");
    const std::string watch = "watch --plan p --interface lo ";
    for (const auto& [arguments, words] : std::map<std::string, std::string>{
             {"--window '1 s'", "outside 5 s to 10 min"},
             {"--window 10", "has no unit"},
             {"--listen 8080", "one is written like \"127.0.0.1:8080\""},
             {"--listen 127.0.0.1:0 --token-file " + folder.file("short"), "a token has 16 to 128 characters"},
             {"--token-file " + folder.file("short"), "--token-file"}}) {
        const auto result = probe(watch + arguments);
        INFO(arguments << "\n" << result.output);
        CHECK(result.status == 2);
        CHECK(result.output.find(words) != std::string::npos);
    }
    CHECK(probe(watch + "--listen 127.0.0.1:0 --token-file " + folder.file("absent")).status == 2);
}

TEST_CASE("every fault of a plan is told with its place", "[input]") {
    const TempFolder folder;
    write_text(folder.file("plan.toml"), "schema = \"mastline-plan 1\"\nvenue = \"x\"\nrevision = \"y\"\n"
                                         "[[flow]]\nchannel = \"1\"\ngroup = \"10.0.0.1\"\nport = 5004\nrote = \"8 Mbit/s\"\n");
    const auto result = probe("verify --interface lo --plan " + folder.file("plan.toml"));
    CHECK(result.status == 2);
    CHECK(result.output.find("plan.toml:6:9: error: ") != std::string::npos);
    CHECK(result.output.find("unknown key 'rote'") != std::string::npos);
}

TEST_CASE("a file that is no capture and no transport stream, or is not there, is exit status 2, a folder 3", "[input]") {
    const TempFolder folder;
    write_text(folder.file("words.txt"), "these are just words, and not many of them");
    const auto words = probe("read " + folder.file("words.txt"));
    CHECK(words.status == 2);
    CHECK(words.output.find("file.unknown-kind") != std::string::npos);
    write_text(folder.file("empty"), "");
    CHECK(probe("read " + folder.file("empty")).status == 2);
    CHECK(probe("read " + folder.file("absent")).status == 2);
    CHECK(probe("read " + folder.path().string()).status == 3);
}

TEST_CASE("an interface that does not exist is exit status 3", "[input]") {
    const TempFolder folder;
    const auto made = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/commands/make_plan.py 1 > " +
                                  folder.file("plan.toml"));
    REQUIRE(made.status == 0);
    const auto result = probe("verify --interface nowhere0 --plan " + folder.file("plan.toml"));
    CHECK(result.status == 3);
    CHECK(result.output.find("there is no network interface 'nowhere0'; known: lo") != std::string::npos);
}

TEST_CASE("a transport-stream file made by FFmpeg is read, packed or plain, from a file or a pipe", "[outside]") {
    const TempFolder folder;
    const auto made = run_command("ffmpeg -v error -f lavfi -i testsrc=size=320x180:rate=25 -f lavfi -i sine -t 2 -c:v mpeg2video "
                                  "-c:a mp2 -metadata service_name='Test Card' -metadata service_provider=House -mpegts_service_id 7 "
                                  "-muxrate 3M -f mpegts " + folder.file("made.ts") + " 2>&1");
    INFO(made.output);
    REQUIRE(made.status == 0);
    run_command("gzip -k " + folder.file("made.ts"));
    for (const std::string& from : {folder.file("made.ts"), folder.file("made.ts.gz"), "- < " + folder.file("made.ts")}) {
        const auto result = run_command(MASTLINE_BINARY_DIR "/probe/mastline-probe read " + from + " 2>&1");
        INFO(result.output);
        CHECK(result.output.find("programme 7 \"Test Card\" of \"House\"") != std::string::npos);
        CHECK(result.output.find("mpeg2-video, 320x180") != std::string::npos);
        CHECK(result.output.find("0 continuity errors") != std::string::npos);
    }
    const auto json = run_command(MASTLINE_BINARY_DIR "/probe/mastline-probe read " + folder.file("made.ts") + " --json " + folder.file("made.json"));
    const auto valid = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/report/check_schema.py " +
                                   folder.file("made.json") + " " MASTLINE_SOURCE_DIR "/probe/report/reading.schema.json 2>&1");
    INFO(valid.output);
    CHECK(valid.status == 0);
}
