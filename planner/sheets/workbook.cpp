// SPDX-License-Identifier: Apache-2.0
#include "mastline/sheets/workbook.hpp"

#include <sys/mman.h>
#include <unistd.h>
#include <xlsxwriter.h>

#include <algorithm>
#include <map>
#include <stdexcept>

#include "mastline/text/escape.hpp"
#include "mastline/units/unit_text.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

constexpr std::size_t kLongestText = 32'767;  // characters in a cell
constexpr double kWidest = 60;                // columns of text; longer ones run on
constexpr std::time_t kCreated = 946'684'800; // 2000-01-01: the bytes follow from the plan alone

void demand(lxw_error error) {
    if (error != LXW_NO_ERROR) throw std::runtime_error(std::string("workbook: ") + lxw_strerror(error));
}

// A file in memory that has a name, which is all that the library writes to.
class MemoryFile {
public:
    MemoryFile() : descriptor_(::memfd_create("workbook", MFD_CLOEXEC)) {
        if (descriptor_ < 0) throw std::runtime_error("workbook: no file in memory");
    }
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    ~MemoryFile() { ::close(descriptor_); }

    std::string name() const { return "/proc/self/fd/" + std::to_string(descriptor_); }
    std::string bytes() const {
        std::string out(static_cast<std::size_t>(::lseek(descriptor_, 0, SEEK_END)), '\0');
        std::size_t done = 0;
        while (done < out.size()) {
            const auto got = ::pread(descriptor_, out.data() + done, out.size() - done,
                                     static_cast<off_t>(done));
            if (got <= 0) throw std::runtime_error("workbook: the file in memory cannot be read");
            done += static_cast<std::size_t>(got);
        }
        return out;
    }

private:
    int descriptor_;
};

// "&" starts a code in the header and footer of a worksheet.
std::string margin_text_of(const std::string& text) {
    std::string out;
    for (const char c : shortened(text, 60)) out += c == '&' ? std::string("&&") : std::string(1, c);
    return out;
}

class Workbook {
public:
    Workbook(const Venue& venue, const Plan& plan) {
        const std::string name = memory_.name();
        book_ = workbook_new(name.c_str());
        if (book_ == nullptr) throw std::runtime_error("workbook: cannot be made");
        header_ = "&L" + margin_text_of(venue.name) + "&C&A&R" + margin_text_of(plan.lineup.revision);
        title_ = plain_line(venue.name), subject_ = "revision " + plain_line(plan.lineup.revision);
        lxw_doc_properties properties{};
        properties.title = title_.data();
        properties.subject = subject_.data();
        properties.created = kCreated;
        demand(workbook_set_properties(book_, &properties));
        head_ = workbook_add_format(book_);
        format_set_bold(head_);
        format_set_text_wrap(head_);
        format_set_align(head_, LXW_ALIGN_VERTICAL_BOTTOM);
        format_set_bottom(head_, LXW_BORDER_MEDIUM);
        format_set_bg_color(head_, 0xE9ECEA);
    }
    Workbook(const Workbook&) = delete;
    Workbook& operator=(const Workbook&) = delete;
    ~Workbook() {
        if (book_ != nullptr) lxw_workbook_free(book_);
    }

    void add(const char* name, const SheetTable& table) {
        lxw_worksheet* sheet = workbook_add_worksheet(book_, name);
        if (sheet == nullptr) throw std::runtime_error(std::string("workbook: no worksheet ") + name);
        const auto columns = static_cast<lxw_col_t>(table.columns.size());
        for (lxw_col_t c = 0; c < columns; ++c) {
            demand(worksheet_write_string(sheet, 0, c, header_text(table.columns[c]).c_str(), head_));
            demand(worksheet_set_column(sheet, c, c, width_of(table, c), nullptr));
        }
        for (std::size_t r = 0; r < table.rows.size(); ++r)
            for (lxw_col_t c = 0; c < columns; ++c)
                write(sheet, static_cast<lxw_row_t>(r + 1), c, table.rows[r].cells[c]);
        worksheet_freeze_panes(sheet, 1, 0);
        demand(worksheet_autofilter(sheet, 0, 0, static_cast<lxw_row_t>(table.rows.size()),
                                    static_cast<lxw_col_t>(columns - 1)));
        lay_out_print(sheet);
    }

    std::string finish() {
        const lxw_error error = workbook_close(book_);  // frees it too
        book_ = nullptr;
        demand(error);
        return memory_.bytes();
    }

private:
    void write(lxw_worksheet* sheet, lxw_row_t row, lxw_col_t column, const Cell& cell) {
        if (cell.number)
            demand(worksheet_write_number(sheet, row, column, *cell.number,
                                          format_of(cell.digits, cell.fit)));
        else if (!cell.text.empty())
            demand(worksheet_write_string(sheet, row, column,
                                          shortened(cell.text, kLongestText).c_str(),
                                          format_of(-1, cell.fit)));
    }

    // digits -1: a text.
    lxw_format* format_of(int digits, Fit fit) {
        if (digits < 0 && fit == Fit::untold) return nullptr;
        auto& format = formats_[{digits, fit}];
        if (format != nullptr) return format;
        format = workbook_add_format(book_);
        if (digits >= 0)
            format_set_num_format(
                format, digits == 0 ? "0" : ("0." + std::string(static_cast<std::size_t>(digits), '0')).c_str());
        if (fit == Fit::out) format_set_font_color(format, 0xA3121B), format_set_bold(format);
        if (fit == Fit::near) format_set_font_color(format, 0x7A4A00);
        if (fit == Fit::good) format_set_font_color(format, 0x1C5F3C);
        return format;
    }

    // Wide enough for the longest word of the header and, within reason, for the longest cell; the
    // arrow of the filter takes its part.
    static double width_of(const SheetTable& table, lxw_col_t c) {
        const std::string head = header_text(table.columns[c]);
        std::size_t widest = 0;
        for (std::size_t at = 0; at <= head.size();) {
            const auto end = std::min(head.find(' ', at), head.size());
            widest = std::max(widest, column_count(std::string_view(head).substr(at, end - at)) + 2);
            at = end + 1;
        }
        for (const auto& row : table.rows) {
            const Cell& cell = row.cells[c];
            widest = std::max(widest, cell.number ? fixed_text(*cell.number, cell.digits).size()
                                                  : column_count(cell.text));
        }
        return std::min(static_cast<double>(widest) + 1.5, kWidest);
    }

    void lay_out_print(lxw_worksheet* sheet) const {
        worksheet_set_landscape(sheet);
        worksheet_set_paper(sheet, 9);  // A4
        worksheet_fit_to_pages(sheet, 1, 0);
        demand(worksheet_repeat_rows(sheet, 0, 0));
        demand(worksheet_set_header(sheet, header_.c_str()));
        demand(worksheet_set_footer(sheet, "&R&P of &N"));
    }

    MemoryFile memory_;
    lxw_workbook* book_ = nullptr;
    lxw_format* head_ = nullptr;
    std::map<std::pair<int, Fit>, lxw_format*> formats_;
    std::string header_, title_, subject_;
};

}  // namespace

std::string write_workbook(const Venue& venue, const Plan& plan) {
    const PlanIndex index(venue, plan);
    Workbook book(venue, plan);
    book.add("Channel map", channel_table(index));
    book.add("Wiring", wiring_table(index));
    book.add("Settings", settings_table(index));
    book.add("Parts", parts_table(index));
    book.add("Power supplies", supply_table(index));
    book.add("Fed parts", fed_part_table(index));
    book.add("Carrier to noise", noise_table(index));
    book.add("Test points", test_point_table(index));
    book.add("Cards", card_table(index));
    book.add("Addresses", address_table(index));
    book.add("Link loads", load_table_in_full(index));
    book.add("Switches", switch_table(index));
    return book.finish();
}

}  // namespace mastline
