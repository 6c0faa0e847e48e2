// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/desk_json.hpp"

#include "mastline/text/escape.hpp"
#include "mastline/text/shown_json.hpp"
#include "planner/commands/finding_json.hpp"
#include "planner/commands/json_number.hpp"
#include "planner/intake/adjustable.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

std::string dumped(const Json& json) { return shown_json(json, 1); }

// Three decimals: what is shown has one, and the last bits of a sum mean nothing.
Json optional_db(const std::optional<Gain>& gain) { return gain ? Json(thousandths(gain->db())) : Json(nullptr); }

Json fault_json(const Finding& finding, const std::map<std::string, std::string>& texts) {
    Json out = finding_json(finding);
    const auto text = texts.find(finding.place.file);
    if (text == texts.end()) return out;
    const auto context = context_of(text->second, finding.place);
    if (!context.line.empty()) out["line"] = plain_line(context.line);
    if (!context.section.empty()) out["about"] = {{"section", context.section}, {"name", plain_line(context.name)}};
    return out;
}

Json faults_json(const Findings& findings, const std::map<std::string, std::string>& texts) {
    Json out = Json::array();
    for (const auto& finding : findings) out.push_back(fault_json(finding, texts));
    return out;
}

Json range_json(const std::optional<AdjustRange>& range) {
    if (!range) return nullptr;
    Json out{{"low_db", range->low.db()}, {"high_db", range->high.db()}};
    if (range->step) out["step_db"] = range->step->db();
    return out;
}

Json adjustable_json(const Adjustable& a) {
    Json trims = Json::array(), pads = Json::array();
    for (const auto trim : a.trim_now) trims.push_back(thousandths(trim.db()));
    for (const auto& pad : a.pads_now) pads.push_back(optional_db(pad));
    Json out{{"device", a.device}, {"copies", a.copies}, {"lanes", a.lanes}};
    if (a.trim) out["trim"] = {{"range", range_json(a.trim)}, {"now_db", trims}, {"given", a.trim_given}};
    if (a.slope) out["slope"] = {{"range", range_json(a.slope)}, {"now_db", thousandths(a.slope_now.db())}, {"given", a.slope_given}};
    if (a.pad_place) out["pads"] = {{"now_db", pads}, {"given", a.pads_given}};
    if (a.loss_now) out["loss"] = {{"now_db", a.loss_now->db()}};
    return out;
}

// What a page needs to offer changes.
Json offers_json(const PlannedVenue& planned) {
    const Venue& venue = planned.opened.venue;
    Json adjustable = Json::array(), models = Json::array(), chassis = Json::array(), cards = Json::array(), links = Json::array(),
         pads = Json::array();
    FileTexts toml = planned.opened.texts;
    if (venue.channel_list) toml.erase(venue.channel_list->name);
    for (const auto& a : adjustable_devices(toml, venue, planned.plan)) adjustable.push_back(adjustable_json(a));
    for (const auto& model : venue.card_models)
        models.push_back({{"name", model.name}, {"kind", model.kind == CardKind::tuner ? "tuner" : "encoder"}});
    for (const auto& c : venue.chassis) chassis.push_back(c.name);
    for (const auto& card : venue.cards) cards.push_back({{"name", card.name}, {"model", card.model}});
    for (const auto& link : venue.links) links.push_back({{"name", link.name}, {"from", link.from}, {"to", link.to}});
    for (const auto& pad : venue.stock.pads) pads.push_back({{"loss_db", pad.loss.db()}, {"count", pad.count}});
    return {{"adjustable", adjustable}, {"stocked_pads", pads}, {"card_models", models},
            {"chassis", chassis},       {"cards", cards},       {"links", links}};
}

Json level_json(const std::optional<LevelState>& state) {
    if (!state) return nullptr;
    return {{"low_dbm", thousandths(state->low.dbm())}, {"high_dbm", thousandths(state->high.dbm())}, {"margin_db", optional_db(state->margin)}};
}

Json setting_json(const std::optional<SettingState>& state) {
    if (!state) return nullptr;
    return {{"value_db", optional_db(state->value)}, {"given", state->given}};
}

Json home_json(const std::optional<HomeState>& state) {
    if (!state) return nullptr;
    return {{"input", state->card_input}, {"address", state->address}};
}

Json load_json(const std::optional<LoadState>& state) {
    if (!state) return nullptr;
    return {{"worst_mix_bps", state->worst_mix.bits_per_second()},
            {"worst_failure_bps", state->worst_failure.bits_per_second()},
            {"limit_bps", state->limit.bits_per_second()},
            {"fits", state->fits()}};
}

template <class Changes, class Words>
Json list_json(const Changes& changes, const Words& words) {
    Json out = Json::array();
    for (const auto& change : changes) out.push_back(words(change));
    return out;
}

Json difference_json(const PlanDifference& d) {
    const auto setting_word = [](SettingKind kind) {
        constexpr const char* words[] = {"trim", "slope", "pad", "tap"};
        return words[static_cast<std::size_t>(kind)];
    };
    Json out;
    out["least_margin"] = {{"was_db", optional_db(d.least_margin.was)}, {"now_db", optional_db(d.least_margin.now)}};
    out["cards_in_use"] = {{"was", *d.cards_in_use.was}, {"now", *d.cards_in_use.now}};
    out["unplaced"] = {{"was", *d.unplaced.was}, {"now", *d.unplaced.now}};
    out["gone"] = list_json(d.gone, finding_json);
    out["fresh"] = list_json(d.fresh, finding_json);
    out["settings"] = list_json(d.settings, [&](const SettingChange& c) {
        return Json{{"device", c.device}, {"setting", setting_word(c.kind)}, {"lane", c.lane ? Json(c.lane->value) : Json(nullptr)},
                    {"was", setting_json(c.was)}, {"now", setting_json(c.now)}};
    });
    out["levels"] = list_json(d.levels, [](const LevelChange& c) {
        return Json{{"port", to_text(c.port)}, {"lane", to_text(c.lane)}, {"was", level_json(c.was)}, {"now", level_json(c.now)}};
    });
    out["channels"] = list_json(d.homes, [](const ChannelHomeChange& c) {
        return Json{{"number", c.channel}, {"copy", c.copy}, {"name", c.name}, {"was", home_json(c.was)}, {"now", home_json(c.now)}};
    });
    out["loads"] = list_json(d.loads, [](const LoadChange& c) {
        return Json{{"link", c.link}, {"from", c.from}, {"to", c.to}, {"was", load_json(c.was)}, {"now", load_json(c.now)}};
    });
    return out;
}

}  // namespace

std::string desk_json(const DeskView& view) {
    Json out{{"schema", "mastline-desk 1"}, {"version", view.version}};
    const bool has_plan = view.planned != nullptr;
    out["base"] = has_plan ? Json(view.planned->base) : Json(nullptr);
    out["venue"] = has_plan ? view.planned->opened.venue.name : "";
    out["revision"] = has_plan ? Json(view.planned->plan.lineup.revision) : Json(nullptr);
    out["planned_ms"] = has_plan ? Json(thousandths(view.planned->planned_ms)) : Json(nullptr);
    Json files = Json::array();
    for (const auto& [name, text] : view.texts) files.push_back(name);
    out["files"] = std::move(files);
    out["faults"] = faults_json(view.faults, view.texts);
    out["offers"] = has_plan ? offers_json(*view.planned) : Json(nullptr);
    return dumped(out);
}

std::string sheets_json(const ServedSet& set, const std::string& base, const std::set<std::string>& had) {
    Json out{{"base", base}, {"venue", set.venue}, {"revision", set.revision}, {"rules", set.rules}, {"links", set.links}, {"large", set.is_large}};
    out["sheets"] = list_json(set.sheets, [&](const ServedSheet& sheet) {
        Json entry{{"id", sheet.id}, {"hash", sheet.hash}};
        if (!had.contains(sheet.hash)) entry["html"] = sheet.html;
        return entry;
    });
    return dumped(out);
}

std::string trial_json(const std::vector<VenueEdit>& edits, const Trial& trial) {
    Json out{{"schema", "mastline-trial 1"}, {"edits", list_json(edits, [](const VenueEdit& e) { return plain_line(to_text(e)); })}};
    out["faults"] = list_json(trial.faults, finding_json);
    out["difference"] = trial.planned ? difference_json(trial.difference) : Json(nullptr);
    return dumped(out);
}

}  // namespace mastline
