// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "flows.hpp"
#include "tools/rehearse/fault/parse_fault.hpp"

using namespace mastline;
using std::chrono::milliseconds;
using std::chrono::seconds;

namespace {

ExpectedLineup two_channels() {
    Expectation second_copy = test::television();
    second_copy.copy = 2;
    return {"Test", "abc", {test::television(), second_copy, test::radio()}};
}

Fault fault(std::string_view text) {
    const auto parsed = parse_fault(text, two_channels());
    if (!parsed) FAIL(parsed.error());
    return *parsed;
}

std::string error(std::string_view text) {
    const auto parsed = parse_fault(text, two_channels());
    REQUIRE_FALSE(parsed);
    return parsed.error();
}

}  // namespace

TEST_CASE("a fault without times holds all along", "[unit]") {
    const Fault f = fault("102:missing");
    CHECK(f.kind == FaultKind::missing);
    CHECK(f.flow == 2);
    CHECK(f.window.holds(PcrTicks(0)));
    CHECK(f.window.holds(PcrTicks(std::chrono::hours(1000))));
}

TEST_CASE("a fault has a start, and a length if wanted", "[unit]") {
    CHECK(fault("101:no-pmt@10s").window.begin == PcrTicks(seconds(10)));
    const Fault f = fault("101:no-pmt@1.5s+500ms");
    CHECK(f.window.begin == PcrTicks(milliseconds(1500)));
    CHECK(f.window.end == PcrTicks(seconds(2)));
    CHECK_FALSE(f.window.holds(f.window.end));
}

TEST_CASE("a second copy of a channel is named with its number", "[unit]") {
    CHECK(fault("101:missing").flow == 0);
    CHECK(fault("101/1:missing").flow == 0);
    CHECK(fault("101/2:missing").flow == 1);
}

TEST_CASE("parameters are read with their units", "[unit]") {
    CHECK(fault("101:loss").lost_per_million == 10'000);
    CHECK(fault("101:loss,rate=0.05%").lost_per_million == 500);
    CHECK(fault("101:loss,every=50").every == 50);
    CHECK(fault("101:pcr-jitter,amount=300us").amount == PcrTicks(8100));
    CHECK(fault("101:low-rate,percent=75%").percent == 75);
    CHECK(fault("101:sync-loss@2s,every=500ms,count=3").count == 3);
    CHECK(fault("101:wrong-service").other == 1);
    CHECK(fault("101:wrong-service,of=102").other == 2);
}

TEST_CASE("a component is chosen by its kind unless its PID is given", "[unit]") {
    CHECK(fault("101:no-component").pid == Pid(258));
    CHECK(fault("101:scrambled").pid == Pid(257));
    CHECK(fault("102:scrambled").pid == Pid(258));
    CHECK(fault("101:scrambled,pid=0x103").pid == Pid(259));
    CHECK(fault("101:no-pmt").pid == Pid(256));
}

TEST_CASE("each kind of fault is parsed by its name and is in the list", "[unit]") {
    for (const auto& doc : kFaultDocs) {
        CHECK(&doc_of(doc.kind) == &doc);
        CHECK(fault("101:" + std::string(doc.name)).kind == doc.kind);
        CHECK(("\n" + fault_list()).find("\n" + std::string(doc.name) + " ") != std::string::npos);
    }
}

TEST_CASE("a wrong fault is refused with what would be right", "[input]") {
    CHECK(error("101") ==
          "\"101\" names no fault; one is written "
          "CHANNEL:KIND[@START[+LENGTH]][,KEY=VALUE]");
    CHECK(error("7:missing") == "the plan has no channel \"7\"; it has 101, 101/2, 102");
    CHECK(error("101:los") == "unknown fault \"los\"; did you mean 'loss'?");
    CHECK(error("101:xyzzy").find("known: missing, wrong-service, loss") != std::string::npos);
    CHECK(error("101:loss@").starts_with("start: \"\" does not start with a number"));
    CHECK(error("101:loss@5").starts_with("start: \"5\" has no unit"));
    CHECK(error("101:loss@5s+x").starts_with("length: \"x\" does not start with a number"));
    CHECK(error("101:loss@-5s").starts_with("start: \"-5s\" is out of range"));
    CHECK(error("101:missing,rate=1%") == "missing has no parameter \"rate\"; it takes none");
    CHECK(error("101:loss,rat=1%") == "loss has no parameter \"rat\"; did you mean 'rate'?");
    CHECK(error("101:loss,rate") == "\"rate\" is no parameter; one is written KEY=VALUE");
    CHECK(error("101:loss,rate=1") ==
          "rate: \"1\" is no percentage above 0 and up to 100; one is written like \"2%\"");
    CHECK(error("101:loss,every=0") == "every: \"0\" is no whole number from 1 to 1000000");
    CHECK(error("101:low-rate,percent=100%") ==
          "percent: a low rate is 1% to 99% of the planned one");
    CHECK(error("101:scrambled,pid=9000") ==
          "pid: \"9000\" is no PID; one is 0 to 8190 or 0x0 to 0x1FFE");
    CHECK(
        error("101:wrong-service,of=101").starts_with("wrong-service: another channel is needed"));
    CHECK(error("101:wrong-service,of=9").starts_with("of: the plan has no channel \"9\""));
}
