// SPDX-License-Identifier: Apache-2.0
#include "probe/source/grouped_delivery.hpp"

#include <array>
#include <map>

using namespace mastline;

namespace {

// Who came, by the first payload byte.
struct Seen final : PacketSink {
    std::vector<std::pair<IpAddress, int>> datagrams;
    void on_datagram(const Datagram& d) override { datagrams.emplace_back(d.destination, static_cast<int>(read_u8(d.payload, 0))); }
};

IpAddress group(unsigned n) { return IpAddress::v4(0xEFC00A00U + n); }

Datagram datagram(const IpAddress& to, ByteView payload, std::uint16_t port = 5004) {
    Datagram out;
    out.payload = payload;
    out.destination = to;
    out.port = {port};
    return out;
}

}  // namespace

TEST_CASE("datagrams are passed on group by group, each group whole and in its order", "[unit]") {
    std::array<std::byte, 250> memory{};
    for (std::size_t i = 0; i < memory.size(); ++i) memory[i] = static_cast<std::byte>(i);
    GroupedDelivery delivery{ByteView(memory)};
    Seen seen;
    delivery.deliver_to(seen);
    // 37 groups, and IPv6 ones that differ from each other in a high byte alone; two rounds.
    for (int round = 0; round < 2; ++round) {
        seen.datagrams.clear();
        std::map<IpAddress, std::vector<int>> sent;
        for (std::size_t i = 0; i < memory.size(); ++i) {
            std::array<std::uint8_t, 16> v6{0xFF, 0x3E, static_cast<std::uint8_t>(i % 5)};
            const IpAddress to = i % 3 == 0 ? IpAddress::v6(v6) : group(static_cast<unsigned>(i * i % 37));
            sent[to].push_back(static_cast<int>(i));
            delivery.on_datagram(datagram(to, ByteView(memory).subspan(i, 1), static_cast<std::uint16_t>(5004 + i % 2)));
        }
        CHECK(seen.datagrams.empty());
        CHECK(delivery.waiting() == memory.size());
        delivery.deliver();
        CHECK(delivery.waiting() == 0);
        REQUIRE(seen.datagrams.size() == memory.size());
        std::map<IpAddress, std::vector<int>> came;
        std::size_t changes = 1;
        for (std::size_t i = 0; i < seen.datagrams.size(); ++i) {
            came[seen.datagrams[i].first].push_back(seen.datagrams[i].second);
            if (i > 0 && seen.datagrams[i].first != seen.datagrams[i - 1].first) ++changes;
        }
        CHECK(came == sent);
        CHECK(changes == sent.size());
    }
}

TEST_CASE("a datagram whose bytes do not last is passed on at once, behind what waits", "[unit]") {
    const std::array<std::byte, 2> lasting{std::byte{1}, std::byte{2}};
    const std::array<std::byte, 1> passing{std::byte{3}};
    GroupedDelivery delivery{ByteView(lasting)};
    Seen seen;
    delivery.deliver_to(seen);
    delivery.on_datagram(datagram(group(1), ByteView(lasting).first(1)));
    delivery.on_datagram(datagram(group(1), ByteView(passing)));
    CHECK(seen.datagrams == std::vector<std::pair<IpAddress, int>>{{group(1), 1}, {group(1), 3}});
    delivery.on_datagram(datagram(group(2), ByteView(lasting).subspan(1)));
    CHECK(seen.datagrams.size() == 2);
    delivery.deliver();
    CHECK(seen.datagrams.back() == std::pair{group(2), 2});
    delivery.deliver();
    CHECK(seen.datagrams.size() == 3);
}
