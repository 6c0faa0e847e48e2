// SPDX-License-Identifier: Apache-2.0
// The lines of a TOML text, to be edited without touching the others.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace mastline {

class TomlLines {
public:
    explicit TomlLines(std::string_view text);

    std::string text() const;
    std::string_view line(std::size_t number) const { return lines_[number - 1]; }  // from 1

    // Where the value that begins at a column (from 1, in characters) ends: line and byte offset. Texts of every
    // kind, multi-line ones too, and lists are passed over whole.
    struct End {
        std::size_t line, offset;
    };
    End end_of_value(std::size_t line, std::size_t column) const;

    // Everything from the value's first character to its end becomes `value`.
    void replace_value(std::size_t line, std::size_t column, std::string_view value);
    // New lines below `line`; 0: at the top.
    void insert_below(std::size_t line, const std::vector<std::string>& lines);
    // Takes the lines out, `first` and `last` too.
    void erase(std::size_t first, std::size_t last);
    // The line becomes `text`.
    void replace(std::size_t line, std::string text) { lines_[line - 1] = std::move(text); }
    std::size_t count() const { return lines_.size(); }

    // Comments from a line on to the place where a value ends: "# since May"; those behind it on its
    // last line are not among them.
    std::vector<std::string> comments_within(std::size_t line, std::size_t column) const;

private:
    End walk(std::size_t line, std::size_t column, std::vector<std::string>* comments) const;
    std::size_t byte_of(std::size_t line, std::size_t column) const;

    std::vector<std::string> lines_;
    std::string line_end_ = "\n";
    bool ended_ = true;  // the last line has a line end
};

}  // namespace mastline
