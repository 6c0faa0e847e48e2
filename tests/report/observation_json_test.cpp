// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <fstream>

#include <nlohmann/json.hpp>

#include "mastline/report/observation_json.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/stream_reading.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

StreamBuilder stream() {
    StreamBuilder s;
    for (std::uint64_t n = 0; n < 20; ++n) {
        s.section(0, pat_section(5, {{7, 0x100}}));
        s.section(0x100, pmt_section(7, 0x101, {{2, 0x101, {}}, {6, 0x102, descriptor(0x59, bytes_of("nor....."))}}));
        s.section(0x11, sdt_section(5, 1, {{7, service_descriptor(1, bytes_of("<b>"), bytes_of({'A', 0x9B, '[', '2'}))}}));
        s.add(packet(0x101).pcr(n * 1'015'200), 0).nulls(96);
    }
    return s;
}

}  // namespace

TEST_CASE("the JSON of an observation keeps to its schema", "[outside]") {
    const TempFolder folder;
    const std::string schema = MASTLINE_SOURCE_DIR "/probe/report/observation.schema.json";
    const Bytes bytes = stream().bytes();
    std::ofstream(folder.file("file.json")) << observation_document(observe_bytes(bytes));
    std::ofstream(folder.file("live.json")) << observation_document(observe_stamped(bytes, std::chrono::microseconds(376)));
    std::ofstream(folder.file("empty.json")) << observation_document(observe_bytes({}));
    for (const char* name : {"file.json", "live.json", "empty.json"}) {
        const auto run = run_command("/usr/bin/python3 -c 'import json,sys,jsonschema; "
                                     "jsonschema.validate(json.load(open(sys.argv[1])), json.load(open(sys.argv[2])))' " +
                                     folder.file(name) + " " + schema + " 2>&1");
        CAPTURE(name, run.output);
        CHECK(run.status == 0);
    }
}

TEST_CASE("the schema refuses a key that is missing or misspelt", "[outside]") {
    const TempFolder folder;
    auto document = nlohmann::json::parse(observation_document(observe_bytes(stream().bytes())));
    document.erase("packets");
    document["packet"] = 1;
    std::ofstream(folder.file("bad.json")) << document.dump();
    const auto run = run_command("/usr/bin/python3 -c 'import json,sys,jsonschema; "
                                 "jsonschema.validate(json.load(open(sys.argv[1])), json.load(open(sys.argv[2])))' " +
                                 folder.file("bad.json") + " " MASTLINE_SOURCE_DIR "/probe/report/observation.schema.json 2>&1");
    CHECK(run.status != 0);
}

TEST_CASE("the same stream gives the same bytes of JSON", "[property]") {
    const Bytes bytes = stream().bytes();
    CHECK(observation_document(observe_bytes(bytes)) == observation_document(observe_bytes(bytes, 1000)));
}

TEST_CASE("JSON says what was not judged and why, and gives no count then", "[unit]") {
    const auto document = nlohmann::json::parse(observation_document(observe_bytes(stream().bytes())));
    CHECK(document["schema"] == "mastline-stream-observation 1");
    const auto& buffer = document["indicators"][20];
    CHECK(buffer["name"] == "Buffer_error");
    CHECK(buffer["judged"] == false);
    CHECK_FALSE(buffer.contains("count"));
    CHECK(document["indicators"][4]["count"] == 0);
    CHECK(document["programmes"][0]["components"][1]["kind"] == "subtitles");
    CHECK(document["programmes"][0]["components"][1]["languages"][0] == "nor");
}
