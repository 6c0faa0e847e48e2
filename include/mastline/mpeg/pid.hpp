// SPDX-License-Identifier: Apache-2.0
// The small numbers of ISO/IEC 13818-1 as types.
#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>

namespace mastline {

// Packet identifier, 13 bits.
class Pid {
public:
    constexpr Pid() = default;
    constexpr explicit Pid(std::uint16_t value) : value_(value & 0x1FFF) {}
    constexpr std::uint16_t value() const { return value_; }
    friend constexpr auto operator<=>(Pid, Pid) = default;

private:
    std::uint16_t value_ = 0x1FFF;
};

inline constexpr Pid kPatPid{0x0000};
inline constexpr Pid kCatPid{0x0001};
inline constexpr Pid kNitPid{0x0010};
inline constexpr Pid kSdtPid{0x0011};
inline constexpr Pid kEitPid{0x0012};
inline constexpr Pid kTdtPid{0x0014};
inline constexpr Pid kPsipPid{0x1FFB};
inline constexpr Pid kNullPid{0x1FFF};

// program_number of the PAT; service_id of EN 300 468 is the same number.
struct ProgramNumber {
    std::uint16_t value = 0;
    friend constexpr auto operator<=>(ProgramNumber, ProgramNumber) = default;
};

// stream_type of the PMT.
struct StreamType {
    std::uint8_t value = 0;
    friend constexpr auto operator<=>(StreamType, StreamType) = default;
};

inline constexpr std::size_t kTsPacketSize = 188;
inline constexpr std::uint8_t kSyncByte = 0x47;

}  // namespace mastline
