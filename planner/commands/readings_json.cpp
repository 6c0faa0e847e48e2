// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/readings_json.hpp"

#include "planner/commands/finding_json.hpp"
#include "planner/commands/json_number.hpp"

#include "mastline/text/shown_json.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

Json to_json(const ChainPart& part) { return {{"kind", to_text(part.kind)}, {"name", part.name}}; }

Json to_json(const MeterPoint& point) {
    Json out{{"test_point", to_text(point.port)}, {"lane", point.lane.value}};
    if (point.frequency) out["frequency_mhz"] = megahertz(*point.frequency);
    return out;
}

// Found by json_list() where it is used.
Json to_json(const NamedFault& named);
Json to_json(const FaultExplanation& explanation);
Json to_json(const NextReading& next);
Json to_json(const JudgedPoint& point);

template <class T>
Json json_list(const std::vector<T>& items) {
    Json out = Json::array();
    for (const auto& item : items) out.push_back(to_json(item));
    return out;
}

Json to_json(const PartFault& fault) {
    Json out{{"part", to_json(fault.part)}, {"fault", to_text(fault.kind)}, {"what", to_text(fault)}};
    if (!fault.port.empty()) out["port"] = fault.port;
    if (!fault.lanes.empty()) {
        out["lanes"] = Json::array();
        for (const auto lane : fault.lanes) out["lanes"].push_back(lane.value);
    }
    if (fault.kind == PartFaultKind::crossed) {
        out["comes_instead"] = Json::array();
        for (const auto lane : fault.comes_instead) out["comes_instead"].push_back(lane.value);
    } else if (fault.kind != PartFaultKind::dead && fault.kind != PartFaultKind::no_supply &&
               fault.kind != PartFaultKind::wrong_tap) {
        out[fault.optical ? "optical_change_db" : "change_db"] = thousandths(fault.amount.db());
    }
    return out;
}

Json to_json(const NamedFault& named) {
    Json out = to_json(named.fault);
    out["probability"] = thousandths(named.sure.value);
    out["section"] = json_list(named.section);
    out["right_until"] = json_list(named.right_until);
    out["departs_at"] = json_list(named.departs_at);
    return out;
}

Json to_json(const FaultExplanation& explanation) {
    Json faults = Json::array();
    for (const auto& [fault, sure] : explanation.faults) {
        Json one = to_json(fault);
        one.erase("part");
        one["probability"] = thousandths(sure.value);
        faults.push_back(std::move(one));
    }
    return {{"part", to_json(explanation.part)},
            {"probability", thousandths(explanation.sure.value)},
            {"faults", std::move(faults)}};
}

Json to_json(const NextReading& next) {
    Json out = to_json(next.point);
    out["marked"] = next.marked;
    out["information_bits"] = thousandths(next.bits);
    out["otherwise_dbm"] = thousandths(next.otherwise.dbm());
    out["forecasts"] = Json::array();
    for (const auto& [part, level] : next.forecasts)
        out["forecasts"].push_back({{"part", to_json(part)}, {"level_dbm", thousandths(level.dbm())}});
    return out;
}

Json to_json(const JudgedPoint& point) {
    Json out = to_json(point.reading.point);
    out["feed"] = point.signal.feed;
    out["feed_lane"] = point.signal.lane.value;
    out["readings"] = point.reading.count;
    out["no_signal"] = !point.reading.level;
    if (point.reading.level) {
        out["level_dbm"] = thousandths(point.reading.level->dbm());
        out["spread_db"] = thousandths(point.reading.spread.db());
        out["deviation_db"] = thousandths(point.deviation.db());
    }
    out["expected_dbm"] = thousandths(point.expected.dbm());
    out["lowest_dbm"] = thousandths(point.worst_low.dbm());
    out["highest_dbm"] = thousandths(point.worst_high.dbm());
    if (point.baseline) {
        out["baseline_dbm"] = thousandths(point.baseline->dbm());
        if (point.reading.level)
            out["change_db"] = thousandths((*point.reading.level - *point.baseline).db());
    }
    out["explained"] = point.explained;
    return out;
}

Json to_json(const Diagnosis& diagnosis) {
    return {{"fault_probability", thousandths(diagnosis.faulty.value)},
            {"faults", json_list(diagnosis.faults)},
            {"explanations", json_list(diagnosis.explanations)},
            {"next", json_list(diagnosis.next)},
            {"unseen", json_list(diagnosis.unseen)},
            {"points", json_list(diagnosis.points)}};
}

}  // namespace

std::string readings_json(const std::string& venue, const Findings& findings, const Meter& meter,
                          const std::optional<Diagnosis>& diagnosis) {
    Json list = Json::array();
    for (const auto& finding : findings) list.push_back(finding_json(finding));
    Json out{{"schema", "mastline-readings 1"},
             {"venue", venue},
             {"outcome", diagnosis ? to_text(diagnosis->verdict) : "unusable"},
             {"meter_accuracy_db", meter.accuracy.db()},
             {"findings", std::move(list)}};
    if (diagnosis) out["diagnosis"] = to_json(*diagnosis);
    return shown_json(out);
}

}  // namespace mastline
