// SPDX-License-Identifier: Apache-2.0
#include "mastline/verdict/judge.hpp"

#include <algorithm>
#include <array>

#include "probe/verdict/checklist.hpp"

namespace mastline {

namespace {

// Most telling first: a fault high in the list explains those below it.
constexpr std::array<std::string_view, 31> kOrder{
    "flow.arrival", "flow.source", "flow.vlan", "flow.steady", "flow.encapsulation", "stream.sync", "stream.pat",
    "stream.service", "stream.pmt", "stream.name", "stream.components", "stream.scrambling",
    "flow.repeats", "flow.rate", "flow.loss", "flow.order", "flow.fec", "stream.transport-error",
    "stream.continuity", "stream.crc", "stream.pcr-pid", "stream.pcr-interval",
    "stream.pcr-continuity", "stream.pcr-jitter", "stream.pts", "stream.id", "flow.own-drops",
    "flow.packing", "flow.ttl", "flow.dscp", "flow.group"};

std::size_t rank(const Check& check) {
    return static_cast<std::size_t>(std::ranges::find(kOrder, check.id) - kOrder.begin());
}

Verdict start(const Expectation& expected) {
    return {expected.channel, expected.copy, expected.name, expected.flow, expected.parts, {}};
}

Verdict absent(const Expectation& expected, const Watch& watch) {
    Verdict out = start(expected);
    Checklist list;
    const std::string wanted = to_text(expected.rate) + " to " + to_text(expected.flow);
    const bool long_enough = !watch.start || watch.length() >= kFirstArrivalLimit;
    if (long_enough)
        list.fail("flow.arrival", wanted, "nothing arrives",
                  watch.start ? "watched for " + seconds_text(watch.length()) : "");
    else list.skip("flow.arrival", "nothing yet; the watch was too short to tell");
    out.checks = list.take();
    return out;
}

}  // namespace

std::string moment(const Watch& watch, Duration at) {
    const Duration since = watch.start ? at - *watch.start : at;
    return seconds_text(since, 3);
}

std::string when(const Watch& watch, const Occurrences& found) {
    std::string out;
    if (found.first) out += "first at " + moment(watch, *found.first);
    if (found.last && found.last != found.first) out += ", last at " + moment(watch, *found.last);
    std::string packets;
    for (const auto p : found.packets) packets += (packets.empty() ? "" : ", ") + std::to_string(p);
    if (!packets.empty()) out += (out.empty() ? "packets " : "; packets ") + packets;
    return out;
}

Verdict judge(const Expectation& expected, const FlowObservation* seen,
              const ExpectedLineup& lineup, const Watch& watch) {
    if (seen == nullptr || seen->datagrams == 0) return absent(expected, watch);
    Verdict out = start(expected);
    out.wire = seen->destination.wire;
    out.interface = seen->interface;
    Checklist list;
    const Case c{expected, *seen, lineup, watch};
    check_flow(c, list);
    check_transport(c, list);
    if (check_service(c, list)) check_components(c, list);
    out.checks = list.take();
    std::ranges::stable_sort(out.checks, {}, rank);
    // What the plan rests it on did not bring it: that it is right clears none of these parts.
    if (sent_by_standby(expected, *seen)) out.parts.clear();
    return out;
}

std::vector<Verdict> judge_all(const ExpectedLineup& lineup,
                               const std::vector<FlowObservation>& seen, const Watch& watch) {
    std::vector<Verdict> out;
    for (const auto& expected : lineup.flows) {
        std::optional<Verdict> worst;
        for (const auto& flow : seen) {
            if (!flow.goes_to(expected.flow) || flow.datagrams == 0) continue;
            Verdict here = judge(expected, &flow, lineup, watch);
            if (!worst || here.outcome() < worst->outcome()) worst = std::move(here);
        }
        out.push_back(worst ? std::move(*worst) : judge(expected, nullptr, lineup, watch));
    }
    return out;
}

}  // namespace mastline
