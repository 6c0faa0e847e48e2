// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "mastline/venue/device_kinds.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

std::string port_names(const Device& device) {
    std::string out;
    for (const auto& port : device.ports) out += (out.empty() ? "" : ", ") + port.name;
    return out;
}

}  // namespace

SheetTable equipment_table(const PlanIndex& index) {
    SheetTable out{
        "equipment-list",
        "Equipment between roof and cards",
        {{"Name"}, {"Kind"}, {"Model"}, {"Position"}, {"Ports"}, {"Least margin", "dB", true}},
        {}};
    const auto add = [&](const std::string& name, std::string_view kind, const std::string& model,
                         const std::string& position, std::string ports,
                         const std::optional<Gain>& margin) {
        Cell figure = margin ? number_cell(margin->db(), 1) : Cell{};
        figure.fit = fit_of(margin);
        out.rows.push_back(
            {index.row_id(name),
             {link_cell(name, index.picture_id(name)), text_cell(std::string(kind)),
              text_cell(model), text_cell(position), text_cell(std::move(ports)), figure}});
    };
    for (const auto& feed : index.venue().feeds)
        add(feed.name, feed.kind == FeedKind::satellite ? "satellite feed" : "antenna", "",
            feed.position, counted(feed.lanes.size(), "lane", "lanes"), std::nullopt);
    for (const auto& device : index.venue().devices) {
        std::optional<Gain> least;
        for (const auto& port : device.ports)
            if (const auto margin = least_margin(index.levels({device.name, port.name})))
                least = std::min(least.value_or(*margin), *margin);
        add(device.name, to_text(device.kind), device.model, device.position, port_names(device),
            least);
    }
    return out;
}

}  // namespace mastline
