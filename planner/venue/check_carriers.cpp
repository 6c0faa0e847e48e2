// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "mastline/text/did_you_mean.hpp"
#include "mastline/venue/modulation.hpp"
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

// Modulation and code rate must be of the standard where one of them is given.
void check_mode(const Carrier& carrier, Findings& findings) {
    const auto known = known_modes(carrier.system);
    if (known.empty() || (carrier.modulation.empty() && carrier.code_rate.empty())) return;
    const std::string modulation =
        carrier.modulation.empty() && carrier.system == "dvb-s" ? "qpsk" : carrier.modulation;
    const auto mode = modulation + " " + carrier.code_rate;
    if (std::find(known.begin(), known.end(), mode) != known.end()) return;
    std::vector<std::string> alike;
    for (const auto& k : known)
        if (k.starts_with(modulation + " ")) alike.push_back(k);
    fault(findings, carrier, "carrier.unknown-mode",
          carrier.system + " has no modulation and code rate '" + mode + "'",
          alike.empty() ? suggestion(mode, known) : suggestion("", alike));
}

void check_in_lane(const Carrier& carrier, const Feed& feed, const FeedLane& lane,
                   Findings& findings) {
    const auto half = noise_bandwidth(carrier).value_or(Frequency{}).hertz() / 2;
    const Frequency low(carrier.frequency.hertz() - half), high(carrier.frequency.hertz() + half);
    if (low >= lane.band.low && high <= lane.band.high) return;
    const auto width = half > 0 ? " (" + to_text(low) + " to " + to_text(high) + ")" : std::string();
    fault(findings, carrier, "carrier.outside-lane",
          to_text(carrier.frequency) + width + " lies outside lane " +
              std::to_string(lane.lane.value) + " of feed " + feed.name,
          "the lane carries " + to_text(lane.band.low) + " to " + to_text(lane.band.high));
}

}  // namespace

void resolve_carriers(Venue& venue, Findings& findings) {
    for (auto& carrier : venue.carriers) {
        check_mode(carrier, findings);
        if (!carrier.transport_rate) carrier.transport_rate = transport_rate_of(carrier);
        const Feed* feed = nullptr;
        const auto* lane = lane_of(venue, carrier, feed, findings);
        if (lane == nullptr) continue;
        find_frequency(carrier, *feed, *lane, findings);
        if (carrier.frequency != Frequency{}) check_in_lane(carrier, *feed, *lane, findings);
    }
}

}  // namespace mastline
