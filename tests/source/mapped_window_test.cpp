// SPDX-License-Identifier: Apache-2.0
#include <filesystem>
#include <fstream>

#include "mastline/source/capture_file.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

// Little-endian pcap with nanoseconds, raw IP; every record holds its number in 1,000 bytes. What the
// file holds already is written over, not thrown away first.
void write_records(const std::string& path, std::uint32_t count) {
    std::ofstream out(path, std::ios::binary | (std::filesystem::exists(path) ? std::ios::in : std::ios::out));
    const auto put = [&](std::initializer_list<std::uint32_t> words) {
        for (const std::uint32_t w : words)
            for (int shift = 0; shift < 32; shift += 8) out.put(static_cast<char>(w >> shift));
    };
    put({0xA1B23C4D, 0x00040002, 0, 0, 65535, 101});
    for (std::uint32_t i = 0; i < count; ++i) {
        put({i, 0, 1000, 1000});
        for (int n = 0; n < 250; ++n) put({i});
    }
}

bool holds(const CapturedFrame& frame, std::uint64_t number) {
    for (std::size_t at = 0; at < frame.bytes.size(); ++at)
        if (read_u8(frame.bytes, at) != (number >> (at % 4 * 8) & 0xFF)) return false;
    return frame.bytes.size() == 1000 && frame.arrival == std::chrono::seconds(number);
}

}  // namespace

TEST_CASE("a capture larger than what is seen of it at once comes whole and in order", "[unit]") {
    const TempFolder folder;
    write_records(folder.file("large.pcap"), 40'000);
    const auto input = open_input(folder.file("large.pcap"));
    BlockReader reader(*input);
    std::uint64_t count = 0, wrong = 0;
    const auto summary = read_capture(reader, [&](const CapturedFrame& f) { wrong += holds(f, count++) ? 0 : 1; });
    CHECK(count == 40'000);
    CHECK(wrong == 0);
    CHECK(summary.damage.empty());
}

TEST_CASE("a capture that becomes shorter while it is read ends there and says so", "[input]") {
    const TempFolder folder;
    const std::string path = folder.file("shrinking.pcap");
    write_records(path, 40'000);
    const auto input = open_input(path);
    BlockReader reader(*input);
    std::uint64_t count = 0, wrong = 0;
    const auto summary = read_capture(reader, [&](const CapturedFrame& f) {
        if (count == 10) std::filesystem::resize_file(path, 1'000'000);
        wrong += holds(f, count++) ? 0 : 1;
    });
    // 984 records in 1,000,000 bytes; zeros fill the last page, and 16 of these are an empty record.
    CHECK(count >= 984);
    CHECK(count - wrong <= 985);
    CHECK(wrong <= 4096 / 16 + 1);
    CHECK(summary.damage == "the file became shorter, or could not be read, on the way");
}

TEST_CASE("what a capture gains while it is read is read as well", "[unit]") {
    const TempFolder folder;
    const std::string path = folder.file("growing.pcap");
    write_records(path, 1000);
    const auto input = open_input(path);
    BlockReader reader(*input);
    std::uint64_t count = 0, wrong = 0;
    const auto summary = read_capture(reader, [&](const CapturedFrame& f) {
        if (count == 10) write_records(path, 2000);
        wrong += holds(f, count++) ? 0 : 1;
    });
    CHECK(count == 2000);
    CHECK(wrong == 0);
    CHECK(summary.damage.empty());
}
