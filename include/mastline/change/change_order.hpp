// SPDX-License-Identifier: Apache-2.0
// From one plan to the next on a live site: what changes, in which order it is done so that nothing
// is ever sent twice, and what displays notice.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/assignment/assign.hpp"
#include "mastline/expectation/expectation.hpp"

namespace mastline {

// One carriage as a plan has it.
struct Sending {
    Expectation flow;
    std::string source;                // service or in-house input
    std::string card;
    std::optional<int> encoder_input;
    std::string carrier;               // empty for in-house inputs
    bool is_silent = false;            // set up on the card, sent only once the first carriage is lost

    bool on_encoder() const { return encoder_input.has_value(); }
};

// The carriages of a plan, in its order.
std::vector<Sending> sendings_of(const ExpectedLineup& lineup, const std::vector<KeptHome>& homes);

// What displays see of a change, least first.
enum class Notice : std::uint8_t {
    nothing,
    other_rate,    // decoders follow by themselves
    other_tables,  // same address: decoders read PAT and PMT anew
    short_break,   // same address: dark while one card stops and another starts
    long_break,    // same address: dark while a cable or other channels are moved in between
    retune,        // another address or sender: the display must be told
    appears,
    disappears
};

struct CarriageChange {
    std::string channel;
    int copy = 1;
    std::string name;               // the new one where it changes
    std::vector<std::string> what;  // "card A1 -> A2", "group 239.192.1.1:5004 -> 239.192.1.9:5004"
    bool moved = false;             // to another card
    bool readdressed = false;       // another group, port or, where joins name it, sender
    Notice notice = Notice::nothing;
};

enum class StepKind : std::uint8_t {
    stop,   // the card stops sending the carriage
    plug,   // a cable of the source goes to another encoder input, from one where nothing runs, or is a further one
    start,  // the card starts sending it
    set,    // it goes on with other settings
    ready,  // the card is set up to send it once the first carriage is lost, and is silent
    clear   // the card no longer waits to send it
};

struct Step {
    StepKind kind = StepKind::stop;
    std::size_t change = 0;  // index into ChangeOrder::changes
    std::string card;
    FlowAddress flow;        // that the card stops or starts to send to
    std::string note;        // "from A1.in2 to A3.in1"; "until step 9"
};

struct ChangeOrder {
    std::string venue, old_revision, new_revision;
    std::vector<CarriageChange> changes;  // in the order of the new plan, then those that are gone
    std::vector<Step> steps;
    std::size_t unchanged = 0;           // carriages that stay as they are
};

// At every moment of the order each Ethernet group address has at most one sender, each encoder
// input one source whose cable is there, and each card carries no more channels, carriers or bit/s than the fuller of the two
// plans gives it. Where a new address is free the new stream starts before the old one stops.
ChangeOrder change_order(const ExpectedLineup& from, const std::vector<KeptHome>& from_homes,
                         const ExpectedLineup& to, const std::vector<KeptHome>& to_homes);

}  // namespace mastline
