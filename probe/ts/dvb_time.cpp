// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/dvb_time.hpp"

#include <chrono>
#include <fmt/format.h>

namespace mastline {

namespace {

// Days from the epoch of the modified Julian date, 1858-11-17, to 1970-01-01.
constexpr int kJulianOfUnixEpoch = 40587;
// GPS time began at 1980-01-06T00:00:00Z; A/65 counts its seconds.
constexpr std::chrono::sys_days kGpsEpoch = std::chrono::year{1980} / 1 / 6;

std::string text_of(std::chrono::sys_seconds time) {
    const auto day = std::chrono::floor<std::chrono::days>(time);
    const std::chrono::year_month_day date(day);
    const std::chrono::hh_mm_ss clock(time - day);
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                       clock.hours().count(), clock.minutes().count(), clock.seconds().count());
}

std::optional<int> bcd(std::uint8_t byte) {
    const int high = byte >> 4, low = byte & 15;
    if (high > 9 || low > 9) return std::nullopt;
    return high * 10 + low;
}

}  // namespace

std::optional<Duration> bcd_duration(ByteView bytes, std::size_t at) {
    const auto hours = bcd(read_u8(bytes, at));
    const auto minutes = bcd(read_u8(bytes, at + 1));
    const auto seconds = bcd(read_u8(bytes, at + 2));
    if (!hours || !minutes || !seconds || *minutes > 59 || *seconds > 59) return std::nullopt;
    return std::chrono::hours(*hours) + std::chrono::minutes(*minutes) + std::chrono::seconds(*seconds);
}

std::string utc_text(ByteView bytes, std::size_t at) {
    const auto clock = bcd_duration(bytes, at + 2);
    if (!clock || *clock >= std::chrono::hours(24)) return "";
    const std::chrono::sys_days day{std::chrono::days(read_u16(bytes, at) - kJulianOfUnixEpoch)};
    return text_of(day + std::chrono::duration_cast<std::chrono::seconds>(*clock));
}

std::string parse_time_table(const Section& section) {
    if ((section.table_id != 0x70 && section.table_id != 0x73) || section.body.size() < 5) return "";
    return utc_text(section.body, 0);
}

std::string parse_system_time_table(const Section& section) {
    // protocol_version 8 | system_time 32 | GPS_UTC_offset 8 | daylight_savings 16
    if (section.table_id != 0xCD || section.body.size() < 6) return "";
    const std::chrono::seconds gps(read_u32(section.body, 1));
    return text_of(kGpsEpoch + gps - std::chrono::seconds(read_u8(section.body, 5)));
}

}  // namespace mastline
