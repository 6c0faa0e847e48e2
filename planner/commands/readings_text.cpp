// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/readings_text.hpp"

#include <algorithm>
#include <cmath>

#include "mastline/text/escape.hpp"

namespace mastline {

namespace {

constexpr std::size_t kAlternatives = 5, kPoints = 8;

std::string percent(Probability p) {
    const double value = 100 * p.value;
    if (value > 99.9) return "over 99.9 %";
    if (value < 0.1) return "under 0.1 %";
    return fixed_text(value, value < 10 || value > 99 ? 1 : 0) + " %";
}

// "device tap port tap lane 2"
std::string place_text(const PartFault& fault) {
    std::string out = to_text(fault.part);
    if (!fault.port.empty()) out += " port " + fault.port;
    if (fault.kind == PartFaultKind::crossed || fault.lanes.empty()) return out;
    out += fault.lanes.size() == 1 ? " lane" : " lanes";
    for (const auto lane : fault.lanes) out += " " + std::to_string(lane.value);
    return out;
}

std::string_view advice(const PartFault& fault) {
    const bool run = fault.part.kind == PartKind::run;
    switch (fault.kind) {
        case PartFaultKind::flat_loss:
            return run ? "remake or clean its connectors; look for a pad nobody planned"
                   : fault.part.kind == PartKind::feed
                       ? "see whether the dish or antenna still points true, then its connector"
                       : "see whether the right port is used, then its connectors, then change it";
        case PartFaultKind::excess_level: return "look for a pad left out or a part passed over";
        case PartFaultKind::tilt:
            return run ? "look for water in the cable or a cable of the wrong class; change it"
                       : "see its slope and equaliser, then change it";
        case PartFaultKind::dead: return run ? "look for an open or shorted connector, then change it"
                                         : "see whether it is connected on both sides, then change it";
        case PartFaultKind::low_supply: return "measure the voltage at the part and what its supply feeds";
        case PartFaultKind::no_supply: return "see the supply's fuse and plug, and the conductor that brings it";
        case PartFaultKind::low_light: return "clean the connectors, measure the light at the sender (never look into a fibre)";
        case PartFaultKind::wrong_trim: return "read the trim against the settings list";
        case PartFaultKind::wrong_slope: return "read the slope against the settings list";
        case PartFaultKind::wrong_pad: return "read the value printed on the pad against the settings list";
        case PartFaultKind::wrong_tap: return "see which port of the tap is used and the value printed on it";
        case PartFaultKind::crossed: return "follow the labels at both ends of the run";
    }
    return "";
}

std::string list_of(const std::vector<ChainPart>& parts) {
    std::string out;
    for (const auto& part : parts) out += (out.empty() ? "" : ", ") + to_text(part);
    return out;
}

std::string port_lane(const MeterPoint& point) {
    return to_text(point.port) + " lane " + std::to_string(point.lane.value);
}

std::string list_of(const std::vector<MeterPoint>& points) {
    std::string out;
    for (std::size_t i = 0; i < points.size() && i < 4; ++i) out += (i > 0 ? ", " : "") + port_lane(points[i]);
    return out + (points.size() > 4 ? " and " + std::to_string(points.size() - 4) + " more" : "");
}

class Writer {
public:
    Writer(const Diagnosis& diagnosis, const Meter& meter, const TerminalLook& style)
        : d_(diagnosis), meter_(meter), style_(style) {}

    std::string text() {
        verdict();
        for (const auto& fault : d_.faults) named(fault);
        alternatives();
        next();
        points();
        drift();
        unseen();
        return std::move(out_);
    }

private:
    void line(const std::string& text) { out_ += plain_line(text) + "\n"; }

    void headline(const std::string& word, std::string_view colour, const std::string& rest) {
        out_ += style_.colour ? std::string(colour) + word + "\033[0m" : word;
        line(rest);
    }

    void verdict() {
        const auto count = std::to_string(d_.points.size()) + (d_.points.size() == 1 ? " point" : " points");
        if (d_.verdict == ReadingsVerdict::good)
            return headline("GOOD", "\033[1;32m", ": " + count + " read, all within what meter and tolerances explain");
        const auto sure = "; " + percent(d_.faulty) + " sure that a part is at fault";
        if (d_.verdict == ReadingsVerdict::fault)
            return headline("FAULT", "\033[1;31m", ": " + std::to_string(d_.faults.size()) +
                            (d_.faults.size() == 1 ? " part" : " parts") + " named from " + count + sure);
        headline("UNCLEAR", "\033[1;33m", ": " + count + " read" + sure);
    }

    void named(const NamedFault& named) {
        line("");
        if (named.section.size() > 1) {
            line("one of " + list_of(named.section) + " (" + percent(named.sure) + " sure)");
            line("  no reading tells these apart; likeliest: " + place_text(named.fault) + ": " + to_text(named.fault));
        } else {
            line(place_text(named.fault) + ": " + to_text(named.fault) + " (" + percent(named.sure) + " sure)");
        }
        if (!named.right_until.empty()) line("  right until " + list_of(named.right_until));
        if (!named.departs_at.empty()) line("  departs at  " + list_of(named.departs_at));
        line("  do: " + std::string(advice(named.fault)));
    }

    bool is_named(const ChainPart& part) const {
        return std::any_of(d_.faults.begin(), d_.faults.end(), [&](const NamedFault& f) { return f.fault.part == part; });
    }

    void alternatives() {
        std::vector<std::string> lines;
        for (const auto& explanation : d_.explanations) {
            const bool named = is_named(explanation.part);
            for (std::size_t i = named ? 1 : 0; i < explanation.faults.size() && i < 3; ++i) {
                const auto& [fault, sure] = explanation.faults[i];
                if (sure.value >= 0.005 && lines.size() < kAlternatives)
                    lines.push_back("  " + percent(sure) + "  " + place_text(fault) + ": " + to_text(fault));
            }
        }
        if (lines.empty()) return;
        line("");
        line("may be as well");
        for (const auto& text : lines) line(text);
    }

    void next() {
        if (d_.next.empty()) return;
        line("");
        line("read next, most telling first");
        for (const auto& next : d_.next) {
            line("  " + to_text(next.point) + (next.marked ? "" : " (no test point: open the connector)") + ", " +
                 fixed_text(next.bits, 2) + " bit");
            for (std::size_t i = 0; i < next.forecasts.size() && i < 4; ++i)
                line("    " + to_text(next.forecasts[i].second) + " if " + to_text(next.forecasts[i].first));
            line("    " + to_text(next.otherwise) + " if nothing is at fault");
        }
    }

    void points() {
        std::vector<const JudgedPoint*> odd;
        for (const auto& point : d_.points)
            if (!point.explained) odd.push_back(&point);
        if (odd.empty()) return;
        line("");
        line("not explained by any of this; read again");
        for (std::size_t i = 0; i < odd.size() && i < kPoints; ++i)
            line("  " + to_text(odd[i]->reading.point) + ": " +
                 (odd[i]->reading.level ? to_text(*odd[i]->reading.level) : "no signal") + ", expected " +
                 to_text(odd[i]->expected));
        if (odd.size() > kPoints) line("  and " + std::to_string(odd.size() - kPoints) + " more");
    }

    // What has changed since the baseline by more than two readings of the meter can differ.
    void drift() {
        std::vector<std::pair<double, const JudgedPoint*>> moved;
        std::size_t compared = 0;
        for (const auto& point : d_.points) {
            if (!point.baseline || !point.reading.level) continue;
            ++compared;
            const double change = (*point.reading.level - *point.baseline).db();
            if (std::abs(change) > 2 * meter_.accuracy.db()) moved.emplace_back(change, &point);
        }
        if (compared == 0) return;
        std::stable_sort(moved.begin(), moved.end(), [](const auto& a, const auto& b) {
            return std::abs(a.first) > std::abs(b.first);
        });
        line("");
        line("since the baseline: " + std::to_string(compared) + " points compared, " + std::to_string(moved.size()) +
             " changed by more than " + to_text(meter_.accuracy * 2));
        for (std::size_t i = 0; i < moved.size() && i < kPoints; ++i)
            line("  " + to_text(moved[i].second->reading.point) + ": " + (moved[i].first > 0 ? "+" : "") +
                 to_text(Gain::db(moved[i].first)));
        if (moved.size() > kPoints) line("  and " + std::to_string(moved.size() - kPoints) + " more");
    }

    void unseen() {
        if (d_.unseen.empty()) return;
        line("");
        std::vector<ChainPart> some(d_.unseen.begin(), d_.unseen.begin() + static_cast<std::ptrdiff_t>(std::min<std::size_t>(d_.unseen.size(), 12)));
        line("nothing is known of " + list_of(some) +
             (d_.unseen.size() > some.size() ? " and " + std::to_string(d_.unseen.size() - some.size()) + " more" : "") +
             ": no reading behind");
    }

    const Diagnosis& d_;
    const Meter& meter_;
    const TerminalLook& style_;
    std::string out_;
};

}  // namespace

std::string readings_text(const Diagnosis& diagnosis, const Meter& meter, const TerminalLook& style) {
    return Writer(diagnosis, meter, style).text();
}

}  // namespace mastline
