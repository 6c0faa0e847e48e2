// SPDX-License-Identifier: Apache-2.0
// The IP and UDP headers of a datagram, for a capture of what a socket received: the socket tells
// addresses, ports, TTL and DSCP, so the headers can be put before the payload again.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "mastline/net/datagram.hpp"

namespace mastline {

class UdpHeaders {
public:
    // Headers of `datagram`; fields that a socket does not tell are 0 (identification, flow label).
    // IPv4 without a UDP checksum, as RFC 768 allows; IPv6 with one, as RFC 8200 section 8.1 demands.
    explicit UdpHeaders(const Datagram& datagram) {
        datagram.destination.is_v4() ? write_v4(datagram) : write_v6(datagram);
    }
    ByteView bytes() const { return ByteView(bytes_).first(size_); }

private:
    void put(std::uint32_t value, int width) {
        for (int shift = 8 * (width - 1); shift >= 0; shift -= 8)
            bytes_[size_++] = static_cast<std::byte>(value >> shift);
    }
    void put(const IpAddress& address) {
        const std::size_t width = address.is_v4() ? 4 : 16;
        for (std::size_t i = 0; i < width; ++i) put(address.bytes()[i], 1);
    }
    static std::uint32_t sum(ByteView bytes) {
        std::uint32_t out = 0;
        for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) out += read_u16(bytes, i);
        if (bytes.size() % 2 != 0) out += std::uint32_t{read_u8(bytes, bytes.size() - 1)} << 8;
        return out;
    }
    // RFC 1071.
    static std::uint16_t folded(std::uint32_t all) {
        while (all > 0xFFFF) all = (all & 0xFFFF) + (all >> 16);
        return static_cast<std::uint16_t>(~all);
    }
    void set_u16(std::size_t at, std::uint16_t value) {
        bytes_[at] = static_cast<std::byte>(value >> 8);
        bytes_[at + 1] = static_cast<std::byte>(value & 0xFF);
    }
    static std::uint32_t known(int value) { return value < 0 ? 0 : static_cast<std::uint32_t>(value); }

    void write_udp(const Datagram& d) {
        put(d.source_port.number, 2);
        put(d.port.number, 2);
        put(static_cast<std::uint32_t>(8 + d.payload.size()), 2);
        put(0, 2);
    }
    void write_v4(const Datagram& d) {
        put(0x45, 1);
        put(known(d.dscp) << 2, 1);
        put(static_cast<std::uint32_t>(28 + d.payload.size()), 2);
        put(0, 4);  // identification, flags, offset
        put(known(d.ttl), 1);
        put(17, 1);
        put(0, 2);
        put(d.source);
        put(d.destination);
        set_u16(10, folded(sum(bytes())));
        write_udp(d);
    }
    void write_v6(const Datagram& d) {
        const auto length = static_cast<std::uint32_t>(8 + d.payload.size());
        put(6U << 28 | known(d.dscp) << 22, 4);
        put(length, 2);
        put(17, 1);
        put(known(d.ttl), 1);
        put(d.source);
        put(d.destination);
        write_udp(d);
        // Pseudo-header: both addresses, length and next header; then UDP header and payload.
        const std::uint16_t check = folded(sum(bytes().subspan(8, 32)) + length + 17 +
                                           sum(bytes().subspan(40)) + sum(d.payload));
        set_u16(46, check == 0 ? std::uint16_t{0xFFFF} : check);
    }

    std::array<std::byte, 48> bytes_{};
    std::size_t size_ = 0;
};

}  // namespace mastline
