// SPDX-License-Identifier: Apache-2.0
// Descriptors (ISO/IEC 13818-1, 2.6; EN 300 468, clause 6): descriptor_tag 8 | length 8 | body.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/mpeg/audio_format.hpp"
#include "mastline/mpeg/pid.hpp"

namespace mastline {

struct Descriptor {
    std::uint8_t tag = 0;
    std::vector<std::byte> body;
    bool operator==(const Descriptor&) const = default;
};
using Descriptors = std::vector<Descriptor>;

// The descriptors of a loop; a last one that overruns the loop is left out.
Descriptors parse_descriptors(ByteView loop);

// The first with that tag, or nullptr.
const Descriptor* find_descriptor(const Descriptors& all, std::uint8_t tag);

// format_identifier of the first registration_descriptor (tag 0x05); empty when there is none.
std::string registration_of(const Descriptors& all);

// An ISO_639_language_code of three bytes; empty where it is zeros: none is stated.
std::string language_code(ByteView three);

// ISO 639-2 codes of language, teletext and subtitling descriptors, each once, in order; one of zeros
// states none.
std::vector<std::string> languages_of(const Descriptors& all);

// What the extension descriptor of registered "Opus" says of the sound (common practice: tag 0x7F, its own
// tag 0x80, channel_config_code 8); none: it is not there, or says nothing of the channels.
std::optional<AudioFormat> opus_format_of(const Descriptors& all);

// Whether the video, AVC video or HEVC video descriptor says that there may be still pictures
// (ISO/IEC 13818-1, 2.6.2, 2.6.64, 2.6.95).
bool announces_stills(const Descriptors& all);

// format_identifier of the first metadata_descriptor (tag 0x26; ISO/IEC 13818-1, 2.6.60), "KLVA"; empty when
// it names its format by another number, or there is none.
std::string metadata_format_of(const Descriptors& all);

// CA_PID of every CA_descriptor (tag 0x09).
std::vector<Pid> ca_pids_of(const Descriptors& all);

}  // namespace mastline
