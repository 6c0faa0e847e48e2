// SPDX-License-Identifier: Apache-2.0
#include "mastline/network/timer_advice.hpp"

#include <algorithm>
#include <cmath>

#include "mastline/network/membership_timers.hpp"
#include "mastline/network/querier_election.hpp"

namespace mastline {

namespace {

constexpr double kSecondsPerDay = 86400;
constexpr int kMostRobust = 7;  // three bits of RFC 3376 section 4.1.6

// RFC 3376 section 8.1: must not be zero, should not be one.
constexpr int kLeastRobust = 2;

constexpr Duration kAdvisedInterval = std::chrono::seconds(60);  // common practice

double seconds(Duration d) { return std::chrono::duration<double>(d).count(); }

double displays_of(const Venue& venue) {
    double out = 0;
    for (const auto& zone : venue.zones) out += zone.displays;
    return out;
}

int advised_robustness(double displays, Duration interval) {
    int r = kLeastRobust;
    while (r < kMostRobust && lapses_per_day(displays, interval, r) >= 1) ++r;
    return r;
}

TimerAdvice robustness(const NetworkPolicy& n, double displays) {
    const int advised = advised_robustness(displays, n.query_interval);
    const auto lapses = [&](int r) {
        return number_text(lapses_per_day(displays, n.query_interval, r), 3) + " a day with " +
               std::to_string(r);
    };
    std::string reason =
        "A membership lapses when as many reports in a row are lost (RFC 3376 section 8.1). With "
        "1 report in 1000 lost, " + number_text(displays, 0) + " displays lapse " +
        lapses(n.robustness);
    if (advised != n.robustness) reason += ", " + lapses(advised);
    return {"Robustness", std::to_string(n.robustness), std::to_string(advised),
            reason + ". Each step more adds a query interval to the time-out and a last-member "
            "interval to the leave latency."};
}

TimerAdvice query_interval(const NetworkPolicy& n) {
    const Duration advised = std::max(std::min(n.query_interval, kAdvisedInterval),
                                      n.query_response + std::chrono::seconds(1));
    return {"Query interval", to_text(n.query_interval), to_text(advised),
            "A switch that restarts, or a port that the tree opens, hears of all members only by the "
            "next general query: at most query interval + query response = " +
                to_text(n.query_interval + n.query_response) + ", with the advised interval " +
                to_text(advised + n.query_response) + " (RFC 3376 sections 8.2 and 8.3; 60 s is "
                "common practice, the RFC's default is 125 s)."};
}

// The slowest switch's limit, and the most reports that one switch hears in a query response.
struct ReportRoom {
    double reports = 0;
    std::optional<double> limit;
    std::string where;
};

ReportRoom report_room(const Venue& venue, const NetworkLoad& load) {
    ReportRoom out;
    double fullest = 0;
    for (const auto& l : load.switches) {
        const double reports =
            l.reports_after_query * seconds(venue.network.query_response);
        if (!out.limit) out.reports = std::max(out.reports, reports);
        for (const auto& s : venue.switches) {
            if (s.name != l.name || !s.reports_per_second) continue;
            const double share = reports / *s.reports_per_second;
            if (out.limit && share <= fullest) continue;
            fullest = share;
            out = {reports, *s.reports_per_second, s.name};
        }
    }
    return out;
}

TimerAdvice query_response(const Venue& venue, const NetworkLoad& load) {
    const auto& n = venue.network;
    const ReportRoom room = report_room(venue, load);
    Duration advised = n.query_response;
    std::string reason = "Hosts spread their reports over it (RFC 3376 section 8.3): " +
                         number_text(room.reports, 0) + " reports make " +
                         number_text(room.reports / seconds(n.query_response), 1) + " per second";
    if (room.limit) {
        const auto needed = std::chrono::seconds(
            static_cast<std::int64_t>(std::ceil(room.reports / *room.limit)));
        advised = std::max<Duration>(advised, needed);
        reason += " at switch " + room.where + ", which takes " + number_text(*room.limit, 0);
    }
    return {"Query response", to_text(n.query_response), to_text(advised),
            reason + ". Longer, the gap when a querier is replaced grows by half of it."};
}

TimerAdvice last_member(const NetworkPolicy& n) {
    // Displays answer within it; below 1 s RFC 9166 has no value for it.
    const Duration advised = std::max<Duration>(n.last_member_query_interval, std::chrono::seconds(1));
    return {"Last-member query interval", to_text(n.last_member_query_interval), to_text(advised),
            "A display that still watches must answer within it, or the stream stops for it: shorter "
            "saves " + std::to_string(n.robustness) + " x the difference of leave latency and risks "
            "that (RFC 3376 section 8.8, default 1 s). Where each port has one display, fast leave "
            "ends a stream at once without it."};
}

TimerAdvice leave(const NetworkPolicy& n) {
    if (n.leave_latency)
        return {"Leave latency", to_text(*n.leave_latency), to_text(*n.leave_latency),
                "As measured on site; the timers would make it " +
                    to_text(n.last_member_query_interval * n.robustness) + "."};
    return {"Leave latency", to_text(leave_latency(n)), to_text(leave_latency(n)),
            "Last-member query interval x robustness = " + to_text(n.last_member_query_interval) +
                " x " + std::to_string(n.robustness) + " (RFC 2236 section 8.8 and 8.9; RFC 3376 "
                "section 8.10). So long a stream flows on after the last display left it."};
}

TimerAdvice membership(const NetworkPolicy& n) {
    return {"Membership ends after", to_text(membership_interval(n)), to_text(membership_interval(n)),
            "Robustness x query interval + query response = " + std::to_string(n.robustness) + " x " +
                to_text(n.query_interval) + " + " + to_text(n.query_response) +
                " (RFC 2236 section 8.4, RFC 3376 section 8.4): a display that is unplugged without a "
                "leave keeps its stream so long."};
}

// What each switch does once memberships have ended.
std::string after_the_end(const Venue& venue) {
    std::size_t flood = 0, stop = 0;
    for (const auto& s : venue.switches)
        if (s.snooping) ++(s.floods_without_querier ? flood : stop);
    std::string out;
    if (flood > 0) out += std::to_string(flood) + (flood > 1 ? " switches flood" : " switch floods") + " every stream";
    if (stop > 0)
        out += std::string(out.empty() ? "" : ", ") + std::to_string(stop) +
               (stop > 1 ? " switches stop" : " switch stops") + " every stream";
    return out.empty() ? "no switch snoops, so nothing changes" : out;
}

TimerAdvice querier_loss(const Venue& venue, const NetworkLoad& load) {
    const auto& n = venue.network;
    if (n.forwarding == Forwarding::routed)
        return {"Querier lost", "each router asks the displays at it", "each router asks the displays at it",
                "A router that is lost takes its displays along: nobody else asks them, or brings them streams."};
    std::string next;
    std::vector<const Switch*> switches;
    bool router = false;
    for (const auto& s : venue.switches) {
        switches.push_back(&s);
        router = router || s.multicast_router;
    }
    for (const auto i : queriers_in_turn(switches))
        if (next.empty() && switches[i]->name != load.querier && switches[i]->querier_address) next = switches[i]->name;
    if (!next.empty())
        return {"Querier lost", next + " takes over after " + to_text(other_querier_interval(n)),
                next + " takes over after " + to_text(other_querier_interval(n)),
                "Robustness x query interval + query response / 2 (RFC 3376 section 8.5); the lowest "
                "address left is elected. Memberships end " + to_text(takeover_gap(n)) +
                    " after that, and hosts take up to " + to_text(n.query_response) +
                    " to answer: a stream may be missing for up to " + to_text(takeover_gap(n)) +
                    ". A shorter query response makes this shorter."};
    return {"Querier lost",
            "no other querier: after " + to_text(membership_interval(n)) + " " + after_the_end(venue),
            router ? "a second querier, where the multicast router is none"
                   : "a second querier with a higher address, on another switch",
            "Nobody asks any more, so every membership ends after " + to_text(membership_interval(n)) +
                " (RFC 3376 section 8.4; what a switch does then is its own, RFC 4541 section 2.1.1)."};
}

}  // namespace

double lapses_per_day(double memberships, Duration query_interval, int robustness) {
    return memberships * kSecondsPerDay / seconds(query_interval) * std::pow(kReportLoss, robustness);
}

std::vector<TimerAdvice> timer_advice(const Venue& venue, const NetworkLoad& load) {
    const auto& n = venue.network;
    return {robustness(n, displays_of(venue)), query_interval(n), query_response(venue, load),
            last_member(n), leave(n), membership(n), querier_loss(venue, load)};
}

}  // namespace mastline
