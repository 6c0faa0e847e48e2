// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "mastline/text/escape.hpp"
#include "mastline/venue/channel_csv.hpp"

namespace mastline {

namespace {

// The separator that stands most often in the first line that has any, outside quotes.
char separator_of(std::string_view text) {
    std::size_t commas = 0, semicolons = 0, tabs = 0;
    bool quoted = false;
    for (const char c : text) {
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if ((c == '\n' || c == '\r') && commas + semicolons + tabs > 0) break;
        commas += c == ',' ? 1U : 0U;
        semicolons += c == ';' ? 1U : 0U;
        tabs += c == '\t' ? 1U : 0U;
    }
    if (semicolons > commas && semicolons >= tabs) return ';';
    return tabs > commas ? '\t' : ',';
}

class CsvReader {
public:
    CsvReader(std::string_view text, const std::string& file, Findings& findings)
        : rest_(text), separator_(separator_of(text)), place_{file, 1, 1}, findings_(findings) {}

    std::vector<CsvRow> rows() {
        std::vector<CsvRow> out;
        while (!rest_.empty()) {
            CsvRow row = read_row();
            const bool blank = std::all_of(row.fields.begin(), row.fields.end(),
                                           [](const CsvField& f) { return f.text.empty(); });
            if (!blank) out.push_back(std::move(row));
        }
        return out;
    }

private:
    CsvRow read_row() {
        CsvRow row{{}, place_};
        for (;;) {
            row.fields.push_back(read_field());
            if (rest_.empty()) return row;
            const bool more = rest_.front() == separator_;
            advance();
            if (!more) return row;
        }
    }

    CsvField read_field() {
        CsvField field{{}, place_};
        if (!rest_.empty() && rest_.front() == '"') read_quoted(field);
        while (!at_end_of_field()) field.text += advance();
        trim(field.text);
        check_utf8(field);
        return field;
    }

    void read_quoted(CsvField& field) {
        advance();
        for (;;) {
            if (rest_.empty())
                return fault("file.open-quote", field.place, "a quoted field has no closing quote",
                             "end it with \"; a quote inside is written twice");
            if (rest_.front() != '"') {
                field.text += advance();
                continue;
            }
            advance();
            if (rest_.empty() || rest_.front() != '"') break;
            field.text += advance();
        }
        if (!at_end_of_field())
            fault("file.text-after-quote", place_, "text follows a closing quote",
                  "quote the whole field; a quote inside is written twice");
    }

    bool at_end_of_field() const {
        return rest_.empty() || rest_.front() == separator_ || rest_.front() == '\n' ||
               rest_.front() == '\r';
    }

    // One character, or one line end as '\n' however it is written.
    char advance() {
        char c = rest_.front();
        rest_.remove_prefix(1);
        if (c == '\r') {
            if (!rest_.empty() && rest_.front() == '\n') rest_.remove_prefix(1);
            c = '\n';
        }
        if (c == '\n') {
            ++place_.line;
            place_.column = 1;
        } else if ((c & 0xC0) != 0x80) {  // columns count characters, not bytes
            ++place_.column;
        }
        return c;
    }

    static void trim(std::string& text) {
        const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\n'; };
        while (!text.empty() && blank(text.back())) text.pop_back();
        text.erase(text.begin(), std::find_if_not(text.begin(), text.end(), blank));
    }

    void check_utf8(const CsvField& field) {
        for (std::string_view s = field.text; !s.empty();) {
            const auto length = detail::utf8_length(s);
            if (length == 0)
                return fault("file.not-utf8", field.place, "the field is no UTF-8 text",
                             "save the list as CSV in UTF-8");
            s.remove_prefix(length);
        }
    }

    void fault(std::string id, const Place& place, std::string what, std::string cure) {
        findings_.push_back({Severity::error, std::move(id), {}, std::move(what), {}, std::move(cure), place});
    }

    std::string_view rest_;
    char separator_;
    Place place_;
    Findings& findings_;
};

}  // namespace

std::vector<CsvRow> read_csv(std::string_view text, const std::string& file, Findings& findings) {
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    return CsvReader(text, file, findings).rows();
}

}  // namespace mastline
