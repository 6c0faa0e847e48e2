// SPDX-License-Identifier: Apache-2.0
// What the lineup room says about venue texts that are wrong: the whole message each time.
#include <catch2/catch.hpp>

#include "support/lineup_room.hpp"

using namespace mastline;
using Lines = std::vector<std::string>;

namespace broken_lineup_test {

namespace {

Lines lines_of(const std::string& toml) { return test::lineup_room(toml).lines(); }

std::string service(const std::string& name, const std::string& rest) {
    return "[[service]]\nname = '" + name + "'\nrate = '4 Mbit/s'\n" + rest;
}
const std::string kGood = "pmt_pid = 256\ncomponent = [{ pid = 257, kind = 'h264' }]\n";
const std::string kInput = "[[input]]\nname = 'lobby'\nconnector = 'sdi'\nrate = '4 Mbit/s'\n";  // 4 lines
const std::string kModel =
    "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 10\ntuners = 4\n";  // 5 lines

}  // namespace

TEST_CASE("a service of an unknown carrier names the nearest", "[input]") {
    CHECK(lines_of(service("a", "carrier = 'w11'\nprogram_number = 1\n" + kGood)) ==
          Lines{"venue.toml:4:11: error: lineup.unknown-carrier: service 'a' names the unknown carrier "
                "'w11'; did you mean 'w1'?"});
}

TEST_CASE("program_number 0 is refused: it names the network information", "[input]") {
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 0\n" + kGood)) ==
          Lines{"venue.toml:5:18: error: file.out-of-range: 'program_number' is 0; it must be 1 to "
                "65535"});
}

TEST_CASE("two services with one program_number on one carrier are an error", "[input]") {
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 5\n" + kGood) +
                   service("b", "carrier = 'w1'\nprogram_number = 5\n" + kGood)) ==
          Lines{"venue.toml:8:1: error: lineup.duplicate-program: service 'b' has program_number 5 of "
                "carrier 'w1', which is service 'a'; each programme of a transport stream has its own "
                "number"});
}

TEST_CASE("a PID used twice within one programme is an error at its second place", "[input]") {
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 5\npmt_pid = 256\ncomponent = ["
                                "{ pid = 257, kind = 'h264' }, { pid = 257, kind = 'aac' }]\n")) ==
          Lines{"venue.toml:7:52: error: lineup.pid-clash: PID 257 is already a component's at "
                "venue.toml:7:22; give each component its own PID"});
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 5\npmt_pid = 257\ncomponent = ["
                                "{ pid = 257, kind = 'h264' }]\npcr_pid = 300\n")) ==
          Lines{"venue.toml:6:11: error: lineup.pid-clash: PID 257 is that of the PMT and of a "
                "component; give each its own PID"});
}

TEST_CASE("the PCR cannot be on the PID of the PMT, nor a PID among the tables", "[input]") {
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 5\npcr_pid = 256\n" + kGood)) ==
          Lines{"venue.toml:6:11: error: lineup.pcr-on-pmt: PID 256 is that of the PMT; the PCR cannot "
                "be there; name the PID of the video, or one of its own"});
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 5\npcr_pid = 17\n" + kGood)) ==
          Lines{"venue.toml:6:11: error: file.out-of-range: 'pcr_pid' is 17; it must be 32 to 8190"});
}

TEST_CASE("an unknown stream kind and a wrong language code are errors at their values", "[input]") {
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 5\npmt_pid = 256\n"
                                "[[service.component]]\npid = 257\nkind = 'h246'\nlanguage = 'English'\n")) ==
          Lines{"venue.toml:10:12: error: lineup.bad-language: 'English' is no language code; ISO 639-2 "
                "codes are three small letters: \"eng\"",
                "venue.toml:9:8: error: lineup.unknown-stream-kind: unknown stream kind 'h246'; did you "
                "mean 'h264'?"});
}

TEST_CASE("a peak below the mean rate is an error with both", "[input]") {
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 5\npeak = '3 Mbit/s'\n" + kGood)) ==
          Lines{"venue.toml:6:8: error: lineup.peak-below-rate: the peak 3 Mbit/s is less than the mean "
                "rate 4 Mbit/s; give the greatest rate, or leave it out where the rate is constant"});
}

TEST_CASE("names that do not fit the SDT are errors with their size", "[input]") {
    // 253 bytes of ASCII, then 126 two-byte letters with their coding byte; the descriptor has 252.
    const std::string pad(253, 'n');
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 5\nservice_name = '" + pad + "'\n" + kGood)) ==
          Lines{"venue.toml:1:1: error: lineup.name-too-long: service 'a': service name and provider "
                "take 253 bytes; the SDT has room for 252"});
    std::string letters;
    for (int i = 0; i < 126; ++i) letters += "\u00e4";
    CHECK(lines_of(service("a", "carrier = 'w1'\nprogram_number = 5\nservice_name = '" + letters + "'\n" + kGood))
              .size() == 1);
}

TEST_CASE("a channel needs one source, not none and not two", "[input]") {
    CHECK(lines_of("[[channel]]\nnumber = 1\nname = 'x'\n") ==
          Lines{"venue.toml:1:1: error: lineup.no-source: channel 1 has no source; give it a service or "
                "an input, one of the two"});
    CHECK(lines_of(kInput + service("a", "carrier = 'w1'\nprogram_number = 1\n" + kGood) +
                   "[[channel]]\nnumber = 1\nname = 'x'\nservice = 'a'\ninput = 'lobby'\n") ==
          Lines{"venue.toml:12:1: error: lineup.two-sources: channel 1 has two sources; give it a service "
                "or an input, one of the two"});
}

TEST_CASE("unknown services, inputs and cards are named with the nearest", "[input]") {
    CHECK(lines_of(kInput + "[[channel]]\nnumber = 1\nname = 'x'\nservice = 'news'\n") ==
          Lines{"venue.toml:8:11: error: lineup.unknown-service: channel 1 names the unknown service "
                "'news'; none is known"});
    CHECK(lines_of(kInput + "[[channel]]\nnumber = 1\nname = 'x'\ninput = 'loby'\n") ==
          Lines{"venue.toml:8:9: error: lineup.unknown-input: channel 1 names the unknown input 'loby'; "
                "did you mean 'lobby'?"});
    CHECK(lines_of(kInput + kModel + "[[card]]\nname = 'A1'\nmodel = 'rx'\n" +
                   "[[channel]]\nnumber = 1\nname = 'x'\ninput = 'lobby'\ncard = 'A2'\n") ==
          Lines{"venue.toml:17:8: error: lineup.unknown-card: channel 1 names the unknown card 'A2'; did "
                "you mean 'A1'?"});
}

TEST_CASE("a channel number given twice is an error that names the first", "[input]") {
    CHECK(lines_of(kInput + "[[channel]]\nnumber = 5\nname = 'x'\ninput = 'lobby'\n"
                            "[[channel]]\nnumber = '5'\nname = 'y'\ninput = 'lobby'\n") ==
          Lines{"venue.toml:9:1: error: lineup.duplicate-number: channel 5 is already at venue.toml:5:1; "
                "give each channel its own number"});
}

TEST_CASE("channel number 5.1 without quotes is an error, for 5.10 would be the same", "[input]") {
    CHECK(lines_of(kInput + "[[channel]]\nnumber = 5.1\nname = 'x'\ninput = 'lobby'\n") ==
          Lines{"venue.toml:6:10: error: file.wrong-type: 'number' is a number; write a whole number, or "
                "a text in quotes"});
}

TEST_CASE("an unknown picture class names the nearest", "[input]") {
    CHECK(lines_of(kInput + "[[channel]]\nnumber = 1\nname = 'x'\ninput = 'lobby'\nclass = 'UDH'\n") ==
          Lines{"venue.toml:9:9: error: file.unknown-word: unknown picture class 'UDH'; did you mean "
                "'UHD'?"});
}

TEST_CASE("a channel apart from itself or from none is an error", "[input]") {
    CHECK(lines_of(kInput + "[[channel]]\nnumber = 1\nname = 'x'\ninput = 'lobby'\napart_from = [1, 7]\n") ==
          Lines{"venue.toml:9:14: error: lineup.bad-apart: channel 1 is to be apart from itself; name "
                "other channels of the lineup",
                "venue.toml:9:14: error: lineup.bad-apart: channel 1 is to be apart from 7, which is no "
                "channel; name other channels of the lineup"});
}

TEST_CASE("a model that lacks what its kind needs is an error", "[input]") {
    CHECK(lines_of("[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 10\n") ==
          Lines{"venue.toml:1:1: error: file.missing-key: [[card_model]] 'rx' has no 'tuners'; a tuner "
                "card needs the carriers it can receive at once"});
    CHECK(lines_of("[[card_model]]\nname = 'enc'\nkind = 'encoder'\nlicences = 4\n") ==
          Lines{"venue.toml:1:1: error: file.missing-key: [[card_model]] 'enc' has no 'connectors'; an "
                "encoder card needs the plugs its inputs take"});
    CHECK(lines_of("[[card_model]]\nname = 'rx'\nkind = 'tuna'\nlicences = 10\ntuners = 4\n") ==
          Lines{"venue.toml:3:8: error: file.unknown-word: unknown kind of card 'tuna'; known: tuner, "
                "encoder"});
}

TEST_CASE("an unknown system and an upside-down window are errors", "[input]") {
    CHECK(lines_of(kModel + "systems = ['dvb-s3']\nwindow_low = '-30 dBm'\nwindow_high = '-50 dBm'\n") ==
          Lines{"venue.toml:7:14: error: lineup.empty-window: the window -30.0 dBm to -50.0 dBm is empty; "
                "window_low is the smaller level",
                "venue.toml:1:1: error: lineup.unknown-system: card_model 'rx' names the unknown system "
                "'dvb-s3'; did you mean 'dvb-s'?"});
}

TEST_CASE("an input that must be connected has to exist", "[input]") {
    CHECK(lines_of(kModel + "inputs = 2\nlicence_inputs = [1, 3]\n") ==
          Lines{"venue.toml:7:22: error: file.out-of-range: 'licence_inputs' is 3; it must be 1 to 2"});
}

TEST_CASE("a card of an unknown model or chassis names the nearest", "[input]") {
    CHECK(lines_of(kModel + "[[chassis]]\nname = 'rack'\nslots = 2\n"
                            "[[card]]\nname = 'A1'\nmodel = 'rxx'\nchassis = 'rak'\n") ==
          Lines{"venue.toml:11:9: error: lineup.unknown-card-model: card 'A1' names the unknown card "
                "model 'rxx'; did you mean 'rx'?",
                "venue.toml:12:11: error: lineup.unknown-chassis: card 'A1' names the unknown chassis "
                "'rak'; did you mean 'rack'?"});
}

TEST_CASE("slots that are taken, missing, of the wrong kind or without chassis are errors", "[input]") {
    CHECK(lines_of(kModel + "[[chassis]]\nname = 'A'\nslots = 3\ntuner_slots = [1, 2]\n"
                            "[[card]]\nname = 'A1'\nmodel = 'rx'\nchassis = 'A'\nslot = 1\n"
                            "[[card]]\nname = 'A2'\nmodel = 'rx'\nchassis = 'A'\nslot = 1\n"
                            "[[card]]\nname = 'A3'\nmodel = 'rx'\nchassis = 'A'\nslot = 4\n"
                            "[[card]]\nname = 'A4'\nmodel = 'rx'\nchassis = 'A'\nslot = 3\n"
                            "[[card]]\nname = 'B1'\nmodel = 'rx'\nslot = 1\n") ==
          Lines{"venue.toml:6:1: error: lineup.chassis-overfull: chassis 'A' holds 4 installed cards in 3 "
                "slots; move a card, or make it one of the store",
                "venue.toml:24:8: error: lineup.no-such-slot: card 'A3' is in slot 4 of chassis 'A'; it "
                "has slots 1 to 3",
                "venue.toml:19:8: error: lineup.slot-taken: card 'A2' is in slot 1 of chassis 'A', where "
                "card 'A1' is; one card per slot",
                "venue.toml:33:8: error: lineup.slot-without-chassis: card 'B1' has a slot but no "
                "chassis; name its chassis",
                "venue.toml:29:8: error: lineup.wrong-slot: slot 3 of chassis 'A' does not take card "
                "'A4'; see its tuner_slots"});
}

TEST_CASE("names given twice are errors that name the first", "[input]") {
    CHECK(lines_of(kInput + kInput) ==
          Lines{"venue.toml:5:1: error: lineup.duplicate-name: input 'lobby' is already at "
                "venue.toml:1:1; give each input its own name"});
}

TEST_CASE("several cards cannot share the slot of one", "[input]") {
    CHECK(lines_of(kModel + "[[chassis]]\nname = 'A'\nslots = 3\n[[card]]\nname = 'A'\nmodel = 'rx'\n"
                            "chassis = 'A'\nslot = 1\ncount = 2\nstate = 'store'\n")[0] ==
          "venue.toml:13:8: error: lineup.slot-of-many: 2 cards cannot share slot 1; leave the slot out, "
          "or write one [[card]] for each");
}

TEST_CASE("a genre to be spread must be one of the lineup", "[input]") {
    CHECK(lines_of(kInput + "[[channel]]\nnumber = 1\nname = 'x'\ninput = 'lobby'\ngenre = 'news'\n"
                            "[protection]\nspread = ['nevs']\n") ==
          Lines{"venue.toml:10:1: error: lineup.unknown-genre: no channel has the genre 'nevs' that is to "
                "be spread; did you mean 'news'?"});
}

TEST_CASE("a card wired like one that is not there is an error", "[input]") {
    CHECK(lines_of(kModel + "[[card]]\nname = 'A1'\nmodel = 'rx'\nstate = 'buy'\nwired_like = 'A0'\n") ==
          Lines{"venue.toml:10:14: error: lineup.unknown-card: card 'A1' names the unknown card 'A0'; did "
                "you mean 'A1'?"});
}

}  // namespace broken_lineup_test
