// SPDX-License-Identifier: Apache-2.0
// What was seen of one component: an elementary stream or a data stream of a programme.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/mpeg/audio_format.hpp"
#include "mastline/mpeg/pid.hpp"
#include "mastline/mpeg/video_format.hpp"
#include "mastline/stream/occurrences.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// Presentation and decoding time stamps of the PES packets.
struct PtsObservation {
    std::uint64_t count = 0;
    std::optional<Duration> max_interval;  // between PES packets that carry one, in stream time
    std::uint64_t order_errors = 0;  // decoding time went back without a signalled discontinuity
    std::optional<PtsTicks> first;
    std::optional<PtsTicks> last;
    bool operator==(const PtsObservation&) const = default;
};

struct ComponentObservation {
    Pid pid;
    StreamType stream_type;
    std::string kind;  // as kind_of() names it: "h264", "opus", "unknown"
    std::vector<std::string> languages;  // ISO 639-2 codes in the order of the descriptors
    std::vector<std::uint8_t> descriptor_tags;
    std::string registration;  // format_identifier of a registration descriptor: "AC-3", "CUEI"
    std::uint64_t packets = 0;
    bool scrambled = false;    // any packet with scrambling bits
    bool still_pictures = false;  // its descriptors say that there may be still pictures
    std::optional<VideoFormat> video;
    std::optional<AudioFormat> audio;
    PtsObservation pts;
    std::uint64_t random_access_points = 0;
    bool operator==(const ComponentObservation&) const = default;
};

}  // namespace mastline
