// SPDX-License-Identifier: Apache-2.0
#include "aac_config.hpp"

#include <array>

namespace mastline {

namespace {

// audioObjectTypes, table 1.17.
constexpr unsigned kSpectralBandReplication = 5, kParametricStereo = 29;

unsigned read_object_type(BitReader& bits) {
    const unsigned type = bits.bits(5);
    return type == 31 ? 32 + bits.bits(6) : type;
}

int read_sample_rate(BitReader& bits) {
    const unsigned index = bits.bits(4);
    return index == 15 ? static_cast<int>(bits.bits(24)) : aac_sample_rate(index);
}

const char* object_name(unsigned type) {
    switch (type) {
        case 1: return "Main";
        case 2: return "LC";
        case 3: return "SSR";
        case 4: return "LTP";
        default: return nullptr;
    }
}

}  // namespace

int aac_sample_rate(unsigned index) {
    static constexpr std::array<int, 16> rates{96000, 88200, 64000, 48000, 44100, 32000, 24000, 22050,
                                               16000, 12000, 11025, 8000,  7350,  0,     0,     0};
    return index < rates.size() ? rates[index] : 0;
}

std::uint32_t aac_channels(unsigned configuration) {
    static constexpr std::array<std::uint32_t, 16> channels{0, 1, 2, 3, 4, 5, 6, 8, 0, 0, 0, 7, 8, 24, 8, 0};
    return configuration < channels.size() ? channels[configuration] : 0;
}

std::uint32_t program_config_channels(BitReader& bits) {
    bits.skip(4 + 2 + 4);  // element_instance_tag, object_type, sampling_frequency_index
    const unsigned front = bits.bits(4), side = bits.bits(4), back = bits.bits(4), low = bits.bits(2);
    bits.skip(3 + 4);  // num_assoc_data_elements, num_valid_cc_elements
    if (bits.flag()) bits.skip(4);  // mono_mixdown
    if (bits.flag()) bits.skip(4);  // stereo_mixdown
    if (bits.flag()) bits.skip(3);  // matrix_mixdown
    std::uint32_t channels = low;
    for (unsigned i = 0; i < front + side + back; ++i) {
        channels += bits.flag() ? 2 : 1;  // a channel pair or a single one
        bits.skip(4);
    }
    return bits.ok() ? channels : 0;
}

std::optional<AudioFormat> audio_specific_config(BitReader& bits) {
    unsigned type = read_object_type(bits);
    int rate = read_sample_rate(bits);
    const unsigned configuration = bits.bits(4);
    std::string profile;
    std::uint32_t channels = aac_channels(configuration);
    if (type == kSpectralBandReplication || type == kParametricStereo) {
        profile = type == kParametricStereo ? "HE-AACv2" : "HE-AAC";
        if (type == kParametricStereo) channels = 2;  // one is coded, two are heard
        rate = read_sample_rate(bits);
        type = read_object_type(bits);
    }
    const char* const name = object_name(type);
    if (name == nullptr || rate <= 0) return std::nullopt;
    if (profile.empty()) profile = name;
    if (configuration == 0) {  // GASpecificConfig, 4.4.1
        bits.skip(1);                    // frameLengthFlag
        if (bits.flag()) bits.skip(14);  // coreCoderDelay
        bits.skip(1);                    // extensionFlag
        channels = program_config_channels(bits);
    }
    if (!bits.ok()) return std::nullopt;
    return AudioFormat{.profile = profile, .sample_rate = Frequency(rate), .channels = channels};
}

}  // namespace mastline
