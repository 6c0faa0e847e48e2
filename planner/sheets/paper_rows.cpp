// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/paper_rows.hpp"

#include <algorithm>
#include <map>

#include "planner/sheets/markup.hpp"

namespace mastline {

namespace {
constexpr std::size_t kOnPaper = 40;     // rows of each kind
constexpr std::size_t kNotWorthIt = 80;  // rows of a kind that all go on paper
}  // namespace

void choose_for_paper(SheetTable& table, const std::vector<RowWeight>& weights, const std::string& order,
                      const std::string& file) {
    std::map<std::string, std::vector<std::size_t>> kinds;
    for (std::size_t i = 0; i < weights.size(); ++i) kinds[weights[i].kind].push_back(i);
    std::string counts;
    for (auto& [kind, rows] : kinds) {
        if (rows.size() <= kNotWorthIt) continue;
        std::stable_sort(rows.begin(), rows.end(),
                         [&](std::size_t a, std::size_t b) { return weights[a].rank > weights[b].rank; });
        std::size_t left = 0;
        for (std::size_t i = kOnPaper; i < rows.size(); ++i) {
            table.rows[rows[i]].on_screen_only = !weights[rows[i]].matters;
            left += weights[rows[i]].matters ? 0 : 1;
        }
        if (left > 0) counts += (counts.empty() ? "" : ", ") + counted(left, kind, kind.ends_with("ch") ? kind + "es" : kind + "s");
    }
    if (counts.empty()) return;
    table.left_out = "Left out on paper: " + counts + ". Printed are " + order + ". All stand on the screen" +
                     (file.empty() ? "" : " and in " + file) + ".";
}

}  // namespace mastline
