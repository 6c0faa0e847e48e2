// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/ts/descriptor.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("descriptors are told apart and an overrunning one is left out", "[unit]") {
    const auto all = parse_descriptors(joined({descriptor(0x0A, bytes_of("eng")), descriptor(0x05, {}),
                                               bytes_of({0x52, 9, 1})}));
    REQUIRE(all.size() == 2);
    CHECK(all[0].body == bytes_of("eng"));
    CHECK(find_descriptor(all, 0x05) == &all[1]);
    CHECK(find_descriptor(all, 0x52) == nullptr);
}

TEST_CASE("languages come from language, teletext and subtitling descriptors, each once", "[unit]") {
    // EN 300 468: 6.2.43 teletext 5 bytes per entry, 6.2.41 subtitling 8.
    const auto all = parse_descriptors(joined(
        {descriptor(0x0A, joined({bytes_of("eng"), bytes_of({0}), bytes_of("fra"), bytes_of({0})})),
         descriptor(0x56, joined({bytes_of("eng"), bytes_of({9, 0}), bytes_of("deu"), bytes_of({9, 0})})),
         descriptor(0x59, joined({bytes_of("nor"), bytes_of({0x10, 0, 1, 0, 1})})),
         descriptor(0x46, joined({bytes_of("ces"), bytes_of({9, 0}), bytes_of("slk"), bytes_of({0x11, 0x88})}))}));
    CHECK(languages_of(all) == std::vector<std::string>{"eng", "fra", "deu", "nor", "ces", "slk"});
}

TEST_CASE("registration and conditional access PIDs are read", "[unit]") {
    const auto all = parse_descriptors(joined({descriptor(0x05, bytes_of("CUEI")),
                                               descriptor(0x09, bytes_of({0x12, 0x34, 0xE1, 0x50})),
                                               descriptor(0x09, bytes_of({0x12}))}));
    CHECK(registration_of(all) == "CUEI");
    CHECK(ca_pids_of(all) == std::vector<Pid>{Pid(0x150)});
    CHECK(registration_of(parse_descriptors(descriptor(0x05, bytes_of("AC")))).empty());
}
