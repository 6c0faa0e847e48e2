// SPDX-License-Identifier: Apache-2.0
#include "planner/intake/venue_edit.hpp"

namespace mastline {

namespace {

constexpr std::string_view kFound = "left to the planner";

std::string pad_text(const std::optional<Gain>& pad) { return pad ? to_exact_text(*pad) : "none"; }

template <class Values, class Text>
std::string list_text(const Values& values, const Text& text) {
    std::string out;
    for (const auto& value : values) out += (out.empty() ? "" : ", ") + text(value);
    return out.empty() ? std::string(kFound) : out;
}

struct Words {
    std::string operator()(const SetTrim& e) const {
        return e.device + ": trim " + list_text(e.trim, [](Gain g) { return to_exact_text(g); });
    }
    std::string operator()(const SetSlope& e) const {
        return e.device + ": slope " + (e.slope ? to_exact_text(*e.slope) : std::string(kFound));
    }
    std::string operator()(const SetPads& e) const { return e.device + ": pads " + list_text(e.pads, pad_text); }
    std::string operator()(const SetLoss& e) const { return e.device + ": loss " + to_exact_text(e.loss); }
    std::string operator()(const AddCard& e) const {
        return "card " + e.name + ": added, " + e.model + (e.chassis.empty() ? "" : " in chassis " + e.chassis) +
               (e.wired_like.empty() ? "" : ", wired like " + e.wired_like);
    }
    std::string operator()(const RemoveLink& e) const { return "link " + e.link + ": removed"; }
};

}  // namespace

std::string to_text(const VenueEdit& edit) { return std::visit(Words{}, edit); }

}  // namespace mastline
