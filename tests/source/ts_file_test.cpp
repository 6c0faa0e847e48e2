// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/ts_file.hpp"

#include "support/memory_input.hpp"

using namespace mastline;

namespace {

void append(std::vector<std::byte>& out, std::size_t count, int value) {
    out.insert(out.end(), count, static_cast<std::byte>(value));
}

// Packet `i` is the sync byte and 187 bytes that never are one.
void append_packet(std::vector<std::byte>& out, std::size_t i) {
    append(out, 1, 0x47);
    append(out, 187, static_cast<int>(0x80 + i % 64));
}

std::vector<std::byte> file(std::size_t packets, std::size_t before, std::size_t behind) {
    std::vector<std::byte> out;
    for (std::size_t i = 0; i < packets; ++i) {
        // 27 MHz stamps 1 ms apart, starting just below the wrap of 30 bits.
        const auto stamp = static_cast<std::uint32_t>((0x3FFFFFFF - 20'000 + 27'000 * i) & 0x3FFFFFFF);
        for (std::size_t b = 0; b < before; ++b)
            append(out, 1, static_cast<int>((stamp >> (24 - 8 * b)) & 0xFF));
        append_packet(out, i);
        append(out, behind, 0xEE);
    }
    return out;
}

struct Read {
    TsFileSummary summary;
    std::vector<std::byte> bytes;
    std::vector<std::optional<Duration>> arrivals;
};

Read read(const std::vector<std::byte>& bytes) {
    test::MemoryInput input(bytes);
    BlockReader reader(input);
    Read out;
    out.summary = read_ts_file(reader, [&](const TsRun& run) {
        out.bytes.insert(out.bytes.end(), run.packets.begin(), run.packets.end());
        out.arrivals.push_back(run.arrival);
    });
    return out;
}

}  // namespace

TEST_CASE("packets of 188, 192 and 204 bytes are recognised and freed of what surrounds them",
          "[unit]") {
    // More than one block of 256 KiB, so that cuts between blocks show.
    const std::size_t many = 4001;
    const auto plain = file(many, 0, 0);
    for (const auto& [size, bytes] : {std::pair{188, plain}, std::pair{192, file(many, 4, 0)},
                                      std::pair{204, file(many, 0, 16)}}) {
        const auto got = read(bytes);
        CHECK(got.summary.packet_size == static_cast<std::size_t>(size));
        CHECK(got.summary.packets == many);
        CHECK(got.summary.leading_bytes == 0);
        CHECK(got.summary.skipped_bytes == 0);
        CHECK(got.summary.damage.empty());
        CHECK((got.bytes == plain));
    }
}

TEST_CASE("arrival stamps of 192-byte packets count from the first, over the wrap", "[unit]") {
    const auto got = read(file(10, 4, 0));
    REQUIRE(got.arrivals.size() == 10);
    for (std::size_t i = 0; i < 10; ++i) CHECK(got.arrivals[i] == std::chrono::milliseconds(i));
}

TEST_CASE("sync bytes in stamps are not taken for those of packets", "[unit]") {
    for (std::size_t place = 0; place < 4; ++place) {
        std::vector<std::byte> bytes;
        for (std::size_t i = 0; i < 100; ++i) {
            for (std::size_t b = 0; b < 4; ++b) append(bytes, 1, b == place ? 0x47 : 0);
            append(bytes, 1, 0x47);
            for (const int header : {0x01, 0x00, 0x10}) append(bytes, 1, header);
            append(bytes, 184, 0x55);
        }
        const auto got = read(bytes);
        CHECK(got.summary.packet_size == 192);
        CHECK(got.summary.packets == 100);
        CHECK(got.summary.leading_bytes == 0);
    }
}

TEST_CASE("stamps that leap between packets are no clock", "[unit]") {
    auto bytes = file(10, 4, 0);
    bytes[5 * 192] = std::byte{0x20};  // some 20 s on
    const auto got = read(bytes);
    CHECK(got.summary.packets == 10);
    for (const auto& arrival : got.arrivals) CHECK_FALSE(arrival);
}

TEST_CASE("garbage before the first packet is passed over, sync bytes in it included", "[unit]") {
    std::vector<std::byte> bytes;
    append(bytes, 300, 0x47);
    append(bytes, 70'001, 0x11);
    const auto packets = file(100, 0, 0);
    bytes.insert(bytes.end(), packets.begin(), packets.end());
    const auto got = read(bytes);
    CHECK(got.summary.leading_bytes == 70'301);
    CHECK(got.summary.packets == 100);
    CHECK((got.bytes == packets));
}

TEST_CASE("a damaged sync byte alone does not lose alignment", "[unit]") {
    auto bytes = file(100, 0, 0);
    bytes[50 * 188] = std::byte{0};
    bytes[99 * 188] = std::byte{0};
    const auto got = read(bytes);
    CHECK(got.summary.packets == 100);
    CHECK(got.summary.skipped_bytes == 0);
    CHECK((got.bytes == bytes));
}

TEST_CASE("bytes lost in the middle cost alignment, and it is found again", "[unit]") {
    auto bytes = file(100, 0, 0);
    bytes.erase(bytes.begin() + 50 * 188 + 10, bytes.begin() + 50 * 188 + 90);
    const auto got = read(bytes);
    CHECK(got.summary.damage.empty());
    CHECK(got.summary.packets == 99);
    // Packet 50 has its sync byte and is followed by none: it is all that is passed over.
    CHECK(got.summary.skipped_bytes == 108);
}

TEST_CASE("a file that ends inside a packet says so", "[input]") {
    auto bytes = file(10, 0, 0);
    bytes.resize(bytes.size() - 100);
    const auto got = read(bytes);
    CHECK(got.summary.packets == 9);
    CHECK(got.summary.damage == "the last packet is cut short: 88 bytes");
}

TEST_CASE("a file without a transport stream has no packet size", "[input]") {
    CHECK(read({}).summary.packet_size == 0);
    CHECK(read(std::vector<std::byte>(600'000, std::byte{0x11})).summary.packet_size == 0);
    CHECK(read(std::vector<std::byte>(100, std::byte{0x47})).summary.packet_size == 0);
}
