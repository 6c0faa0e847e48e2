// SPDX-License-Identifier: Apache-2.0
// What is watched: services of carriers, in-house inputs, and the channels made of them.
#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "mastline/findings/place.hpp"
#include "mastline/units/bit_rate.hpp"

namespace mastline {

// The programme that a service or an encoder brings.
struct Programme {
    ProgramNumber program_number;
    std::string service_name;
    std::string provider;
    Pid pmt_pid, pcr_pid;
    std::vector<ExpectedComponent> components;
    BitRate rate;                  // mean transport rate of the programme
    std::optional<BitRate> peak;   // greatest, where it varies; absent means constant
    bool scrambled = false;        // arrives scrambled and is not descrambled by the card
};

// One programme of a carrier's transport stream.
struct Service {
    std::string name;     // key by which channels refer to it
    std::string carrier;
    Programme programme;
    Place place;
    Place carrier_place;
};

// One in-house source that an encoder card takes in.
struct HouseInput {
    std::string name;
    std::string position;   // "control room rack 2"
    std::string connector;  // "hdmi", "sdi", "ip", "composite"
    std::string format;     // "1080p50"; empty: any encoder with the connector takes it
    Programme programme;    // as the encoder is to send it
    Place place;
};

// A channel number as written: "101" or "5.1". Orders by major, then minor.
struct ChannelNumber {
    std::uint32_t major = 0;
    std::uint32_t minor = 0;  // 0: none
    friend constexpr auto operator<=>(const ChannelNumber&, const ChannelNumber&) = default;
};

inline std::string to_text(const ChannelNumber& n) {
    return std::to_string(n.major) + (n.minor > 0 ? "." + std::to_string(n.minor) : "");
}

// None unless the text is a number from 1, with a sub-channel from 1 after a point if any.
std::optional<ChannelNumber> parse_channel_number(std::string_view text);

enum class PictureClass : std::uint8_t { radio, sd, hd, uhd };

constexpr std::string_view to_text(PictureClass c) {
    constexpr std::string_view words[] = {"radio", "SD", "HD", "UHD"};
    return words[static_cast<std::size_t>(c)];
}

// What a viewer tunes.
struct Channel {
    ChannelNumber number;
    std::string name;
    PictureClass picture = PictureClass::hd;
    std::string genre;       // tag in the engineer's own words; may be empty
    std::string service;     // exactly one of service and input is set
    std::string input;
    bool is_protected = false;
    std::vector<ChannelNumber> apart_from;  // channels that must not share its card
    std::optional<std::string> card;      // asked for by the engineer
    std::optional<Group> group;           // asked for by the engineer
    std::optional<UdpPort> port;
    Place place;
    Place source_place;  // of `service` or `input`
    Place card_place, apart_place;
};

}  // namespace mastline
