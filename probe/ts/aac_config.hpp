// SPDX-License-Identifier: Apache-2.0
// The parts of ISO/IEC 14496-3 that ADTS and LATM share: sampling rates, channel configurations, the
// program_config_element and the AudioSpecificConfig.
#pragma once

#include <cstdint>
#include <optional>

#include "bit_reader.hpp"
#include "mastline/mpeg/audio_format.hpp"

namespace mastline {

// sampling_frequency_index, table 1.18; 0: reserved.
int aac_sample_rate(unsigned index);

// channelConfiguration, table 1.19; 0: in a program_config_element, or reserved.
std::uint32_t aac_channels(unsigned configuration);

// program_config_element, 4.4.1.1, behind its id; 0 where it does not end.
std::uint32_t program_config_channels(BitReader& bits);

// AudioSpecificConfig, 1.6.2.1, with explicit signalling of SBR and PS. None: not of the AAC family.
std::optional<AudioFormat> audio_specific_config(BitReader& bits);

}  // namespace mastline
