// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "mastline/text/did_you_mean.hpp"
#include "mastline/venue/satellite_if.hpp"
#include "planner/venue/check_signal.hpp"

namespace mastline {

namespace {

void fault(Findings& findings, const Carrier& carrier, std::string id, std::string what,
           std::string cure) {
    findings.push_back({Severity::error, std::move(id), "carrier " + carrier.name, std::move(what),
                        {}, std::move(cure), carrier.place});
}

// The lane that a carrier says it is on; none and a finding when there is no such lane.
const FeedLane* lane_of(const Venue& venue, const Carrier& carrier, const Feed*& feed,
                        Findings& findings) {
    const auto it = std::find_if(venue.feeds.begin(), venue.feeds.end(),
                                 [&](const Feed& f) { return f.name == carrier.feed; });
    if (it == venue.feeds.end()) {
        std::vector<std::string> known;
        for (const auto& f : venue.feeds) known.push_back(f.name);
        fault(findings, carrier, "carrier.unknown-feed", "unknown feed '" + carrier.feed + "'",
              suggestion(carrier.feed, known));
        return nullptr;
    }
    feed = &*it;
    const auto n = static_cast<std::size_t>(carrier.lane.value);
    if (n <= feed->lanes.size()) return &feed->lanes[n - 1];
    fault(findings, carrier, "carrier.unknown-lane",
          "feed " + feed->name + " has no lane " + std::to_string(n),
          "it has lanes 1 to " + std::to_string(feed->lanes.size()));
    return nullptr;
}

// Fills the frequency on the lane from the downlink frequency, or checks that they agree.
void find_frequency(Carrier& carrier, const Feed& feed, const FeedLane& lane, Findings& findings) {
    if (!carrier.downlink) return;
    if (lane.local_oscillator) {
        const auto found = satellite_if(*carrier.downlink, *lane.local_oscillator).frequency;
        if (carrier.frequency == Frequency{}) carrier.frequency = found;
        if (carrier.frequency != found)
            fault(findings, carrier, "carrier.frequency-disagrees",
                  "frequency " + to_text(carrier.frequency) +
                      " is not |downlink - local oscillator| = " + to_text(found),
                  "leave out one of frequency and downlink, or correct it");
    } else if (carrier.frequency == Frequency{} && feed.kind == FeedKind::antenna) {
        carrier.frequency = *carrier.downlink;
    } else if (carrier.frequency == Frequency{}) {
        fault(findings, carrier, "carrier.no-local-oscillator",
              "downlink is given and lane " + std::to_string(lane.lane.value) + " of feed " +
                  feed.name + " has no local_oscillator",
              "add local_oscillator to the lane, or frequency to the carrier");
    }
}

}  // namespace

void resolve_carriers(Venue& venue, Findings& findings) {
    for (auto& carrier : venue.carriers) {
        const Feed* feed = nullptr;
        const auto* lane = lane_of(venue, carrier, feed, findings);
        if (lane == nullptr) continue;
        find_frequency(carrier, *feed, *lane, findings);
        if (carrier.frequency == Frequency{}) continue;
        if (carrier.frequency < lane->band.low || carrier.frequency > lane->band.high)
            fault(findings, carrier, "carrier.outside-lane",
                  to_text(carrier.frequency) + " lies outside lane " +
                      std::to_string(lane->lane.value) + " of feed " + feed->name,
                  "the lane carries " + to_text(lane->band.low) + " to " + to_text(lane->band.high));
    }
}

}  // namespace mastline
