// SPDX-License-Identifier: Apache-2.0
// The readers of the RF room, one per table of the venue files, with the keys that each accepts.
#pragma once

#include "mastline/findings/finding.hpp"
#include "mastline/text/table_doc.hpp"
#include "mastline/text/tree.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

extern const TableDoc kCableDoc;
void read_cable(const tree::Table& table, Venue& venue, Findings& findings);

extern const TableDoc kModelDoc;
void read_model(const tree::Table& table, Venue& venue, Findings& findings);

extern const TableDoc kFeedDoc, kFeedLaneDoc;
void read_feed(const tree::Table& table, Venue& venue, Findings& findings);

extern const TableDoc kCarrierDoc;
void read_carrier(const tree::Table& table, Venue& venue, Findings& findings);

extern const TableDoc kDeviceDoc;
void read_device(const tree::Table& table, Venue& venue, Findings& findings);

extern const TableDoc kRunDoc;
void read_run(const tree::Table& table, Venue& venue, Findings& findings);

extern const TableDoc kStockDoc, kStockPadDoc, kStockTapDoc;
void read_stock(const tree::Table& table, Venue& venue, Findings& findings);

extern const TableDoc kClimateDoc;
void read_climate(const tree::Table& table, Venue& venue, Findings& findings);

}  // namespace mastline
