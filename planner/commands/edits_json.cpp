// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/edits_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostEdits = 500, kMostLanes = 64, kLongestName = 200;
constexpr double kMostDb = 200;

class EditReader {
public:
    EditReader(const Json& json, std::size_t number) : json_(json), number_(number) {
        if (!json.is_object()) fault("is no object");
    }

    VenueEdit read() {
        const auto kind = text("edit");
        if (kind == "trim") return SetTrim{text("device"), gains("trim_db")};
        if (kind == "slope") return slope();
        if (kind == "pads") return SetPads{text("device"), pads()};
        if (kind == "loss") return SetLoss{text("device"), gain(at("loss_db"))};
        if (kind == "card") return card();
        if (kind == "no-link") return RemoveLink{text("link")};
        fault("\"edit\" is none of trim, slope, pads, loss, card, no-link");
    }

private:
    [[noreturn]] void fault(const std::string& what) const {
        throw EditsFault("edit " + std::to_string(number_) + ": " + what);
    }

    const Json& at(const char* key) const {
        const auto found = json_.find(key);
        if (found == json_.end()) fault(std::string("\"") + key + "\" is missing");
        return *found;
    }

    std::string text(const char* key) const {
        const auto& value = at(key);
        if (!value.is_string() || value.get_ref<const std::string&>().empty() || value.get_ref<const std::string&>().size() > kLongestName)
            fault(std::string("\"") + key + "\" is no text of 1 to " + std::to_string(kLongestName) + " bytes");
        return value.get<std::string>();
    }
    std::string text_or_none(const char* key) const {
        const auto found = json_.find(key);
        return found == json_.end() || *found == "" || found->is_null() ? "" : text(key);
    }

    Gain gain(const Json& value) const {
        if (!value.is_number() || !(std::abs(value.get<double>()) <= kMostDb)) fault("a setting is no number of dB from -200 to 200");
        return Gain::db(value.get<double>());
    }

    const Json& list(const char* key) const {
        const auto& value = at(key);
        if (!value.is_array() || value.empty() || value.size() > kMostLanes)
            fault(std::string("\"") + key + "\" is no list of one number per lane, nor null");
        return value;
    }
    std::vector<Gain> gains(const char* key) const {
        std::vector<Gain> out;
        if (at(key).is_null()) return out;
        for (const auto& value : list(key)) out.push_back(gain(value));
        return out;
    }
    std::vector<std::optional<Gain>> pads() const {
        std::vector<std::optional<Gain>> out;
        if (at("pads_db").is_null()) return out;
        for (const auto& value : list("pads_db")) out.push_back(value.is_null() ? std::nullopt : std::optional(gain(value)));
        return out;
    }
    SetSlope slope() const {
        const auto& value = at("slope_db");
        return {text("device"), value.is_null() ? std::nullopt : std::optional(gain(value))};
    }
    AddCard card() const {
        AddCard out{text("name"), text("model"), text_or_none("chassis"), text_or_none("wired_like"), CardState::buy};
        const auto state = text_or_none("state");
        if (state == "installed") out.state = CardState::installed;
        else if (state == "store") out.state = CardState::store;
        else if (!state.empty() && state != "buy") fault("\"state\" is none of installed, store, buy");
        return out;
    }

    const Json& json_;
    std::size_t number_;
};

}  // namespace

AskedEdits read_edits(std::string_view json) {
    const auto root = Json::parse(json, nullptr, false);
    if (!root.is_object() || !root.contains("edits") || !root["edits"].is_array())
        throw EditsFault("send an object with \"edits\", a list");
    if (root["edits"].size() > kMostEdits) throw EditsFault("there are more than " + std::to_string(kMostEdits) + " edits");
    AskedEdits out;
    if (root.contains("base") && root["base"].is_string()) out.base = root["base"].get<std::string>();
    if (root.contains("had") && root["had"].is_string()) out.had = root["had"].get<std::string>();
    for (const auto& edit : root["edits"]) out.edits.push_back(EditReader(edit, out.edits.size() + 1).read());
    return out;
}

}  // namespace mastline
