// SPDX-License-Identifier: Apache-2.0
// A venue and its plan with the look-ups that the sheets share. Refers to both: they must outlive
// it.
#pragma once

#include <map>
#include <span>
#include <string>
#include <unordered_map>
#include <vector>

#include "mastline/plan/plan.hpp"
#include "planner/sheets/sheet_table.hpp"

namespace mastline {

// One carriage of one channel with all that is known of it; what is not planned is null.
struct Carriage {
    const Channel* channel = nullptr;
    const ChannelHome* home = nullptr;
    const CarriageAddress* address = nullptr;
    const Expectation* expectation = nullptr;
    std::size_t index = 0;  // of the channel in the venue
    int copy = 1;
    bool is_silent = false;  // until the first copy is lost, in whose group it waits
};

class PlanIndex {
public:
    PlanIndex(const Venue& venue, const Plan& plan);

    const Venue& venue() const { return *venue_; }
    const Plan& plan() const { return *plan_; }

    // In channel order; a channel without a home stands once.
    std::span<const Carriage> carriages() const { return carriages_; }

    // What is known at a port, in the order of the plan; empty when the port carries nothing.
    std::span<const PortLevel* const> levels(const PortRef& port) const;
    // The runs that end at a port.
    std::span<const std::size_t> runs_into(const PortRef& port) const;

    const Device* device(const std::string& name) const;
    const CardModel* model_of(const Card& card) const;

    // Ids of elements: of the part's box in a picture ("p-dev-3") and of its row ("t-card-1").
    // Empty for a name that is no feed, device, card or switch.
    std::string picture_id(const std::string& name) const;
    std::string row_id(const std::string& name) const;
    // Row of a channel by its number as text; empty for a number that no channel has.
    std::string channel_row(const std::string& number) const;

private:
    void index_names();
    void index_carriages();
    std::string id_of(const std::string& name) const;

    const Venue* venue_;
    const Plan* plan_;
    std::vector<Carriage> carriages_;
    std::map<PortRef, std::vector<const PortLevel*>> levels_;
    std::map<PortRef, std::vector<std::size_t>> runs_into_;
    std::unordered_map<std::string, std::string> ids_;
    std::unordered_map<std::string, std::string> channel_rows_;
    std::unordered_map<std::string, std::size_t> devices_;
    std::unordered_map<std::string, std::size_t> models_;
};

// The least margin at a port, none where no window is.
std::optional<Gain> least_margin(std::span<const PortLevel* const> levels);
// Outside the window, within 2 dB of its edge, or well inside.
Fit fit_of(std::optional<Gain> margin);
inline constexpr Gain kNearMargin = Gain::db(2);

}  // namespace mastline
