// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/escape.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

std::size_t count_of(const Findings& findings, Severity severity) {
    std::size_t count = 0;
    for (const auto& finding : findings) count += finding.severity == severity ? 1 : 0;
    return count;
}

Fit fit_of_severity(Severity severity) {
    return severity == Severity::error     ? Fit::out
           : severity == Severity::warning ? Fit::near
                                           : Fit::untold;
}

std::string verdict(const Findings& findings) {
    const auto errors = count_of(findings, Severity::error);
    const auto warnings = count_of(findings, Severity::warning);
    std::string out = "<p class=\"verdict ";
    if (errors > 0)
        out += "out\"><b>Does not fit yet.</b> " + counted(errors, "error", "errors") + " to cure";
    else
        out += "good\"><b>Fits.</b> No errors";
    return out + ", " + counted(warnings, "warning", "warnings") + ", " +
           counted(count_of(findings, Severity::note), "note", "notes") + ".</p>\n";
}

struct Figure {
    std::string_view name;
    std::size_t count;
    std::string_view sheet;
};

std::string summary(const PlanIndex& index) {
    const Venue& venue = index.venue();
    const Plan& plan = index.plan();
    std::size_t lanes = 0, displays = 0;
    for (const auto& feed : venue.feeds) lanes += feed.lanes.size();
    for (const auto& zone : venue.zones) displays += static_cast<std::size_t>(zone.displays);
    const std::array figures{Figure{"channels", venue.channels.size(), "channels"},
                             Figure{"without a home", plan.assignment.unplaced.size(), "cards"},
                             Figure{"flows", plan.lineup.flows.size(), "addresses"},
                             Figure{"feeds", venue.feeds.size(), "signal"},
                             Figure{"lanes", lanes, "ladders"},
                             Figure{"carriers", venue.carriers.size(), "cards"},
                             Figure{"devices", venue.devices.size(), "signal"},
                             Figure{"runs", venue.runs.size(), "wiring"},
                             Figure{"cards", venue.cards.size(), "cards"},
                             Figure{"switches", venue.switches.size(), "network"},
                             Figure{"links", venue.links.size(), "network"},
                             Figure{"displays", displays, "network"}};
    std::string out = "<dl class=\"figures\">";
    for (const auto& figure : figures)
        out += "<div><dt>" + std::string(figure.name) + "</dt><dd><a href=\"#" +
               std::string(figure.sheet) + "\">" + std::to_string(figure.count) + "</a></dd></div>";
    return out + "</dl>\n";
}

// The row or picture of what a finding is about: "channel 105", "link core, core-1 to core-2",
// "ms-1.in, lane west/4", "A1". Empty where nothing of that name is drawn.
std::string target_of(const PlanIndex& index, std::string_view subject) {
    constexpr std::string_view kinds[] = {"channel ", "card ", "device ", "feed ", "switch "};
    for (const auto kind : kinds) {
        if (!subject.starts_with(kind)) continue;
        subject.remove_prefix(kind.size());
        if (kind != "channel ") break;
        const std::string number(subject.substr(0, subject.find_first_not_of("0123456789.")));
        return index.channel_row(number);
    }
    // The longest beginning that is a name and ends where a word does.
    for (std::size_t length = subject.size(); length > 0; --length) {
        if (length < subject.size() && std::string_view(". ,:").find(subject[length]) == std::string_view::npos)
            continue;
        const std::string id = index.picture_id(std::string(subject.substr(0, length)));
        if (!id.empty()) return id;
    }
    return "";
}

}  // namespace

SheetTable findings_table(const PlanIndex& index) {
    SheetTable out{"findings-list",
                   "Findings, worst first",
                   {{"Severity"},
                    {"Finding"},
                    {"Where"},
                    {"What"},
                    {"By how much"},
                    {"Cure"},
                    {"Place in the files"}},
                   {}};
    for (const auto& finding : index.plan().findings) {
        Cell severity = text_cell(std::string(to_text(finding.severity)));
        severity.fit = fit_of_severity(finding.severity);
        out.rows.push_back(
            {"",
             {severity, text_cell(finding.id), link_cell(finding.subject, target_of(index, finding.subject)),
              text_cell(finding.what),
              text_cell(finding.amount), text_cell(finding.cure),
              text_cell(finding.place.file.empty() ? "" : to_text(finding.place))}});
    }
    return out;
}

Sheet findings_sheet(const PlanIndex& index) {
    Sheet sheet{"findings", "Findings and summary", "", Scale::none};
    sheet.body = verdict(index.plan().findings) + summary(index);
    if (!index.plan().findings.empty()) sheet.body += to_html(findings_table(index));
    return sheet;
}

}  // namespace mastline
