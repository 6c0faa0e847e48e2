// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>

#include "mastline/venue/device_data.hpp"
#include "planner/venue/facts.hpp"
#include "planner/venue/key_docs.hpp"
#include "planner/venue/signal_tables.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 1> kModelOwn{{
    {"name", "text", true, "How devices refer to it."},
}};
constexpr auto kModelKeys = joined(kModelOwn, kFactKeys);

}  // namespace

const TableDoc kModelDoc{"[[model]]", "One type of equipment, as its data sheet says.", kModelKeys};

void read_model(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kModelDoc, findings);
    DeviceModel model;
    model.place = r.place();
    model.name = r.text("name").value_or("");
    model.data = read_facts(r, findings);
    if (!model.name.empty()) venue.models.push_back(std::move(model));
}

}  // namespace mastline
