// SPDX-License-Identifier: Apache-2.0
// The sheets in their order and numbers, as one document and each on its own.
#include <algorithm>
#include <cctype>
#include <functional>
#include <future>
#include <unordered_map>

#include "mastline/sheets/served_page.hpp"
#include "mastline/sheets/sheets.hpp"
#include "mastline/text/escape.hpp"
#include "planner/plan/content_hash.hpp"
#include "planner/sheets/page.hpp"

namespace mastline {

namespace {

std::size_t main_count(const std::vector<Sheet>& sheets) {
    return static_cast<std::size_t>(
        std::count_if(sheets.begin(), sheets.end(), [](const Sheet& sheet) {
            return std::isdigit(static_cast<unsigned char>(sheet.number.back()));
        }));
}

// "04a-cable-labels.html"
std::string file_name(const Sheet& sheet) {
    const bool is_short = sheet.number.find_first_not_of("0123456789") == 1 || sheet.number.size() == 1;
    return (is_short ? "0" : "") + sheet.number + "-" + sheet.id + ".html";
}

// Where each id of the set stands, for links from one file to another.
std::unordered_map<std::string, std::size_t> places_of_ids(const std::vector<Sheet>& sheets) {
    static constexpr std::string_view opening = " id=\"";
    std::unordered_map<std::string, std::size_t> out;
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        out[sheets[i].id] = i;
        const std::string_view body = sheets[i].body;
        for (auto at = body.find(opening); at != std::string_view::npos; at = body.find(opening, at)) {
            at += opening.size();
            out[std::string(body.substr(at, body.find('"', at) - at))] = i;
        }
    }
    return out;
}

// Links to other sheets lead to their files.
std::string with_file_links(std::string_view html, std::size_t own, const std::vector<Sheet>& sheets,
                            const std::unordered_map<std::string, std::size_t>& places) {
    static constexpr std::string_view opening = "href=\"#";
    std::string out;
    out.reserve(html.size() + html.size() / 8);
    for (auto at = html.find(opening); at != std::string_view::npos; at = html.find(opening)) {
        at += opening.size();
        const auto end = html.find('"', at);
        const auto place = places.find(std::string(html.substr(at, end - at)));
        out += html.substr(0, at - 1);
        if (place != places.end() && place->second != own) out += file_name(sheets[place->second]);
        out += html.substr(at - 1, end - at + 1);
        html.remove_prefix(end);
    }
    return out + std::string(html);
}

std::string register_of(const std::vector<Sheet>& sheets) {
    std::string rows;
    for (const auto& sheet : sheets)
        rows += "<tr><td>" + sheet.number + "</td><td><a href=\"#" + sheet.id + "\">" +
                escape_markup(sheet.title) + "</a></td><td>" + std::string(to_text(sheet.scale)) +
                "</td></tr>\n";
    return "<table class=\"plain\"><caption>Sheets of this set</caption><thead><tr><th "
           "scope=\"col\">Sheet</th><th scope=\"col\">Title</th><th scope=\"col\">Scale</th></tr>"
           "</thead><tbody>\n" +
           rows + "</tbody></table>\n";
}

std::string set_title(const std::string& venue, const std::string& revision) {
    return escape_markup(venue) + ": document set, revision " + escape_markup(revision);
}

}  // namespace

std::vector<Sheet> all_sheets(const PlanIndex& index) {
    std::vector<Sheet> out;
    int number = 0;
    char letter = 'a';
    const auto add = [&](Sheet sheet) {
        sheet.number = std::to_string(++number);
        letter = 'a';
        out.push_back(std::move(sheet));
    };
    const auto add_to_it = [&](Sheet sheet) {
        sheet.number = std::to_string(number) + letter++;
        out.push_back(std::move(sheet));
    };
    // As long in the making as all others together on a large venue.
    auto what_if = std::async(std::launch::async, what_if_sheet, std::cref(index));
    add(findings_sheet(index));
    add(signal_sheet(index));
    add(ladder_sheet(index));
    add(wiring_sheet(index));
    add_to_it(cable_label_sheet(index));
    add_to_it(test_point_sheet(index));
    add(card_sheet(index));
    add(channel_sheet(index));
    add_to_it(guide_sheet(index));
    add(address_sheet(index));
    add(network_sheet(index));
    add_to_it(agreement_sheet(index));
    add(what_if.get());
    add(cutover_sheet(index));
    out.front().body += register_of(out);
    return out;
}

DocumentSet write_document_set(const Venue& venue, const Plan& plan) {
    const PlanIndex index(venue, plan);
    const auto sheets = all_sheets(index);
    const std::size_t count = main_count(sheets);
    const auto places = places_of_ids(sheets);
    const auto title = set_title(venue.name, plan.lineup.revision), links = bar(bar_links(sheets), venue.name);
    DocumentSet out;
    std::string rules = page_styles(), sections;
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        const std::string rule = page_rule(sheets[i], count, index);
        const std::string text = section(sheets[i], count, index);
        out.sheets.push_back(
            {file_name(sheets[i]),
             document(escape_markup(sheets[i].title) + ": " + title,
                      page_styles() + rule,
                      with_file_links(links, i, sheets, places),
                      with_file_links(text, i, sheets, places))});
        rules += rule;
        sections += text;
    }
    out.whole = document(title, rules, links, sections);
    return out;
}

std::string write_sheets(const Venue& venue, const Plan& plan) {
    return write_document_set(venue, plan).whole;
}

ServedSet make_served_set(const Venue& venue, const Plan& plan) {
    const PlanIndex index(venue, plan);
    const auto sheets = all_sheets(index);
    const std::size_t count = main_count(sheets);
    ServedSet out{plain_line(venue.name), plain_line(plan.lineup.revision), page_styles(), bar_links(sheets), {}, false};
    std::size_t size = 0;
    for (const auto& sheet : sheets) {
        out.rules += page_rule(sheet, count, index);
        const auto hash = hash_text(content_hash(sheet.number + '\0' + sheet.title + '\0' + venue.name + '\0' + sheet.body));
        out.sheets.push_back({sheet.id, hash, section(sheet, count, index, " data-hash=\"" + hash + "\"")});
        size += out.sheets.back().html.size();
    }
    out.is_large = is_large(size);
    return out;
}

std::string write_served_page(const ServedSet& set, const ServedPage& page) {
    std::string sections;
    for (const auto& sheet : set.sheets) sections += sheet.html;
    return served_document(set_title(set.venue, set.revision), set.rules, bar(set.links, set.venue), sections, set.is_large, page);
}

std::string write_empty_page(const ServedPage& page) {
    return served_document("No plan yet", page_styles(), bar("", "No plan yet"), "", false, page);
}

}  // namespace mastline
