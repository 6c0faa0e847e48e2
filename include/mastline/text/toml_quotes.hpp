// SPDX-License-Identifier: Apache-2.0
// Characters outside ASCII that stand outside the quotes and comments of a TOML text: TOML 1.0 takes
// them nowhere else (keys: "Bare Keys"; blanks: "Whitespace"), and the library's own answer to them
// is undefined (toml++ 3.3, is_non_ascii_horizontal_whitespace).
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

namespace mastline {

struct TextPosition {
    std::size_t line = 1, column = 1;  // column in characters
};

// The first such character; none in a text that is right in this.
inline std::optional<TextPosition> unquoted_non_ascii(std::string_view text) {
    TextPosition at;
    std::string_view quote;  // that ends the text we are in
    bool comment = false;
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto rest = text.substr(i);
        const auto byte = static_cast<unsigned char>(rest[0]);
        if (rest[0] == '\n') {
            ++at.line, at.column = 1;
            comment = false;
            if (quote.size() == 1) quote = {};  // left open: the library says so
            continue;
        }
        const bool continued = (byte & 0xC0) == 0x80;
        if (comment) {
        } else if (!quote.empty()) {
            if (rest[0] == '\\' && quote[0] == '"' && rest.size() > 1 && rest[1] != '\n') ++i, ++at.column;
            else if (rest.starts_with(quote)) i += quote.size() - 1, at.column += quote.size() - 1, quote = {};
        } else if (rest.starts_with("\"\"\"") || rest.starts_with("'''")) {
            quote = rest.substr(0, 3);
            i += 2, at.column += 2;
        } else if (rest[0] == '"' || rest[0] == '\'') {
            quote = rest.substr(0, 1);
        } else if (rest[0] == '#') {
            comment = true;
        } else if (byte >= 0x80) {
            return at;
        }
        if (!continued) ++at.column;
    }
    return std::nullopt;
}

}  // namespace mastline
