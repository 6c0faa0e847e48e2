// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/cautions.hpp"
#include "planner/sheets/chain_chart.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/sheet.hpp"

namespace mastline {

namespace {

constexpr std::string_view kLegend =
    "<ul class=\"legend\">"
    "<li><svg width=\"44\" height=\"10\" aria-hidden=\"true\"><path class=\"line\" d=\"M2 "
    "5H42\"/></svg> "
    "lane, margin 2 dB or more, or no window at its end</li>"
    "<li><svg width=\"44\" height=\"10\" aria-hidden=\"true\"><path class=\"line near\" d=\"M2 "
    "5H42\"/></svg> "
    "margin under 2 dB (text: near)</li>"
    "<li><svg width=\"44\" height=\"10\" aria-hidden=\"true\"><path class=\"line out\" "
    "stroke-width=\"2.6\" "
    "d=\"M2 5H42\"/></svg> outside the window (text: OUT)</li>"
    "<li><svg width=\"14\" height=\"10\" aria-hidden=\"true\"><path class=\"tp\" "
    "d=\"M3.5 5a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0 -7 0zm1 -2.5l5 5m0 -5l-5 5\"/></svg> test "
    "point</li>"
    "<li>\u221226.0/\u221228.3: dBm per carrier at the low and the high band edge, nominal; "
    "a\u2026b: lowest and highest of several lanes on one cable; light: optical power in dBm</li>"
    "<li>broken frame: the line goes on in another drawing</li></ul>\n";

}  // namespace

Sheet signal_sheet(const PlanIndex& index) {
    Sheet sheet{"signal", "Signal path", "", Scale::not_to_scale};
    const BoxChart chart = chain_chart(index);
    if (chart.boxes.empty()) {
        sheet.body = "<p>The venue has no feeds and no equipment between roof and cards.</p>\n";
        return sheet;
    }
    sheet.body = std::string(kLegend) +
                 draw_parts(chart, "chain-", "Signal path of " + index.venue().name,
                            "Devices from the roof on the left to card inputs on the right; the "
                            "same facts stand in the tables of the wiring sheet.") +
                 cautions({Work::roof, Work::coax});
    return sheet;
}

}  // namespace mastline
