// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/sheet_table.hpp"

#include "mastline/text/escape.hpp"
#include "mastline/units/unit_text.hpp"
#include "planner/sheets/markup.hpp"

namespace mastline {

namespace {

constexpr std::size_t kShort = 24;      // rows that stay on one page
constexpr std::size_t kLongCaption = 90;  // bytes that fit on a line of any paper
constexpr std::size_t kSlim = 6;        // columns of which two stand side by side on small paper too
constexpr std::size_t kUnwrapped = 24;  // columns of text that stay on one line

void write_head(std::string& out, const SheetTable& table) {
    out += "<thead><tr>";
    for (const auto& column : table.columns) {
        out += column.number ? "<th scope=\"col\" class=\"num\">" : "<th scope=\"col\">";
        out += escape_markup(header_text(column)) + "</th>";
    }
    out += "</tr></thead>\n";
}

void write_cell(std::string& out, const Cell& cell, const Column& column) {
    std::string style = column.number ? "num" : "";
    if (!cell.number && cell.text.size() > kUnwrapped && column_count(cell.text) > kUnwrapped)
        style += style.empty() ? "w" : " w";
    if (cell.fit != Fit::untold)
        style += (style.empty() ? "" : " ") + std::string(to_text(cell.fit));
    out += style.empty() ? "<td>" : "<td class=\"" + style + "\">";
    const std::string text =
        cell.number ? typographic(fixed_text(*cell.number, cell.digits)) : escape_markup(cell.text);
    out += cell.target.empty() ? text : "<a href=\"#" + cell.target + "\">" + text + "</a>";
    out += "</td>";
}

}  // namespace

std::string header_text(const Column& column) {
    return column.unit.empty() ? column.name : column.name + " (" + column.unit + ")";
}

std::string_view to_text(Fit fit) {
    switch (fit) {
        case Fit::good:
            return "good";
        case Fit::near:
            return "near";
        case Fit::out:
            return "out";
        case Fit::untold:
            break;
    }
    return "";
}

std::string to_html(const SheetTable& table) {
    const std::string caption = escape_markup(table.caption);
    const bool is_long = table.rows.size() > kShort;
    const std::string columns = !table.is_narrow || !is_long ? "" : table.columns.size() > kSlim ? " narrow" : " narrow slim";
    std::string out = "<div class=\"scroll" + columns +
                      "\" role=\"region\" tabindex=\"0\" aria-label=\"" +
                      caption + "\"><table class=\"list" + (is_long ? "" : " short") + "\" id=\"" + table.id + "\"><caption" +
                      (table.caption.size() > kLongCaption ? " class=\"w\">" : ">") + caption + "</caption>\n";
    write_head(out, table);
    out += "<tbody>\n";
    for (const auto& row : table.rows) {
        out += "<tr" + (row.id.empty() ? "" : " id=\"" + row.id + "\"") + (row.on_screen_only ? " class=\"screen\">" : ">");
        for (std::size_t i = 0; i < row.cells.size(); ++i)
            write_cell(out, row.cells[i], table.columns[i]);
        out += "</tr>\n";
    }
    out += "</tbody></table>";
    if (!table.left_out.empty()) out += "<p class=\"paper\">" + escape_markup(table.left_out) + "</p>";
    out += "</div>\n";
    return out;
}

std::string to_csv(const SheetTable& table) {
    std::string out;
    for (std::size_t i = 0; i < table.columns.size(); ++i)
        out += (i > 0 ? "," : "") + csv_field(header_text(table.columns[i]));
    out += "\r\n";
    for (const auto& row : table.rows) {
        for (std::size_t i = 0; i < row.cells.size(); ++i) {
            const auto& cell = row.cells[i];
            out += i > 0 ? "," : "";
            out += cell.number ? fixed_text(*cell.number, cell.digits) : csv_field(cell.text);
        }
        out += "\r\n";
    }
    return out;
}

}  // namespace mastline
