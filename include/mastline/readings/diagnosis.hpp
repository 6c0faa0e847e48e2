// SPDX-License-Identifier: Apache-2.0
// What meter readings say of the chain: which part is at fault, with what, and how sure that is.
//
// Every part of the chain (each lane of each run, each port and lane of each device, each feed, and
// each as a whole) is a suspect for every kind of fault. The likelihood of the readings under each
// fault, and under each pair of faults, is reckoned with a normal model of the meter and of the parts'
// tolerances: a part's tolerance is one draw for all its lanes and one for each, so that what a
// tolerance explains is no fault. How much of their tolerances the parts use is found from the
// readings as well. Amounts of faults are not known beforehand and are integrated over.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/readings/reading.hpp"
#include "mastline/signal/lane_ref.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

enum class PartKind : std::uint8_t { feed, run, device };

struct ChainPart {
    PartKind kind = PartKind::device;
    std::string name;
    friend auto operator<=>(const ChainPart&, const ChainPart&) = default;
};

std::string_view to_text(PartKind kind);
std::string to_text(const ChainPart& part);  // "run T3"

enum class PartFaultKind : std::uint8_t {
    flat_loss,     // the same loss at every frequency: connector, wrong port
    excess_level,  // the same gain at every frequency
    tilt,          // changes with frequency: wet or wrong cable, a device's response
    dead,          // nothing comes through
    low_supply,    // every lane of a powered part low
    no_supply,     // every lane of a powered part dead
    low_light,     // a laser that sends too little
    wrong_trim,
    wrong_slope,
    wrong_pad,
    wrong_tap,     // another port of a tap, or another tap
    crossed        // lanes that have changed places
};

std::string_view to_text(PartFaultKind kind);  // "flat-loss"

// From 0 to 1.
struct Probability {
    double value = 0;
    friend constexpr auto operator<=>(Probability, Probability) = default;
};

struct PartFault {
    ChainPart part;
    std::string port;               // of a device, where one port alone is at fault; may be empty
    std::vector<LaneNumber> lanes;  // empty: all
    PartFaultKind kind = PartFaultKind::flat_loss;
    // Change of level where it is greatest, negative: too low. Optical dB where `optical`; without
    // meaning for dead lanes and crossed ones.
    Gain amount;
    bool optical = false;
    std::vector<LaneNumber> comes_instead = {};  // crossed: what comes on each of `lanes`
};

std::string to_text(const PartFault& fault);  // "flat loss of 4.2 dB"

// One part that may be at fault.
struct FaultExplanation {
    ChainPart part;
    Probability sure;                               // that this part is at fault
    std::vector<std::pair<PartFault, Probability>> faults;  // what it may be, most likely first
};

// A fault that the readings speak for.
struct NamedFault {
    PartFault fault;
    Probability sure;  // of the parts in `section` together
    // The parts that no reading separates from the fault's, from roof to card; itself among them.
    std::vector<ChainPart> section;
    std::vector<MeterPoint> right_until;  // the last point read before it, per lane; may be empty
    std::vector<MeterPoint> departs_at;   // the first points read behind it, per lane
};

struct JudgedPoint {
    PointReading reading;
    LaneRef signal;
    Level expected;
    Level worst_low, worst_high;  // the plan's limits, tolerances against us
    Gain deviation;               // reading less expectation; without meaning for no signal
    std::optional<Level> baseline = {};  // what was read when all was right
    bool explained = true;        // within the meter's and the parts' limits, given the faults named
};

// Where to put the meter next.
struct NextReading {
    MeterPoint point;
    bool marked = false;  // a test point; otherwise a connector to open
    double bits = 0;      // information to be expected of it
    std::vector<std::pair<ChainPart, Level>> forecasts;  // what it will show if that part is at fault
    Level otherwise;      // and if none of them is
};

enum class ReadingsVerdict : std::uint8_t { good, suspicion, fault };

std::string_view to_text(ReadingsVerdict verdict);

struct Diagnosis {
    ReadingsVerdict verdict = ReadingsVerdict::good;
    Probability faulty;                 // that any part is at fault
    std::vector<NamedFault> faults;     // empty when good
    std::vector<FaultExplanation> explanations;  // most likely first
    std::vector<NextReading> next;      // most telling first
    std::vector<JudgedPoint> points;
    std::vector<ChainPart> unseen;      // parts that no reading says anything of
};

struct Meter {
    Gain accuracy = Gain::db(1);  // plus or minus; taken as two standard deviations
};

// Told from 0 to 1 how much of the reckoning is done: seconds for thousands of readings.
using DiagnosisSink = std::function<void(double)>;

// `baseline` holds earlier readings of the venue when all was right; with them, what the parts really
// do is known better than from their tolerances. REQUIRES: the points have been checked against the
// plan, whose venue this is.
Diagnosis diagnose(const Venue& venue, const SignalPlan& plan,
                   const std::vector<PointReading>& readings,
                   const std::vector<PointReading>& baseline = {}, const Meter& meter = {},
                   const DiagnosisSink& sink = {});

}  // namespace mastline
