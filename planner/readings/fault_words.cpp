// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <utility>

#include "mastline/readings/diagnosis.hpp"

namespace mastline {

namespace {

constexpr std::array<std::pair<PartFaultKind, std::string_view>, 12> kWords{{
    {PartFaultKind::flat_loss, "flat-loss"},
    {PartFaultKind::excess_level, "excess-level"},
    {PartFaultKind::tilt, "tilt"},
    {PartFaultKind::dead, "dead"},
    {PartFaultKind::low_supply, "low-supply"},
    {PartFaultKind::no_supply, "no-supply"},
    {PartFaultKind::low_light, "low-light"},
    {PartFaultKind::wrong_trim, "wrong-trim"},
    {PartFaultKind::wrong_slope, "wrong-slope"},
    {PartFaultKind::wrong_pad, "wrong-pad"},
    {PartFaultKind::wrong_tap, "wrong-tap"},
    {PartFaultKind::crossed, "crossed"},
}};

std::string amount_text(const PartFault& fault) {
    const double db = fault.amount.db();
    return fixed_text(db < 0 ? -db : db, 1) + (fault.optical ? " dB of light" : " dB");
}

std::string low_or_high(const PartFault& fault) {
    return amount_text(fault) + (fault.amount.db() < 0 ? " low" : " high");
}

std::string crossing_text(const PartFault& fault) {
    std::string out;
    for (std::size_t i = 0; i < fault.lanes.size() && i < fault.comes_instead.size(); ++i)
        out += (out.empty() ? "" : ", ") + std::string("lane ") +
               std::to_string(fault.comes_instead[i].value) + " comes on " +
               std::to_string(fault.lanes[i].value);
    return "crossed lanes: " + out;
}

}  // namespace

std::string_view to_text(PartKind kind) {
    return kind == PartKind::feed ? "feed" : kind == PartKind::run ? "run" : "device";
}

std::string to_text(const ChainPart& part) {
    return std::string(to_text(part.kind)) + " " + part.name;
}

std::string_view to_text(PartFaultKind kind) {
    for (const auto& [k, word] : kWords)
        if (k == kind) return word;
    return "";
}

std::string to_text(const PartFault& fault) {
    switch (fault.kind) {
        case PartFaultKind::flat_loss: return "flat loss of " + amount_text(fault);
        case PartFaultKind::excess_level: return "level too high by " + amount_text(fault) + ", flat";
        case PartFaultKind::tilt:
            return "tilt: " + low_or_high(fault) + " at the high end of the band, less below";
        case PartFaultKind::dead: return "dead";
        case PartFaultKind::low_supply: return "all lanes low by " + amount_text(fault) + ": low supply";
        case PartFaultKind::no_supply: return "all lanes dead: no supply";
        case PartFaultKind::low_light: return "sends too little light, by " + amount_text(fault);
        case PartFaultKind::wrong_trim: return "wrong trim: " + low_or_high(fault);
        case PartFaultKind::wrong_slope: return "wrong slope: " + low_or_high(fault) + " at the low end of its band";
        case PartFaultKind::wrong_pad: return "wrong pad: " + low_or_high(fault);
        case PartFaultKind::wrong_tap: return "wrong tap or tap port";
        case PartFaultKind::crossed: return crossing_text(fault);
    }
    return "";
}

std::string_view to_text(ReadingsVerdict verdict) {
    return verdict == ReadingsVerdict::good        ? "good"
           : verdict == ReadingsVerdict::suspicion ? "suspicion"
                                                   : "fault";
}

}  // namespace mastline
