// SPDX-License-Identifier: Apache-2.0
// A venue on the desk: its files as they were last read, the last plan that could be made of them, and
// changes that are tried on it. Knows nothing of servers.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "mastline/change/plan_difference.hpp"
#include "mastline/plan/kept_plan.hpp"
#include "planner/commands/open_venue.hpp"
#include "planner/intake/edit_venue.hpp"

namespace mastline {

// A venue that can be planned, and its plan. The same for as long as anyone looks at it.
struct PlannedVenue {
    OpenedVenue opened;
    Plan plan;
    std::string base;  // stands for the texts of all files
    double planned_ms = 0;
};

// What the desk shows: the files' faults over the last good plan, where there are any.
struct DeskView {
    std::uint64_t version = 0;                    // grows with each change of the files
    std::shared_ptr<const PlannedVenue> planned;  // null: nothing could be planned yet
    Findings faults;                              // of the files as they are now; empty: `planned` is made of them
    std::map<std::string, std::string> texts;     // as they are now, with the faults
    std::vector<std::string> named;               // files of the venue that are there or should be
};

// Stands for the texts of a venue's files.
std::string base_of(const std::map<std::string, std::string>& texts);

// Reads, and plans where the files say something else than before; otherwise `before`. A venue that cannot be
// read or planned leaves the plan of `before` in its place.
DeskView next_view(const DeskView& before, const std::string& path, const std::optional<KeptPlan>& kept, const PlanStepSink& sink = {});

// Where in a file something stands, for people: the table around it and the line itself.
struct PlaceContext {
    std::string section;  // "device"; empty: at the top
    std::string name;     // of that table: "amplifier"; a channel's number; empty: it has none
    std::string line;     // the text of the line
};
PlaceContext context_of(const std::string& text, const Place& place);

// What edits would do.
struct Trial {
    Findings faults;                             // that they, or the venue with them, have; then there is no plan
    std::shared_ptr<const PlannedVenue> planned;
    PlanDifference difference;
};
Trial try_edits(const PlannedVenue& on, const std::vector<VenueEdit>& edits, const std::optional<KeptPlan>& kept);

// Writes the edits into the venue's files, as long as these still are what `on` was read from. What
// hinders is said, and then nothing is written. Throws system_error when the machine refuses.
struct WrittenEdits {
    std::string refusal;             // empty: written
    std::vector<std::string> files;  // that were changed
};
WrittenEdits write_edits(const PlannedVenue& on, const std::vector<VenueEdit>& edits);

}  // namespace mastline
