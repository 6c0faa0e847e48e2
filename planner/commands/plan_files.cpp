// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/plan_files.hpp"

#include "mastline/plan/write_plan.hpp"
#include "mastline/readings/readings_template.hpp"
#include "mastline/sheets/playlist.hpp"
#include "mastline/sheets/sdp.hpp"
#include "mastline/sheets/sheets.hpp"
#include "mastline/sheets/snooping_config.hpp"
#include "mastline/sheets/workbook.hpp"
#include "planner/commands/session_version.hpp"

namespace mastline {

namespace {

const FecPolicy* fec_of(const Venue& venue, const Expectation& flow) {
    const auto& fec = venue.addressing.fec;
    if (!fec) return nullptr;
    for (const auto& channel : venue.channels)
        if (to_text(channel.number) == flow.channel)
            for (const auto picture : fec->classes)
                if (picture == channel.picture) return &*fec;
    return nullptr;
}

std::string session_of(const Venue& venue, const Expectation& flow, const EarlierSession& earlier) {
    const auto written = [&](std::uint64_t version) {
        return write_sdp(flow, version, fec_of(venue, flow));
    };
    return written(session_version(earlier(sdp_name(flow)), written));
}

}  // namespace

std::string sdp_name(const Expectation& flow) {
    return flow.channel + (flow.copy > 1 ? "-" + std::to_string(flow.copy) : "") + ".sdp";
}

std::vector<OutputFile> plan_files(const Venue& venue, const Plan& plan,
                                   const std::filesystem::path& folder,
                                   const EarlierSession& earlier) {
    DocumentSet set = write_document_set(venue, plan);
    std::vector<OutputFile> files{{folder / "plan.toml", write_plan(venue, plan)},
                                  {folder / "sheets.html", std::move(set.whole)},
                                  {folder / "plan.xlsx", write_workbook(venue, plan)},
                                  {folder / "channels.csv", channels_csv(venue, plan)},
                                  {folder / "wiring.csv", wiring_csv(venue, plan)},
                                  {folder / "settings.csv", settings_csv(venue, plan)},
                                  {folder / "parts.csv", parts_csv(venue, plan)},
                                  {folder / "power.csv", power_csv(venue, plan)},
                                  {folder / "addresses.csv", addresses_csv(venue, plan)},
                                  {folder / "loads.csv", loads_csv(venue, plan)},
                                  {folder / "readings.csv", readings_template(venue, plan.signal)},
                                  {folder / "lineup.xspf", write_playlist(plan.lineup)}};
    for (auto& sheet : set.sheets)
        files.push_back({folder / "sheets" / sheet.name, std::move(sheet.html)});
    for (const auto& flow : plan.lineup.flows)
        files.push_back({folder / "sdp" / sdp_name(flow), session_of(venue, flow, earlier)});
    for (auto& config : write_snooping_configs(venue, plan.network))
        files.push_back({folder / "snooping" / config.file_name, std::move(config.json)});
    return files;
}

}  // namespace mastline
