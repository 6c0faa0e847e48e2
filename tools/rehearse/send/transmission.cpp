// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/transmission.hpp"

#include <algorithm>

namespace mastline {

namespace {

constexpr unsigned kRtpPayloadTypeMp2t = 33;  // RFC 3551 table 5

// A 32-bit number that differs between flows and is the same on every run.
std::uint32_t number_of(Route route) {
    const auto seed =
        static_cast<std::uint32_t>(route.flow * 2 + (route.second_source ? 1 : 0) + 1);
    return seed * 2654435761U;
}

}  // namespace

Transmission::Transmission(Route route, const Expectation& flow,
                           std::unique_ptr<PacketSource> source, const std::vector<Fault>& faults,
                           PcrTicks end)
    : route_(route),
      source_(std::move(source)),
      faults_(faults),
      packet_faults_(faults),
      end_(end),
      header_size_(flow.encapsulation == Encapsulation::rtp ? kRtpHeaderSize : 0),
      size_(header_size_ + kTsPacketSize * static_cast<std::size_t>(flow.packets_per_datagram)),
      ssrc_(number_of(route)),
      random_(number_of(route)) {}

PcrTicks Transmission::due() const {
    const PcrTicks now = source_->now();
    return now < end_ ? now : PcrTicks::max();
}

void Transmission::step(Outlet& outlet) {
    const PcrTicks now = source_->now();
    const ByteSpan datagram = outlet.slot(route_).first(size_);
    source_->next(datagram.subspan(header_size_));
    if (!packet_faults_.empty()) packet_faults_.apply(datagram.subspan(header_size_), now);
    ++index_;
    if (header_size_ > 0) write_rtp_header(datagram, now);
    if (withhold(now)) {
        ++counts_.withheld;
        return;
    }
    if (!holding_ && every_nth(FaultKind::reorder, now)) {
        std::copy(datagram.begin(), datagram.end(), held_.begin());
        holding_ = true;
        return;
    }
    outlet.commit(route_, size_);
    ++counts_.datagrams;
    if (every_nth(FaultKind::duplicate, now)) send(outlet, datagram);
    if (holding_) send(outlet, ByteView(held_).first(size_));
    holding_ = false;
}

void Transmission::skip_to(PcrTicks moment) {
    while (source_->now() < moment) source_->next(ByteSpan(held_).first(size_ - header_size_));
}

// A further datagram behind the one just committed.
void Transmission::send(Outlet& outlet, ByteView datagram) {
    std::array<std::byte, kMostDatagram> copy;  // the outlet may give the same slot again
    std::copy(datagram.begin(), datagram.end(), copy.begin());
    std::copy_n(copy.begin(), size_, outlet.slot(route_).begin());
    outlet.commit(route_, size_);
    ++counts_.datagrams;
}

bool Transmission::withhold(PcrTicks now) {
    for (const auto& fault : faults_) {
        if (!fault.window.holds(now)) continue;
        if (fault.kind == FaultKind::missing || fault.kind == FaultKind::wrong_service) return true;
        if (fault.kind != FaultKind::loss) continue;
        if (fault.every > 0 && index_ % fault.every == 0) return true;
        random_ = random_ * 1664525U + 1013904223U;
        const auto drawn = static_cast<std::int64_t>((std::uint64_t{random_} * 1'000'000) >> 32);
        if (fault.every == 0 && drawn < fault.lost_per_million) return true;
    }
    return false;
}

bool Transmission::every_nth(FaultKind kind, PcrTicks now) const {
    return std::any_of(faults_.begin(), faults_.end(), [&](const Fault& fault) {
        return fault.kind == kind && fault.window.holds(now) && index_ % fault.every == 0;
    });
}

// RFC 3550, 5.1 and RFC 2250, 2: 90 kHz time stamp of the first byte.
void Transmission::write_rtp_header(ByteSpan datagram, PcrTicks now) {
    write_u8(datagram, 0, 0x80);
    write_u8(datagram, 1, kRtpPayloadTypeMp2t);
    write_u16(datagram, 2, static_cast<unsigned>(index_ & 0xFFFF));
    write_u32(datagram, 4, static_cast<std::uint32_t>((now.count() / 300) & 0xFFFFFFFF));
    write_u32(datagram, 8, ssrc_);
}

}  // namespace mastline
