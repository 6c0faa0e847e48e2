// SPDX-License-Identifier: Apache-2.0
// The assignment as a problem of its own, without venue, names or units: items of classes go into
// bins. An item is a channel, a class what shares a tuner (a carrier; each in-house input is one of
// its own), a bin a card. Class-constrained bin packing with items that may be split between bins
// class by class: Shachnai and Tamir; Chung, Graham, Mao and Varghese ("Parallelism versus memory
// allocation in pipelined router forwarding engines"); Epstein and van Stee.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

namespace mastline::packing {

using PerCopy = std::array<std::optional<std::size_t>, 2>;  // a bin for each copy, or none

struct Item {
    std::size_t item_class = 0;
    std::array<std::int64_t, 2> rate{};   // by layer: transport, wire
    bool is_protected = false;
    int copies = 1;                       // 2: carried twice, by bins of different loss groups
    std::optional<std::size_t> genre;     // spread group
    PerCopy pinned;                       // bin that must carry the copy
    PerCopy previous;                     // bin of the copy in the plan that is to be kept
};

struct Bin {
    int licences = 0;
    int tuners = 0;
    std::optional<std::int64_t> rate_limit;
    std::size_t layer = 0;                // which rate the limit counts
    std::int64_t cost = 1;
    std::size_t loss_group = 0;           // what is lost together: the card alone, or its chassis
};

// A limit over several bins together.
struct Limit {
    enum class Kind : std::uint8_t { licences, rate, bins };
    Kind kind = Kind::licences;
    std::vector<std::size_t> bins;
    std::int64_t most = 0;
};

struct Model {
    std::vector<Item> items;
    std::vector<Bin> bins;
    std::vector<std::vector<bool>> allowed;                    // [class][bin]
    std::vector<Limit> limits;
    std::vector<std::array<std::size_t, 2>> apart;             // items that must not share a bin
    bool reserve = false;   // any one loss group's protected items must find room in the others
};

using Homes = PerCopy;  // none where there is no room

// What rules out the choices of bins that are cheaper than the one taken.
enum class Reason : std::uint8_t {
    none,        // no bin is needed
    licences,    // by count
    tuners,      // by count
    fill,        // licences that bins with few tuners cannot use
    splits,      // (bin, class) pairs: filled bins force classes to be split
    reserve_licences,  // protected items that what is left after a loss cannot hold
    reserve_tuners,    // classes with protected items, and tuners left after a loss
    reserve_share,     // items that would have to be unprotected for a loss to leave room enough
    reserve_rate,      // what they send, likewise
    rate,        // of what the bins send
    slots,       // of a chassis
    search,      // exhaustive search found no packing
    open         // not ruled out within the time allowed
};

struct Effort {
    std::int64_t nodes = 300'000;       // of each exhaustive search
    double seconds = 10;                // of processor time, all searches together
};

struct Ruling {
    Reason reason = Reason::none;
    std::int64_t needed = 0, available = 0;  // for counts
    std::vector<std::size_t> classes;        // those that need it; empty: all
    std::vector<std::size_t> bins;           // the choice that was ruled out
};

// Items and bins that have nothing to do with the others: tuner cards and encoder cards, say.
struct Part {
    std::vector<std::size_t> items, bins;
    std::vector<std::size_t> used;      // bins that are needed, idle reserve among them
    std::int64_t cost = 0;
    std::int64_t lower_bound = 0;       // no choice of bins costs less
    bool complete = false;              // every copy has a home
    bool proven = false;                // cost is lower_bound; or, not complete: it cannot be
    int moves = 0;                      // copies away from their previous bin
    bool fewest_moves = true;           // proven to be so
    Ruling ruling;                      // of the roomiest choice that is cheaper, or of all bins
    std::int64_t choices_ruled_out = 0;
    std::int64_t searched = 0;          // of those, by search rather than count
    bool by_program = false;            // the proof: an integer program of what was left has no solution
};

struct Solution {
    std::vector<Homes> homes;  // by item
    std::vector<Part> parts;

    bool complete() const;
    bool proven() const;
    std::int64_t cost() const;
    int moves() const;
    std::vector<std::size_t> used() const;  // in order
};

// Everything placed; least cost; then few (bin, class) pairs, the best reserve and even rates, in this
// order. The same model gives the same solution unless the seconds run out.
Solution solve(const Model& model, const Effort& effort = {});

// As solve(), but items stay in their previous bins: fewest moves come before the cost.
Solution solve_keeping(const Model& model, const Effort& effort = {});

// How many copies would leave their previous bin for a plan in the bins that `cheaper` uses, and
// whether that is proven to be the fewest.
std::pair<int, bool> moves_into(const Model& model, const Solution& cheaper);

// The rules that `homes` breaks, in words for a test; empty: none.
std::vector<const char*> broken_rules(const Model& model, const std::vector<Homes>& homes,
                                      const std::vector<std::size_t>& used);

}  // namespace mastline::packing
