// SPDX-License-Identifier: Apache-2.0
// The tables of the network room: each reader with the documentation of its keys.
#pragma once

#include "mastline/findings/finding.hpp"
#include "mastline/text/table_doc.hpp"
#include "mastline/text/tree.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

extern const TableDoc kNetworkDoc, kSwitchDoc, kLinkDoc, kZoneDoc;
extern const TableDoc kAddressingDoc, kAddressRangeDoc, kFecDoc, kOccupiedDoc;

void read_network_policy(const tree::Table& table, Venue& venue, Findings& findings);
void read_switch(const tree::Table& table, Venue& venue, Findings& findings);
void read_link(const tree::Table& table, Venue& venue, Findings& findings);
void read_zone(const tree::Table& table, Venue& venue, Findings& findings);
void read_addressing(const tree::Table& table, Venue& venue, Findings& findings);
void read_occupied(const tree::Table& table, Venue& venue, Findings& findings);

}  // namespace mastline
