// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/programme.hpp"

#include <algorithm>
#include <map>

#include "mastline/mpeg/stream_kind.hpp"
#include "planner/venue/read_rate.hpp"

namespace mastline {

namespace {

// PIDs 0 to 31 carry tables (ISO/IEC 13818-1 table 2-3, EN 300 468 table 1), 8191 is null packets.
constexpr std::int64_t kLeastPid = 0x20, kGreatestPid = 0x1FFE;

Pid read_pid(TableReader& reader, std::string_view key, Pid otherwise) {
    const auto pid = reader.integer(key, kLeastPid, kGreatestPid);
    return pid ? Pid(static_cast<std::uint16_t>(*pid)) : otherwise;
}

void check_language(TableReader& reader, const std::string& language) {
    const bool good = language.size() == 3 && std::all_of(language.begin(), language.end(), [](char c) {
                          return c >= 'a' && c <= 'z';
                      });
    if (!language.empty() && !good)
        reader.fault("lineup.bad-language", reader.place_of("language"),
                     "'" + language + "' is no language code",
                     "ISO 639-2 codes are three small letters: \"eng\"");
}

ExpectedComponent read_component(TableReader& reader) {
    ExpectedComponent out;
    out.pid = read_pid(reader, "pid", kNullPid);
    out.kind = reader.text("kind").value_or("");
    out.language = reader.text("language").value_or("");
    check_language(reader, out.language);
    if (out.kind.empty() || stream_kind_named(out.kind)) return out;
    std::vector<std::string_view> known;
    for (const auto& kind : kStreamKinds) known.push_back(kind.name);
    reader.fault("lineup.unknown-stream-kind", reader.place_of("kind"),
                 "unknown stream kind '" + out.kind + "'", suggestion(out.kind, known));
    return out;
}

// The PCR is usually carried by the video (common practice).
Pid usual_pcr_pid(const std::vector<ExpectedComponent>& components) {
    for (const auto& component : components) {
        const auto kind = stream_kind_named(component.kind);
        if (kind && kind->video) return component.pid;
    }
    return components.empty() ? kNullPid : components.front().pid;
}

void check_pmt_pid(TableReader& reader, const Programme& programme) {
    const bool clash = std::any_of(programme.components.begin(), programme.components.end(),
                                   [&](const auto& c) { return c.pid == programme.pmt_pid; });
    if (programme.pmt_pid == kNullPid) return;
    const std::string pid = std::to_string(programme.pmt_pid.value());
    if (clash)
        reader.fault("lineup.pid-clash", reader.place_of("pmt_pid"),
                     "PID " + pid + " is that of the PMT and of a component",
                     "give each its own PID");
    if (programme.pcr_pid == programme.pmt_pid)
        reader.fault("lineup.pcr-on-pmt", reader.place_of("pcr_pid"),
                     "PID " + pid + " is that of the PMT; the PCR cannot be there",
                     "name the PID of the video, or one of its own");
}

}  // namespace

void read_components(TableReader& reader, const TableDoc& doc, Programme& programme) {
    std::map<Pid, Place> seen;
    for (const auto* table : reader.tables("component")) {
        TableReader inner(*table, doc, reader.findings());
        const auto component = read_component(inner);
        const auto [first, fresh] = seen.emplace(component.pid, inner.place_of("pid"));
        if (!fresh && component.pid != kNullPid)
            inner.fault("lineup.pid-clash", inner.place_of("pid"),
                        "PID " + std::to_string(component.pid.value()) +
                            " is already a component's at " + to_text(first->second),
                        "give each component its own PID");
        programme.components.push_back(component);
    }
}

void read_programme(TableReader& reader, Programme& out) {
    if (const auto number = reader.integer("program_number", 1, 65535))
        out.program_number = {static_cast<std::uint16_t>(*number)};
    out.service_name = reader.text("service_name").value_or("");
    out.provider = reader.text("provider").value_or("");
    out.pmt_pid = read_pid(reader, "pmt_pid", out.pmt_pid);
    out.pcr_pid = read_pid(reader, "pcr_pid", usual_pcr_pid(out.components));
    check_pmt_pid(reader, out);
    out.rate = read_rate(reader, "rate").value_or(BitRate());
    out.peak = read_rate(reader, "peak");
    if (out.peak && *out.peak < out.rate)
        reader.fault("lineup.peak-below-rate", reader.place_of("peak"),
                     "the peak " + to_text(*out.peak) + " is less than the mean rate " +
                         to_text(out.rate),
                     "give the greatest rate, or leave it out where the rate is constant");
}

}  // namespace mastline
