// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/fragments.hpp"

using namespace mastline;

namespace {

const std::vector<std::byte> kBytes(64, std::byte{7});

IpPacket piece(std::uint32_t id, std::size_t offset, std::size_t size, bool more,
               Duration at = Duration(0)) {
    IpPacket out;
    out.protocol = kProtocolUdp;
    out.source = IpAddress::v4(0x0A000001);
    out.destination = IpAddress::v4(0xEF000001);
    out.arrival = at;
    out.payload = ByteView(kBytes).first(size);
    out.fragment = FragmentPlace{id, offset, more};
    return out;
}

}  // namespace

TEST_CASE("a packet is whole once every byte up to its last fragment is there", "[unit]") {
    FragmentAssembler assembler;
    CHECK_FALSE(assembler.add(piece(1, 48, 10, false)));
    CHECK_FALSE(assembler.add(piece(1, 0, 24, true)));
    const auto whole = assembler.add(piece(1, 24, 24, true));
    REQUIRE(whole);
    CHECK(whole->payload.size() == 58);
    CHECK_FALSE(whole->fragment);
    CHECK(assembler.abandoned() == 0);
}

TEST_CASE("a fragment that comes once more after its packet was whole abandons none", "[unit]") {
    FragmentAssembler assembler;
    CHECK_FALSE(assembler.add(piece(1, 0, 24, true)));
    CHECK(assembler.add(piece(1, 24, 8, false)));
    CHECK_FALSE(assembler.add(piece(1, 24, 8, false)));
    CHECK(assembler.waiting() == 0);
    CHECK(assembler.add(piece(1, 0, 24, true)));  // the whole packet twice
    CHECK_FALSE(assembler.add(piece(1, 0, 24, true)));
    CHECK_FALSE(assembler.add(piece(2, 0, 24, true, std::chrono::seconds(31))));
    CHECK(assembler.abandoned() == 0);
    CHECK(assembler.waiting() == 1);
}

TEST_CASE("overlapping fragments condemn their packet", "[unit]") {
    // RFC 5722 section 3: the datagram and all its fragments are silently discarded.
    FragmentAssembler assembler;
    CHECK_FALSE(assembler.add(piece(1, 0, 24, true)));
    CHECK_FALSE(assembler.add(piece(1, 16, 24, false)));
    CHECK(assembler.abandoned() == 1);
}

TEST_CASE("fragments wait for thirty seconds of the capture's time", "[unit]") {
    FragmentAssembler assembler;
    CHECK_FALSE(assembler.add(piece(1, 0, 24, true)));
    CHECK_FALSE(assembler.add(piece(1, 24, 8, false, std::chrono::seconds(31))));
    CHECK(assembler.abandoned() == 1);
    CHECK(assembler.waiting() == 1);
}

TEST_CASE("packets that wait are bounded in number", "[unit]") {
    FragmentAssembler assembler;
    for (std::uint32_t id = 0; id < 1000; ++id) CHECK_FALSE(assembler.add(piece(id, 0, 24, true)));
    CHECK(assembler.abandoned() == 1000 - FragmentAssembler::kMostPending - 1);
}

TEST_CASE("a fragment that reaches beyond 65,535 bytes, or is not a multiple of 8, is refused",
          "[input]") {
    FragmentAssembler assembler;
    CHECK_FALSE(assembler.add(piece(1, 65'528, 24, false)));
    CHECK_FALSE(assembler.add(piece(2, 0, 23, true)));
    CHECK(assembler.abandoned() == 2);
}
