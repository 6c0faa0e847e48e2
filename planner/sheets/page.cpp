// SPDX-License-Identifier: Apache-2.0
// The document: bar, numbered sheets, a title block on each; in print the title block stands in the
// margin of every page.
#include "planner/sheets/page.hpp"

#include <array>

#include "mastline/text/escape.hpp"
#include "planner/sheets/page_assets.hpp"

namespace mastline {

namespace {

constexpr std::size_t kLarge = 2'000'000;  // bytes that a browser lays out in one go

constexpr std::string_view kUnits =
    "levels dBm per carrier (75 \u03a9), lengths m, rates Mbit/s (10\u2076), frequencies MHz";

// A string of CSS: nothing in it can end the string, the rule or the style element.
std::string css_string(std::string_view text) {
    std::string out = "\"";
    for (const char c : plain_line(text)) {
        switch (c) {
            case '"':
                out += "\\22 ";
                break;
            case '\\':
                out += "\\5c ";
                break;
            case '<':
                out += "\\3c ";
                break;
            default:
                out += c;
        }
    }
    return out + "\"";
}

// Sheets that belong to another are not counted: "4a of 10".
std::string place_text(const Sheet& sheet, std::size_t count) {
    return sheet.number + " of " + std::to_string(count);
}

// The boxes of the bottom margin side by side: the title block of the paper.
constexpr std::string_view kPageBox =
    " { height: 13mm; margin-top: 3mm; vertical-align: middle; text-align: left; white-space: pre-line; font-size: "
    "9pt; "
    "line-height: 1.35; border: 0.35mm solid #000; padding: 0 4mm; ";

std::string block_cell(std::string_view name, std::string_view value, std::string_view attributes = {}) {
    return "<div><dt>" + std::string(name) + "</dt><dd" + std::string(attributes) + ">" + escape_markup(value) + "</dd></div>";
}

std::string title_block(const Sheet& sheet, std::size_t count, const PlanIndex& index) {
    return "<dl class=\"block\">" + block_cell("Venue", index.venue().name) +
           block_cell("Sheet", sheet.title) + block_cell("Number", place_text(sheet, count)) +
           block_cell("Revision", index.plan().lineup.revision, " class=\"revision\"") + block_cell("Units", kUnits) +
           block_cell("Scale", to_text(sheet.scale)) + "</dl>";
}

constexpr std::string_view kHatches =
    "<svg id=\"hatches\" width=\"0\" height=\"0\" aria-hidden=\"true\"><defs><pattern id=\"hatch\" "
    "width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">"
    "<path d=\"M0 0V5\" stroke-width=\"2\"/></pattern></defs></svg>\n";

constexpr std::string_view kPaperStyle = "@page { size: A3 landscape; }";

std::string document_head(const std::string& title, bool is_large, const std::string& attributes, std::string_view policy) {
    return "<!DOCTYPE html>\n<html lang=\"en\"" + std::string(is_large ? " class=\"large\"" : "") + attributes +
           ">\n<head>\n<meta charset=\"utf-8\">\n"
           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n" +
           std::string(policy) + "<title>" + title + "</title>\n<link rel=\"icon\" href=\"data:,\">\n";
}

std::string document_body(const std::string& bar, const std::string& sections) {
    return bar + std::string(kHatches) + "<main id=\"main\">\n" + sections + "</main>\n";
}

}  // namespace

std::string_view to_text(Scale scale) {
    return scale == Scale::not_to_scale ? "not to scale" : "no drawing";
}

std::string page_styles() {
    std::string out = "@page { margin: 10mm 12mm 21mm;";
    for (const auto& [side, rest] :
         {std::pair{"left", "width: calc(30% - 9mm); border-right: 0;"},
          std::pair{"center", "width: calc(40% - 9mm); font-weight: 700;"},
          std::pair{"right", "width: calc(30% - 9mm); border-left: 0;"}})
        out += std::string(" @bottom-") + side + std::string(kPageBox) + rest + " }";
    return out + " }\n";
}

std::string page_rule(const Sheet& sheet, std::size_t count, const PlanIndex& index) {
    const std::string page = "sheet-" + sheet.number;
    const auto line = [](std::string_view head, std::string_view text) {
        return css_string(head) + " \"\\A \" " + css_string(text);
    };
    return "#" + sheet.id + " { page: " + page + "; }\n@page " + page +
           " {\n  @bottom-left { content: " + line("VENUE", index.venue().name) +
           "; }\n  @bottom-center { content: " +
           line("SHEET " + place_text(sheet, count) + ", " + std::string(to_text(sheet.scale)),
                sheet.title) +
           "; }\n  @bottom-right { content: " +
           line("REVISION, PAGE", index.plan().lineup.revision + ", page ") +
           " counter(page) \" of \" counter(pages); }\n}\n";
}

std::string section(const Sheet& sheet, std::size_t count, const PlanIndex& index, std::string_view attributes) {
    return "<section class=\"sheet\" id=\"" + sheet.id + "\" aria-labelledby=\"" + sheet.id +
           "-h\"" + std::string(attributes) + "><div class=\"frame\"><div class=\"head\"><h2 id=\"" + sheet.id +
           "-h\"><span class=\"no\">" + sheet.number + "</span> <span>" +
           escape_markup(sheet.title) + "</span></h2></div>\n" + sheet.body +
           title_block(sheet, count, index) + "</div></section>\n";
}

std::string bar_links(const std::vector<Sheet>& sheets) {
    std::string links;
    for (const auto& sheet : sheets)
        links += "<li><a href=\"#" + sheet.id + "\"><b>" + sheet.number + "</b>" +
                 escape_markup(sheet.title) + "</a></li>";
    return links;
}

bool is_large(std::size_t bytes) { return bytes > kLarge; }

std::string bar(const std::string& links, const std::string& venue) {
    return "<a class=\"skip\" href=\"#main\">To the sheets</a>\n<header class=\"bar\"><h1>" +
           escape_markup(venue) +
           ": document set</h1><div class=\"tools\">"
           "<label>Search <input id=\"search\" type=\"search\" placeholder=\"channel, device, "
           "group\" "
           "aria-describedby=\"found\"></label><span id=\"found\" role=\"status\"></span>"
           "<label>Theme <select id=\"theme\"><option value=\"\">as the system</option>"
           "<option value=\"light\">light</option><option "
           "value=\"dark\">dark</option></select></label>"
           "<label>Paper <select "
           "id=\"paper\"><option>A3</option><option>A4</option></select></label>"
           "<button type=\"button\" id=\"print\">Print</button></div>"
           "<nav aria-label=\"Sheets\"><ol>" +
           links + "</ol></nav></header>\n";
}

std::string document(const std::string& title, const std::string& rules, const std::string& bar,
                     const std::string& sections) {
    return document_head(title, is_large(sections.size()), "",
                         "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                         "style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:\">\n") +
           "<style>\n" + std::string(kPageStyle) + rules + "</style>\n<style id=\"paper-style\">" +
           std::string(kPaperStyle) + "</style>\n</head>\n<body>\n" + document_body(bar, sections) + "<script>\n" +
           std::string(kPageScript) + "</script>\n</body>\n</html>\n";
}

std::string served_document(const std::string& title, const std::string& rules, const std::string& bar,
                            const std::string& sections, bool is_large, const ServedPage& page) {
    const std::string style = "<style nonce=\"" + std::string(page.nonce) + "\" id=\"";
    std::string scripts;
    for (const std::string name : {"desk.js", "page.js", "slip.js"})
        scripts += "<script src=\"" + name + "\" defer></script>\n";
    return document_head(title, is_large, " data-base=\"" + std::string(page.base) + "\"", "") +
           "<link rel=\"stylesheet\" href=\"page.css\">\n<link rel=\"stylesheet\" href=\"desk.css\">\n" + style +
           "sheet-rules\">\n" + rules + "</style>\n" + style + "paper-style\">" + std::string(kPaperStyle) + "</style>\n" +
           scripts + "</head>\n<body>\n" + document_body(bar + std::string(kDeskParts), sections) + "</body>\n</html>\n";
}

std::span<const ServedFile> served_files() {
    static const std::array<ServedFile, 5> all{{{"page.css", "text/css", kPageStyle},
                                                {"desk.css", "text/css", kDeskStyle},
                                                {"page.js", "text/javascript", kPageScript},
                                                {"desk.js", "text/javascript", kDeskScript},
                                                {"slip.js", "text/javascript", kSlipScript}}};
    return all;
}

}  // namespace mastline
