// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/modulation.hpp"

#include <array>
#include <cmath>
#include <string_view>

namespace mastline {

namespace {

struct Mode {
    std::string_view modulation, code_rate;
    double threshold_db;  // C/N in the noise bandwidth
};

// EN 300 421: Eb/N0 for quasi error-free reception 4.5, 5.0, 5.5, 6.0, 6.4 dB (from memory), as C/N
// in the symbol rate: plus 10 log10(2 r 188/204).
constexpr std::array<Mode, 5> kDvbS{{{"qpsk", "1/2", 4.15},
                                     {"qpsk", "2/3", 5.89},
                                     {"qpsk", "3/4", 6.91},
                                     {"qpsk", "5/6", 7.86},
                                     {"qpsk", "7/8", 8.48}}};

// EN 302 307-1, table 13: ideal Es/N0, FECFRAME of 64800 bits.
constexpr std::array<Mode, 28> kDvbS2{{
    {"qpsk", "1/4", -2.35},  {"qpsk", "1/3", -1.24},   {"qpsk", "2/5", -0.30},
    {"qpsk", "1/2", 1.00},   {"qpsk", "3/5", 2.23},    {"qpsk", "2/3", 3.10},
    {"qpsk", "3/4", 4.03},   {"qpsk", "4/5", 4.68},    {"qpsk", "5/6", 5.18},
    {"qpsk", "8/9", 6.20},   {"qpsk", "9/10", 6.42},   {"8psk", "3/5", 5.50},
    {"8psk", "2/3", 6.62},   {"8psk", "3/4", 7.91},    {"8psk", "5/6", 9.35},
    {"8psk", "8/9", 10.69},  {"8psk", "9/10", 10.98},  {"16apsk", "2/3", 8.97},
    {"16apsk", "3/4", 10.21}, {"16apsk", "4/5", 11.03}, {"16apsk", "5/6", 11.61},
    {"16apsk", "8/9", 12.89}, {"16apsk", "9/10", 13.13}, {"32apsk", "3/4", 12.73},
    {"32apsk", "4/5", 13.64}, {"32apsk", "5/6", 14.28}, {"32apsk", "8/9", 15.69},
    {"32apsk", "9/10", 16.05}}};

// EN 300 744, annex A: Gaussian channel (from memory).
constexpr std::array<Mode, 15> kDvbT{{
    {"qpsk", "1/2", 3.1},   {"qpsk", "2/3", 4.9},   {"qpsk", "3/4", 5.9},   {"qpsk", "5/6", 6.9},
    {"qpsk", "7/8", 7.7},   {"16qam", "1/2", 8.8},  {"16qam", "2/3", 11.1}, {"16qam", "3/4", 12.5},
    {"16qam", "5/6", 13.5}, {"16qam", "7/8", 13.9}, {"64qam", "1/2", 14.4}, {"64qam", "2/3", 16.5},
    {"64qam", "3/4", 18.0}, {"64qam", "5/6", 19.3}, {"64qam", "7/8", 20.1}}};

// ARIB STD-B31, required C/N (from memory).
constexpr std::array<Mode, 15> kIsdbT{{
    {"qpsk", "1/2", 4.9},   {"qpsk", "2/3", 6.6},   {"qpsk", "3/4", 7.5},   {"qpsk", "5/6", 8.5},
    {"qpsk", "7/8", 9.1},   {"16qam", "1/2", 11.5}, {"16qam", "2/3", 13.5}, {"16qam", "3/4", 14.6},
    {"16qam", "5/6", 15.6}, {"16qam", "7/8", 16.2}, {"64qam", "1/2", 16.5}, {"64qam", "2/3", 18.7},
    {"64qam", "3/4", 20.1}, {"64qam", "5/6", 21.3}, {"64qam", "7/8", 22.0}}};

constexpr double kAtscThreshold = 15.2;  // dB, 8-VSB in 6 MHz (from memory)
constexpr double kReedSolomon = 188.0 / 204;

std::span<const Mode> modes_of(std::string_view system) {
    if (system == "dvb-s") return kDvbS;
    if (system == "dvb-s2") return kDvbS2;
    if (system == "dvb-t") return kDvbT;
    if (system == "isdb-t") return kIsdbT;
    return {};
}

std::string_view modulation_of(const Carrier& c) {
    return c.modulation.empty() && c.system == "dvb-s" ? std::string_view("qpsk") : c.modulation;
}

const Mode* mode_of(const Carrier& c) {
    for (const auto& mode : modes_of(c.system))
        if (mode.modulation == modulation_of(c) && mode.code_rate == c.code_rate) return &mode;
    return nullptr;
}

int bits_per_symbol(std::string_view modulation) {
    static constexpr std::array<std::pair<std::string_view, int>, 9> bits{
        {{"qpsk", 2}, {"8psk", 3}, {"16apsk", 4}, {"32apsk", 5}, {"16qam", 4}, {"32qam", 5},
         {"64qam", 6}, {"128qam", 7}, {"256qam", 8}}};
    for (const auto& [name, n] : bits)
        if (name == modulation) return n;
    return 0;
}

// "3/4" as a number; 0 when it is none.
double fraction(std::string_view text) {
    const auto slash = text.find('/');
    if (slash == std::string_view::npos || slash == 0) return 0;
    double values[2] = {0, 0};
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (i == slash) continue;
        if (text[i] < '0' || text[i] > '9') return 0;
        auto& value = values[i > slash ? 1 : 0];
        value = value * 10 + (text[i] - '0');
    }
    return values[1] > 0 ? values[0] / values[1] : 0;
}

// EN 302 307-1: bits per symbol of a DVB-S2 frame of 64800 bits, headers and pilots counted.
double dvb_s2_efficiency(int bits, std::string_view code_rate, bool pilots) {
    static constexpr std::array<std::pair<std::string_view, int>, 11> bch{
        {{"1/4", 16008}, {"1/3", 21408}, {"2/5", 25728}, {"1/2", 32208}, {"3/5", 38688},
         {"2/3", 43040}, {"3/4", 48408}, {"4/5", 51648}, {"5/6", 53840}, {"8/9", 57472},
         {"9/10", 58192}}};
    const int slots = 64800 / (90 * bits);
    const int symbols = 90 * slots + 90 + (pilots ? 36 * ((slots - 1) / 16) : 0);
    for (const auto& [rate, k] : bch)
        if (rate == code_rate) return static_cast<double>(k - 80) / symbols;
    return 0;
}

// Bits per second, 0 where unknown.
double rate_of(const Carrier& c) {
    const double symbols =
        c.symbol_rate ? static_cast<double>(c.symbol_rate->symbols_per_second()) : 0;
    const double bandwidth = c.bandwidth ? static_cast<double>(c.bandwidth->hertz()) : 0;
    const int bits = bits_per_symbol(modulation_of(c));
    const double r = fraction(c.code_rate), guard = c.guard.empty() ? 0 : fraction(c.guard);
    if (c.system == "dvb-s") return symbols * 2 * r * kReedSolomon;
    if (c.system == "dvb-s2" && mode_of(c) != nullptr)
        return symbols * dvb_s2_efficiency(bits, c.code_rate, c.pilots);
    if (c.system == "dvb-c") return symbols * bits * kReedSolomon;
    if (c.system == "dvb-t" && guard > 0)  // 423/544 of the bandwidth carries data symbols
        return 423.0 / 544 * bandwidth * bits * r / (1 + guard);
    if (c.system == "isdb-t" && guard > 0)  // 13 segments of 96 carriers, 252 us in 6 MHz, mode 1
        return 13 * 96 * bits * r * kReedSolomon / (252e-6 * 6e6 / bandwidth * (1 + guard));
    if (c.system == "atsc")  // 312 of 313 segments, 2 bits by 2/3 of 207 bytes' symbols, 188 of 208
        return 4.5e6 / 286 * 684 / 832 * (312.0 / 313) * 1504;
    if (c.system == "j83b") return c.modulation == "256qam" ? 38.811e6 : 26.970e6;  // from memory
    return 0;
}

bool terrestrial(std::string_view system) {
    return system == "dvb-t" || system == "dvb-t2" || system == "isdb-t" || system == "atsc" ||
           system == "j83b";
}

std::optional<Frequency> channel_of(const Carrier& c) {
    if (c.bandwidth) return c.bandwidth;
    if (c.system == "atsc" || c.system == "j83b") return Frequency(6'000'000);
    return std::nullopt;
}

}  // namespace

std::optional<BitRate> transport_rate_of(const Carrier& carrier) {
    const double rate = rate_of(carrier);
    if (!(rate > 0) || !std::isfinite(rate)) return std::nullopt;
    return BitRate(std::llround(rate));
}

std::optional<Gain> threshold_of(const Carrier& carrier) {
    if (carrier.threshold) return carrier.threshold;
    if (carrier.system == "atsc") return Gain::db(kAtscThreshold);
    const auto* mode = mode_of(carrier);
    return mode != nullptr ? std::optional(Gain::db(mode->threshold_db)) : std::nullopt;
}

std::optional<Frequency> noise_bandwidth(const Carrier& carrier) {
    if (terrestrial(carrier.system)) return channel_of(carrier);
    if (carrier.symbol_rate) return Frequency(carrier.symbol_rate->symbols_per_second());
    return carrier.bandwidth;
}

std::optional<Frequency> occupied_bandwidth(const Carrier& carrier) {
    if (carrier.bandwidth || terrestrial(carrier.system)) return channel_of(carrier);
    if (!carrier.symbol_rate) return std::nullopt;
    const double roll_off = carrier.system == "dvb-s" ? 0.35 : carrier.system == "dvb-s2" ? 0.20 : 0.15;
    const auto symbols = static_cast<double>(carrier.symbol_rate->symbols_per_second());
    return Frequency(std::llround(symbols * (1 + roll_off)));
}

std::vector<std::string> known_modes(std::string_view system) {
    std::vector<std::string> out;
    for (const auto& mode : modes_of(system))
        out.push_back(std::string(mode.modulation) + " " + std::string(mode.code_rate));
    return out;
}

}  // namespace mastline
