// SPDX-License-Identifier: Apache-2.0
// The target of a request taken apart, and put together again (RFC 3986 sections 2.1 and 3.4).
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "mastline/web/http.hpp"

namespace mastline {

// `plus_is_space`: as forms write it. None: a '%' without two hexadecimal digits, or a zero byte.
inline std::optional<std::string> percent_decoded(std::string_view text, bool plus_is_space) {
    const auto digit = [](char c) {
        if (c >= '0' && c <= '9') return c - '0';
        if (c >= 'a' && c <= 'f') return c - 'a' + 10;
        if (c >= 'A' && c <= 'F') return c - 'A' + 10;
        return -1;
    };
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        char c = text[i];
        if (c == '%') {
            if (i + 2 >= text.size()) return std::nullopt;
            const int high = digit(text[i + 1]), low = digit(text[i + 2]);
            if (high < 0 || low < 0) return std::nullopt;
            c = static_cast<char>(high * 16 + low);
            i += 2;
        } else if (c == '+' && plus_is_space) {
            c = ' ';
        }
        if (c == '\0') return std::nullopt;
        out += c;
    }
    return out;
}

// Everything but unreserved characters (and what `kept` names) as %XX.
inline std::string percent_encoded(std::string_view text, std::string_view kept = {}) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    std::string out;
    for (const char c : text) {
        const bool plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           std::string_view("-._~").find(c) != std::string_view::npos ||
                           kept.find(c) != std::string_view::npos;
        const auto byte = static_cast<unsigned char>(c);
        if (plain) out += c;
        else out += std::string("%") + digits[byte >> 4] + digits[byte & 15];
    }
    return out;
}

struct RequestTarget {
    std::string path;
    TextPairs query;
};

// None: no path from the root, or wrongly encoded.
inline std::optional<RequestTarget> parse_target(std::string_view text) {
    RequestTarget out;
    const auto mark = text.find('?');
    const auto path = percent_decoded(text.substr(0, mark), false);
    if (!path || !path->starts_with('/')) return std::nullopt;
    out.path = *path;
    std::string_view rest = mark == std::string_view::npos ? std::string_view() : text.substr(mark + 1);
    while (!rest.empty()) {
        const auto part = rest.substr(0, rest.find('&'));
        rest.remove_prefix(std::min(part.size() + 1, rest.size()));
        if (part.empty()) continue;
        const auto equals = part.find('=');
        const auto name = percent_decoded(part.substr(0, equals), true);
        const auto value = percent_decoded(equals == std::string_view::npos ? std::string_view() : part.substr(equals + 1), true);
        if (!name || !value) return std::nullopt;
        out.query.emplace_back(*name, *value);
    }
    return out;
}

// The target without the parameters of that name. A path that would read as another host ("//x") keeps
// one slash.
inline std::string target_without(const RequestTarget& target, std::string_view name) {
    std::string out = "/" + percent_encoded(target.path.substr(std::min(target.path.find_first_not_of('/'), target.path.size())), "/");
    char between = '?';
    for (const auto& pair : target.query) {
        if (pair.first == name) continue;
        out += between + percent_encoded(pair.first) + "=" + percent_encoded(pair.second);
        between = '&';
    }
    return out;
}

}  // namespace mastline
