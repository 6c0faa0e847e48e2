// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/stream/channel_stream.hpp"

#include <algorithm>

namespace mastline {

namespace {

using std::chrono::milliseconds;

// Repetition as EN 300 468, TR 101 211 and TS 101 154 ask, with room for a late packet.
constexpr PcrTicks kPatInterval = milliseconds(80);      // at most 100 ms
constexpr PcrTicks kSdtInterval = milliseconds(1000);    // at most 2 s
constexpr PcrTicks kTdtInterval = milliseconds(10'000);  // at most 30 s
constexpr PcrTicks kDataInterval = milliseconds(1000);
constexpr PcrTicks kPcrInterval = milliseconds(30);  // at most 40 ms
constexpr PcrTicks kMostPcrWait = milliseconds(36);
constexpr PcrTicks kLeastPcrInterval = milliseconds(10);
constexpr PcrTicks kHour = std::chrono::hours(1);
constexpr std::size_t kUtcAt = kTsHeaderSize + 1 + 3;  // in the TDT's only packet
// Video fills the stream up to this part; the rest is null packets.
constexpr std::int64_t kBusyPercent = 90;

std::int64_t packets_per_hour(BitRate rate) {
    return rate.bits_per_second() * 3600 / static_cast<std::int64_t>(8 * kTsPacketSize);
}

std::int64_t per_hour(PcrTicks interval) {
    return (kHour + interval - PcrTicks(1)) / interval;
}

Section data_section(std::string_view kind) {
    return kind == "scte35" ? cue_section() : private_section();
}

}  // namespace

ChannelStream::ChannelStream(const Expectation& expectation, const StreamSettings& settings)
    : settings_(settings),
      planned_(expectation.rate),
      clock_(expectation.rate, settings.start),
      pcr_pid_(expectation.pcr_pid),
      pcr_due_(settings.start),
      time_table_(kTdtPid, tdt_section(settings.utc_at_zero), kTdtInterval, settings.start),
      earliest_(settings.start) {
    const PcrTicks start = settings.start;
    sections_.emplace_back(kPatPid, pat_section(expectation), kPatInterval, start);
    sections_.emplace_back(expectation.pmt_pid, pmt_section(expectation), kPatInterval, start);
    sections_.emplace_back(kSdtPid, sdt_section(expectation), kSdtInterval, start);
    for (const auto& component : expectation.components) {
        if (auto recipe = recipe_of(component.kind))
            components_.emplace_back(component.pid, std::move(*recipe), settings.clock_at_zero,
                                     start, settings.end);
        else
            sections_.emplace_back(component.pid, data_section(component.kind), kDataInterval,
                                   start);
    }
    share_out(planned_);
}

// PCRs come oftener at low rates, where a packet takes longer: what is needed at the rate that
// would do with PCRs as usual is enough.
BitRate ChannelStream::least_rate(const Expectation& expectation) {
    Expectation reckoned = expectation;
    reckoned.rate = megabits_per_second(1);
    reckoned.rate = ChannelStream(reckoned, {}).needed_rate();
    return ChannelStream(reckoned, {}).needed_rate();
}

BitRate ChannelStream::needed_rate() const {
    std::int64_t packets = fixed_packets_per_hour();
    for (const auto& component : components_)
        if (component.recipe().filler != Filler::none)
            packets += per_hour(component.recipe().period) *
                       static_cast<std::int64_t>(component.least_packets());
    return BitRate((packets * static_cast<std::int64_t>(8 * kTsPacketSize) + 3599) / 3600);
}

// Everything but video.
std::int64_t ChannelStream::fixed_packets_per_hour() const {
    std::int64_t packets = per_hour(pcr_interval_) + per_hour(time_table_.interval());
    for (const auto& section : sections_)
        packets += per_hour(section.interval()) * static_cast<std::int64_t>(section.packet_count());
    for (const auto& component : components_)
        if (component.recipe().filler == Filler::none)
            packets += per_hour(component.recipe().period) *
                       static_cast<std::int64_t>(component.least_packets());
    return packets;
}

// Gives the videos equal parts of what the rest leaves free.
void ChannelStream::share_out(BitRate rate) {
    clock_.set_rate(rate);
    pcr_interval_ =
        std::max(kLeastPcrInterval, std::min(kPcrInterval, kMostPcrWait - clock_.packet_time()));
    const auto videos = std::count_if(components_.begin(), components_.end(), [](const auto& c) {
        return c.recipe().filler != Filler::none;
    });
    if (videos == 0) return;
    const std::int64_t free =
        packets_per_hour(rate) * kBusyPercent / 100 - fixed_packets_per_hour();
    for (auto& component : components_) {
        if (component.recipe().filler == Filler::none) continue;
        const std::int64_t units = per_hour(component.recipe().period);
        const auto part =
            static_cast<std::size_t>(std::max<std::int64_t>(0, free / videos / units));
        component.set_packets_per_unit(std::max(component.least_packets(), part));
    }
}

void ChannelStream::change_rate() {
    if (settings_.slow_rate == BitRate()) return;
    const BitRate wanted = settings_.slow.holds(clock_.now()) ? settings_.slow_rate : planned_;
    if (wanted != clock_.rate()) share_out(wanted);
}

void ChannelStream::next(ByteSpan out) {
    change_rate();
    for (; !out.empty(); out = out.subspan(kTsPacketSize)) {
        write_packet(out.first(kTsPacketSize));
        clock_.advance();
    }
}

// The PCR goes first, then whatever has been due longest, else a null packet.
void ChannelStream::write_packet(ByteSpan packet) {
    const PcrTicks now = clock_.now();
    if (pcr_due_ <= now) return write_pcr_packet(packet);
    if (now < earliest_) return make_null(packet);
    SectionStream* section = nullptr;
    ComponentStream* component = nullptr;
    PcrTicks first = PcrTicks::max(), second = PcrTicks::max();
    const auto consider = [&](PcrTicks due) {
        second = std::min(second, std::max(first, due));
        if (due >= first) return false;
        first = due;
        return true;
    };
    for (auto& s : sections_)
        if (consider(s.due())) section = &s;
    for (auto& c : components_)
        if (consider(c.due())) component = &c, section = nullptr;
    if (consider(time_table_.due())) component = nullptr, section = &time_table_;
    earliest_ = first;
    if (now < first) return make_null(packet);
    if (section == &time_table_) return write_time_table(packet);
    if (section != nullptr)
        section->write(packet);
    else
        component->write(packet);
    earliest_ = std::min(second, section != nullptr ? section->due() : component->due());
}

// A packet of its own without payload: the counter stays (2.4.3.3).
void ChannelStream::write_pcr_packet(ByteSpan packet) {
    write_header(packet, pcr_pid_, false, true, false);
    for (const auto& component : components_)
        if (component.pid() == pcr_pid_) set_counter(packet, component.last_counter());
    write_stuffing(packet, kTsPayloadSize);
    write_u8(packet, 5, 0x10);
    write_pcr(packet, settings_.clock_at_zero + clock_.at_byte(kPcrByte));
    pcr_due_ = clock_.now() + pcr_interval_;
}

void ChannelStream::write_time_table(ByteSpan packet) {
    time_table_.write(packet);
    write_utc_time(packet.subspan(kUtcAt),
                   settings_.utc_at_zero + std::chrono::floor<std::chrono::seconds>(clock_.now()));
}

}  // namespace mastline
