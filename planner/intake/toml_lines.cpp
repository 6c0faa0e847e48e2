// SPDX-License-Identifier: Apache-2.0
#include "planner/intake/toml_lines.hpp"

#include <algorithm>

namespace mastline {

TomlLines::TomlLines(std::string_view text) {
    if (text.find("\r\n") != std::string_view::npos) line_end_ = "\r\n";
    while (!text.empty()) {
        const auto end = text.find('\n');
        std::string_view line = text.substr(0, end);
        if (line.ends_with('\r')) line.remove_suffix(1);
        lines_.emplace_back(line);
        ended_ = end != std::string_view::npos;
        text.remove_prefix(ended_ ? end + 1 : text.size());
    }
}

std::string TomlLines::text() const {
    std::string out;
    for (std::size_t i = 0; i < lines_.size(); ++i)
        out += lines_[i] + (i + 1 < lines_.size() || ended_ ? line_end_ : "");
    return out;
}

std::size_t TomlLines::byte_of(std::size_t line, std::size_t column) const {
    const std::string& text = lines_[line - 1];
    std::size_t at = 0;
    for (std::size_t c = 1; c < column && at < text.size(); ++c)
        do ++at;
        while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80);
    return at;
}

TomlLines::End TomlLines::end_of_value(std::size_t line, std::size_t column) const { return walk(line, column, nullptr); }

std::vector<std::string> TomlLines::comments_within(std::size_t line, std::size_t column) const {
    std::vector<std::string> out;
    walk(line, column, &out);
    return out;
}

// Passes over one value; the comments between its parts go to `comments` where it is given.
TomlLines::End TomlLines::walk(std::size_t line, std::size_t column, std::vector<std::string>* comments) const {
    End at{line, byte_of(line, column)};
    int depth = 0;
    std::string_view quote;  // that ends the text we are in
    for (; at.line <= lines_.size(); ++at.line, at.offset = 0) {
        const std::string_view text = lines_[at.line - 1];
        for (; at.offset < text.size(); ++at.offset) {
            const auto rest = text.substr(at.offset);
            if (!quote.empty()) {
                if (quote[0] == '"' && rest[0] == '\\') ++at.offset;
                else if (rest.starts_with(quote)) {
                    // One or two quotes may stand right before the three that end a text.
                    while (quote.size() == 3 && text.substr(at.offset + 1).starts_with(quote)) ++at.offset;
                    at.offset += quote.size() - 1, quote = {};
                }
            } else if (rest.starts_with("\"\"\"") || rest.starts_with("'''")) {
                quote = rest[0] == '"' ? "\"\"\"" : "'''";
                at.offset += 2;
            } else if (rest[0] == '"' || rest[0] == '\'') {
                quote = rest[0] == '"' ? "\"" : "'";
            } else if (rest[0] == '#') {
                if (comments != nullptr && depth > 0) comments->emplace_back(rest);
                break;
            } else if (rest[0] == '[' || rest[0] == '{') {
                ++depth;
            } else if (depth == 0 && (rest[0] == ',' || rest[0] == ']' || rest[0] == '}')) {
                break;  // the value was one of a list
            } else if (rest[0] == ']' || rest[0] == '}') {
                --depth;
            }
        }
        if (depth == 0 && quote.empty()) {
            while (at.offset > 0 && (text[at.offset - 1] == ' ' || text[at.offset - 1] == '\t')) --at.offset;
            return at;
        }
    }
    return {lines_.size(), lines_.empty() ? 0 : lines_.back().size()};
}

void TomlLines::replace_value(std::size_t line, std::size_t column, std::string_view value) {
    const End end = end_of_value(line, column);
    const std::string tail = lines_[end.line - 1].substr(end.offset);
    lines_[line - 1] = lines_[line - 1].substr(0, byte_of(line, column)) + std::string(value) + tail;
    lines_.erase(lines_.begin() + static_cast<std::ptrdiff_t>(line), lines_.begin() + static_cast<std::ptrdiff_t>(end.line));
}

void TomlLines::erase(std::size_t first, std::size_t last) {
    lines_.erase(lines_.begin() + static_cast<std::ptrdiff_t>(first) - 1, lines_.begin() + static_cast<std::ptrdiff_t>(last));
}

void TomlLines::insert_below(std::size_t line, const std::vector<std::string>& lines) {
    lines_.insert(lines_.begin() + static_cast<std::ptrdiff_t>(line), lines.begin(), lines.end());
    ended_ = true;
}

}  // namespace mastline
