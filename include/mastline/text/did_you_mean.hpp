// SPDX-License-Identifier: Apache-2.0
// The known word nearest to a mistyped one.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mastline {

// Edit distance with transposition of neighbours (optimal string alignment).
inline std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
    for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i)
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t cost = a[i - 1] == b[j - 1] ? 0 : 1;
            d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + cost});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
        }
    return d[a.size()][b.size()];
}

// None when nothing is near enough (more than a third of the letters differ). Words longer than
// 64 letters are not compared.
template <class Words>
std::optional<std::string> nearest_word(std::string_view word, const Words& known) {
    std::optional<std::string> best;
    std::size_t best_distance = std::max<std::size_t>(1, word.size() / 3) + 1;
    for (const auto& candidate : known) {
        const std::string_view text(candidate);
        if (word.size() > 64 || text.size() > 64) continue;
        const auto distance = edit_distance(word, text);
        if (distance < best_distance) best_distance = distance, best = std::string(text);
    }
    return best;
}

// "unknown device kind 'spliter'; ..." helper: "did you mean 'splitter'?" or the list of all.
template <class Words>
std::string suggestion(std::string_view word, const Words& known) {
    if (const auto near = nearest_word(word, known)) return "did you mean '" + *near + "'?";
    std::string list;
    std::size_t count = 0;
    for (const auto& candidate : known) {
        if (++count > 20) return "known: " + list + ", ...";
        list += (list.empty() ? "" : ", ") + std::string(candidate);
    }
    return list.empty() ? "none is known" : "known: " + list;
}

}  // namespace mastline
