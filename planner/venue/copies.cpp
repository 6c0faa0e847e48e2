// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/copies.hpp"

#include <charconv>
#include <optional>

namespace mastline {

namespace {

// The number that "{}" or "{+4}" adds; none when the braces hold anything else.
std::optional<int> offset_of(std::string_view inside) {
    if (inside.empty()) return 0;
    if (inside[0] != '+') return std::nullopt;
    int n = 0;
    const auto [end, ec] = std::from_chars(inside.data() + 1, inside.data() + inside.size(), n);
    if (ec != std::errc{} || end != inside.data() + inside.size() || n < 0 || n > 100'000)
        return std::nullopt;
    return n;
}

}  // namespace

std::string copy_text(std::string_view text, int number) {
    std::string out;
    while (!text.empty()) {
        const auto open = text.find('{');
        const auto close = open == std::string_view::npos ? open : text.find('}', open);
        if (close == std::string_view::npos) break;
        out += text.substr(0, open);
        const auto offset = offset_of(text.substr(open + 1, close - open - 1));
        if (offset) out += std::to_string(number + *offset);
        else out += text.substr(open, close - open + 1);
        text.remove_prefix(close + 1);
    }
    return out.append(text);
}

std::string copy_name(std::string_view text, int number, int count) {
    auto name = copy_text(text, number);
    if (count > 1 && name == text) name += "-" + std::to_string(number);
    return name;
}

}  // namespace mastline
