// SPDX-License-Identifier: Apache-2.0
// Venues made from a seed, in two shapes that the demo venue has not.
#pragma once

#include <cmath>
#include <random>
#include <string>

#include <fmt/format.h>

namespace mastline::test {

class VenueMaker {
public:
    explicit VenueMaker(std::uint32_t seed) : engine_(seed) {}

    // A dish of four or six lanes, surge arrestor, inserter, light to a basement, trunk amplifier,
    // tap, splitter and four multiswitches.
    std::string fibre_trunk() {
        const int lanes = below(2) == 0 ? 4 : 6;
        std::string out = "[[feed]]\nname = \"dish\"\n";
        for (int i = 0; i < lanes; ++i) {
            const double low = i % 2 == 0 ? 950 : 1100, level = number(-34, -26);
            out += fmt::format("[[feed.lane]]\nband_low = \"{} MHz\"\nband_high = \"{} MHz\"\n"
                               "level_low = \"{:.1f} dBm\"\nlevel_high = \"{:.1f} dBm\"\ntolerance = \"1 dB\"\n",
                               low, low + 1000, level, level - number(0, 3));
        }
        out += device("surge", "surge-arrestor", lanes, "loss = [\"0.5 dB at 950 MHz\", \"1.0 dB at 2150 MHz\"]\n", "in,out");
        out += device("sender", "optical-transmitter", lanes, "launch_power = \"5 dBm\"\n", "in,out");
        const int kind = below(3);
        out += device("receiver", "optical-receiver", lanes,
                      kind == 0 ? "gain = \"8 dB\"\nlevelling = \"gain-held\"\n"
                      : kind == 1 ? "levelling = \"level-held\"\nheld_level = \"-25 dBm\"\nheld_at = \"1500 MHz\"\n"
                                  : "gain = \"7 dB\"\noptical_reference = \"3 dBm\"\n", "in,out");
        out += device("trunk", "amplifier", lanes,
                      fmt::format("gain = \"{} dB\"\ntrim_low = \"-12 dB\"\ntrim_step = \"0.5 dB\"\nslope_high = \"9 dB\"\n"
                                  "trim = [\"{} dB\"]\nslope = \"{} dB\"\n", 14 + below(6), -2 - below(7), 3 + below(5)), "in,out");
        out += device("pads", "pad", lanes, fmt::format("pads = [{}]\n", list("\"3 dB\"", lanes)), "in,out", false);
        out += device("tap", "tap", lanes, "tap_loss = \"16 dB\"\nthrough_loss = [\"1 dB at 950 MHz\", \"2 dB at 2150 MHz\"]\n", "in,out,tap");
        out += device("split", "splitter", lanes, "ways = 4\nloss = [\"7.5 dB at 950 MHz\", \"9 dB at 2150 MHz\"]\n", "in,out1,out2,out3,out4");
        out += device("ms", "multiswitch", lanes, "outputs = 2\nuser_bands = [\"1210 MHz\", \"2040 MHz\"]\n"
                      "output_level = \"-32 dBm\"\ncount = 4\n", "in,out1,out2");
        out += coax("W1", "dish", "surge", 8, 20, "outdoor = true\n") + coax("W2", "surge", "sender", 2, 5);
        out += fmt::format("[[run]]\nname = \"F1\"\nfrom = \"sender\"\nto = \"receiver\"\ncable = \"single-mode\"\n"
                           "length = \"{} m\"\nconnectors = {}\nsplices = 2\ntolerance = \"0.2 dB\"\n", 100 + below(900), 2 + below(4));
        out += coax("W3", "receiver", "trunk", 2, 10) + coax("W4", "trunk", "pads", 1, 3) + coax("W5", "pads", "tap", 1, 3) +
               coax("W6", "tap.out", "split", 1, 3);
        out += fmt::format("[[run]]\nname = \"T{{}}\"\ncount = 4\nfrom = \"split.out{{}}\"\nto = \"ms-{{}}.in\"\ncable = \"rg6\"\nlength = \"{} m\"\n", 15 + below(40));
        return out + stock();
    }

    // Two antennas onto one coax, an amplifier and a line of taps, each with a drop to an outlet.
    std::string off_air_tree() {
        const int taps = 3 + below(4);
        std::string out =
            "[[feed]]\nname = \"uhf\"\nkind = \"antenna\"\n[[feed.lane]]\nband_low = \"470 MHz\"\nband_high = \"694 MHz\"\n"
            "level = \"-45 dBm\"\ntolerance = \"1.5 dB\"\n"
            "[[feed]]\nname = \"vhf\"\nkind = \"antenna\"\n[[feed.lane]]\nband_low = \"174 MHz\"\nband_high = \"230 MHz\"\n"
            "level = \"-48 dBm\"\ntolerance = \"1.5 dB\"\n";
        out += device("mix", "combiner", 1, "ways = 2\nloss = \"3.5 dB\"\n", "in1,in2,out");
        out += device("head", "amplifier", 1,
                      fmt::format("gain = \"{} dB\"\nband_low = \"174 MHz\"\nband_high = \"694 MHz\"\ntrim_low = \"-10 dB\"\ntrim_step = \"0.5 dB\"\n"
                                  "slope_high = \"8 dB\"\ntrim = [\"{} dB\"]\nslope = \"{} dB\"\n", 34 + below(6), -1 - below(6), 3 + below(4)), "in,out");
        out += coax("A1", "uhf", "mix.in1", 10, 40, "outdoor = true\n") + coax("A2", "vhf", "mix.in2", 10, 40, "outdoor = true\n");
        out += coax("A3", "mix", "head", 2, 10);
        std::string before = "head";
        for (int t = 1; t <= taps; ++t) {
            const auto name = fmt::format("tap-{}", t);
            out += device(name, "tap", 1, fmt::format("tap_loss = \"{} dB\"\nthrough_loss = [\"1.0 dB at 174 MHz\", \"1.6 dB at 694 MHz\"]\n", 26 - 3 * t), "in,out,tap");
            out += coax(fmt::format("L{}", t), before, name, 8, 30);
            out += device(fmt::format("room-{}", t), "splitter", 1, "ways = 2\nloss = \"3.8 dB\"\n", "in,out1,out2");
            out += coax(fmt::format("D{}", t), name + ".tap", fmt::format("room-{}.in", t), 10, 60);
            out += device(fmt::format("wall-{}", t), "outlet-tap", 1, "tap_loss = \"2 dB\"\n", "in,tap");
            out += coax(fmt::format("E{}", t), fmt::format("room-{}.out1", t), fmt::format("wall-{}.in", t), 5, 20);
            before = name + ".out";
        }
        return out + stock();
    }

private:
    int below(int n) { return static_cast<int>(engine_() % static_cast<std::uint32_t>(n)); }
    double number(double from, double to) { return from + (to - from) * below(1000) / 1000.0; }
    static std::string list(const std::string& item, int n) {
        std::string out;
        for (int i = 0; i < n; ++i) out += (i > 0 ? ", " : "") + item;
        return out;
    }
    std::string coax(const std::string& name, const std::string& from, const std::string& to, int least, int most,
                     const std::string& more = "") {
        return fmt::format("[[run]]\nname = \"{}\"\nfrom = \"{}\"\nto = \"{}\"\ncable = \"rg6\"\nlength = \"{} m\"\n{}",
                           name, from, to, least + below(most - least + 1), more);
    }
    static std::string device(const std::string& name, const std::string& kind, int lanes, const std::string& data,
                              std::string ports, bool tolerance = true) {
        for (auto at = ports.find(','); at != std::string::npos; at = ports.find(',', at + 4)) ports.replace(at, 1, "\", \"");
        return fmt::format("[[device]]\nname = \"{}\"\nkind = \"{}\"\nlanes = {}\ntest_points = [\"{}\"]\n{}{}", name, kind, lanes,
                           ports, tolerance ? "tolerance = \"0.5 dB\"\n" : "", data);
    }
    static std::string stock() {
        return "[climate]\nambient = \"15 C\"\ncold = \"-10 C\"\nhot = \"35 C\"\n"
               "[[stock.pad]]\nloss = \"3 dB\"\ncount = 20\n[[stock.pad]]\nloss = \"6 dB\"\ncount = 20\n[[stock.pad]]\nloss = \"10 dB\"\ncount = 9\n";
    }

    std::mt19937 engine_;
};

}  // namespace mastline::test
