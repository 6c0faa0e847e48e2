// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/section.hpp"
#include "planner/venue/facts.hpp"
#include "planner/venue/signal_tables.hpp"

namespace mastline {

std::vector<VenueSection> signal_sections() {
    return {{"cable", true, {&kCableDoc}, read_cable},
            {"model", true, {&kModelDoc, &kPortDoc, &kPathDoc}, read_model},
            {"feed", true, {&kFeedDoc, &kFeedLaneDoc}, read_feed},
            {"carrier", true, {&kCarrierDoc}, read_carrier},
            {"device", true, {&kDeviceDoc}, read_device},
            {"run", true, {&kRunDoc}, read_run},
            {"stock", false, {&kStockDoc, &kStockPadDoc, &kStockTapDoc}, read_stock},
            {"climate", false, {&kClimateDoc}, read_climate}};
}

}  // namespace mastline
