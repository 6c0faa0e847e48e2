// SPDX-License-Identifier: Apache-2.0
// What was seen of one component: an elementary stream or a data stream of a programme.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/mpeg/pid.hpp"
#include "mastline/stream/occurrences.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/frequency.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// Frames (coded pictures that are shown as one) per second as the fraction the stream states.
struct FrameRate {
    std::uint32_t numerator = 0;
    std::uint32_t denominator = 1;
    bool operator==(const FrameRate&) const = default;
};

// From the first sequence header (MPEG-2) or sequence parameter set (AVC, HEVC).
struct VideoFormat {
    std::string profile;  // "Main", "High", "Main 10"
    std::string level;    // "High", "4.1"
    std::uint32_t width = 0;   // samples, cropping applied
    std::uint32_t height = 0;
    bool interlaced = false;
    std::optional<FrameRate> frame_rate;  // none: the stream does not state it
    bool operator==(const VideoFormat&) const = default;
};

// From the first audio frame header.
struct AudioFormat {
    std::string profile;  // "Layer II", "LC", "AC-3", "E-AC-3"
    Frequency sample_rate;
    std::uint32_t channels = 0;  // low-frequency channel included; 0: not stated in the header
    std::optional<BitRate> rate;
    bool operator==(const AudioFormat&) const = default;
};

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
    std::string kind;  // a name of kStreamKinds, or "unknown"
    std::vector<std::string> languages;  // ISO 639-2 codes in the order of the descriptors
    std::vector<std::uint8_t> descriptor_tags;
    std::string registration;  // format_identifier of a registration descriptor: "AC-3", "CUEI"
    std::uint64_t packets = 0;
    bool scrambled = false;    // any packet with scrambling bits
    std::optional<VideoFormat> video;
    std::optional<AudioFormat> audio;
    PtsObservation pts;
    std::uint64_t random_access_points = 0;
    bool operator==(const ComponentObservation&) const = default;
};

}  // namespace mastline
