// SPDX-License-Identifier: Apache-2.0
// The keys that a [[model]] and a [[device]] have in common: what a data sheet says.
#pragma once

#include <array>

#include "mastline/text/table_doc.hpp"
#include "mastline/text/table_reader.hpp"
#include "mastline/venue/device_data.hpp"

namespace mastline {

inline constexpr std::array<KeyDoc, 46> kFactKeys{{
    {"kind", "one of: surge-arrestor, power-inserter, selector, optical-transmitter, "
     "optical-receiver, amplifier, tap, splitter, combiner, pad, equaliser, dc-block, multiswitch, "
     "outlet-tap, other", false,
     "What it is. A device without a model must say it. Ports: most kinds have in and out; a "
     "splitter has in and out1 to outN; a combiner in1 to inN and out; a tap in, out (through) and "
     "tap, or tap1 to tapN; a multiswitch in, out1 to outN (single-cable) and wide1 to wideN; an "
     "outlet-tap in, out (through) and tap. A selector passes the lanes that a receiver asks for "
     "and is reckoned like a power-inserter. An other has the ports and paths it is given."},
    {"lanes", "whole number", false, "How many conductors wide, 1 to 64; default 1."},
    {"ways", "whole number", false, "Outputs of a splitter, inputs of a combiner (2 to 16), tap "
     "ports of a tap (1 to 16, default 1)."},
    {"loss", "list of gains", false, "Loss from in to out: \"7 dB\", or points such as \"6.5 dB at "
     "950 MHz\", straight between them. A pad without loss is a place for a pad."},
    {"gain", "list of gains", false, "Gain from in to out, written like loss. Of an optical link: "
     "transmitter gain plus receiver gain, at the receiver's optical_reference."},
    {"tap_loss", "list of gains", false, "Loss from in to each tap port. A tap without it takes its "
     "values from the stocked taps."},
    {"through_loss", "list of gains", false, "Loss of a tap from in to out; without it the tap ends "
     "the line and has no out."},
    {"tolerance", "gain", false, "Plus or minus in dB, of each path of the device; optical dB for "
     "an optical part, which count double in RF. Default 0 dB."},
    {"window_low", "level", false, "Least level that its inputs accept, per carrier."},
    {"window_high", "level", false, "Greatest level that its inputs accept, per carrier."},
    {"noise_figure", "gain", false, "Of an active device. Passive losses are their own noise figure."},
    {"band_low", "frequency", false, "Low edge of an amplifier's band, where slope takes off its "
     "full value; default 950 MHz."},
    {"band_high", "frequency", false, "High edge of an amplifier's band, where slope takes off "
     "nothing; default 2150 MHz."},
    {"trim_low", "gain", false, "Least trim, per lane: added to the gain; default 0 dB."},
    {"trim_high", "gain", false, "Greatest trim; default 0 dB."},
    {"trim_step", "gain", false, "Step of the trim, counted from trim_low; continuous without it."},
    {"slope_high", "gain", false, "Greatest slope, common to all lanes; default 0 dB. A slope of S "
     "dB takes S dB off at band_low, nothing at band_high, linear in frequency between."},
    {"slope_step", "gain", false, "Step of the slope; continuous without it."},
    {"maximum_output", "level", false, "Greatest output level per carrier with two carriers."},
    {"derating", "one of: cautious, ctb, power, none", false, "How maximum_output falls with n "
     "carriers: ctb by 7.5 log10(n - 1) dB, power by 10 log10(n / 2) dB, cautious (default) by the "
     "greater of the two."},
    {"optical", "true or false", false, "A passive part for light (splitter, tap, pad, combiner, "
     "other): its losses are optical dB."},
    {"launch_power", "level", false, "Optical output of a transmitter in dBm."},
    {"wavelength", "one of: 1310, 1550", false, "Of a transmitter, in nm; default \"1310\"."},
    {"optical_low", "level", false, "Least optical input of a receiver in dBm."},
    {"optical_high", "level", false, "Greatest optical input of a receiver in dBm."},
    {"optical_reference", "level", false, "Optical input in dBm at which the receiver's gain holds; "
     "without it the gain holds at no optical loss. RF falls by 2 dB for each optical dB less."},
    {"levelling", "one of: none, gain-held, level-held", false, "Of a receiver. gain-held: optical "
     "loss drops out. level-held: its output is held_level at held_at, tilt is kept, tolerances of "
     "level before it end there. Default none."},
    {"held_level", "level", false, "RF output of a level-held receiver."},
    {"held_at", "frequency", false, "Frequency at which held_level holds."},
    {"outputs", "whole number", false, "Single-cable outputs of a multiswitch, each one conductor "
     "that carries every lane in user bands."},
    {"wideband_outputs", "whole number", false, "Wideband outputs of a multiswitch, each as many "
     "lanes wide as its input."},
    {"user_bands", "list of frequency", false, "Centres of the user bands of each single-cable "
     "output, slot 1 first (EN 50494, EN 50607)."},
    {"user_band_width", "frequency", false, "Width of a user band; default 46 MHz."},
    {"output_level", "level", false, "Level at which a single-cable output holds each user band; "
     "without it gain or loss is reckoned."},
    {"passes_dc", "true or false", false, "Whether power passes between its ports; default true "
     "for surge-arrestor, splitter, combiner, tap, outlet-tap, pad and equaliser, else false."},
    {"supply_voltage", "voltage", false, "It feeds others with this voltage."},
    {"supply_limit", "current", false, "Greatest current it can feed."},
    {"power_to", "list of text", false, "Its ports that it feeds through; default in."},
    {"supply_minimum", "voltage", false, "Least voltage it works with, where it is fed over a run."},
    {"supply_current", "current", false, "Constant current that it draws, also when under-voltage."},
    {"supply_power", "power", false, "Constant power that it draws instead."},
    {"powered_from", "text", false, "Port over which it is fed; default out."},
    {"power_lane", "whole number", false, "Conductor that carries its power; default 1."},
    {"test_points", "list of text", false, "Its ports at which a meter can be put."},
    {"port", "list of tables", false, "Ports of an other, or what is special about a port."},
    {"path", "list of tables", false, "Paths of an other from an input to an output."},
}};

inline constexpr std::array<KeyDoc, 6> kPortKeys{{
    {"name", "text", true, "As runs name it after the dot."},
    {"direction", "one of: in, out", false, "Needed for a port of an other."},
    {"lanes", "whole number", false, "How many conductors wide; default the device's."},
    {"window_low", "level", false, "Least level it accepts."},
    {"window_high", "level", false, "Greatest level it accepts."},
    {"passes_dc", "true or false", false, "Whether power passes it."},
}};

inline constexpr std::array<KeyDoc, 5> kPathKeys{{
    {"from", "text", true, "Input port."},
    {"to", "text", true, "Output port."},
    {"gain", "list of gains", false, "Gain, \"3 dB\" or points such as \"3 dB at 950 MHz\"."},
    {"loss", "list of gains", false, "Loss, instead of gain."},
    {"tolerance", "gain", false, "Plus or minus; default the device's."},
}};

inline constexpr TableDoc kPortDoc{"[[model.port]]", "A port of a model or device.", kPortKeys};
inline constexpr TableDoc kPathDoc{"[[model.path]]", "A way through a model or device.", kPathKeys};

// Reads all of kFactKeys.
DeviceData read_facts(TableReader& reader, Findings& findings);

// `over` before `base`, key by key.
DeviceData merged(const DeviceData& over, const DeviceData& base);

}  // namespace mastline
