// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/evidence_files.hpp"

#include <filesystem>

#include "mastline/report/page.hpp"
#include "mastline/source/pcap_writer.hpp"
#include "probe/commands/output.hpp"

namespace mastline {

namespace {

constexpr std::size_t kMostPerFlow = 1024 * 1024;
constexpr std::size_t kMostInAll = 128 * kMostPerFlow;
constexpr const char* kMembershipFile = "membership";

std::string counted(std::uint64_t n, const std::string& noun) {
    return std::to_string(n) + " " + noun + (n == 1 ? "" : "s");
}

// What did arrive, where a flow did not.
std::string arrivals(const Verdict& verdict, const LineupReport& report, const MembershipObservation& membership,
                     const std::string& blind) {
    std::uint64_t flows = 0;
    for (const auto& f : report.observations) flows += f.datagrams > 0 ? 1 : 0;
    std::string out = counted(flows, "other planned flow") + " arrived in the same time";
    if (!report.unasked.empty()) out += ", and " + counted(report.unasked.size(), "flow") + " that nobody planned";
    if (!blind.empty()) return out + ". Membership messages were not seen: " + blind + ".";
    std::string members;
    for (const auto& m : membership.members)
        if (m.group == verdict.flow.group)
            members += (members.empty() ? "" : ", ") + to_text(m.address) + (m.left ? " (left)" : "");
    out += members.empty() ? ". No membership report for the group was seen"
                           : ". Membership was reported by " + members;
    if (membership.queriers.empty()) return out + "; nobody asked for memberships.";
    out += "; queries came from ";
    for (const auto& q : membership.queriers)
        out += (&q == &membership.queriers.front() ? "" : ", ") + to_text(q.address);
    return out + ".";
}

}  // namespace

std::size_t recorded_bytes(std::size_t flows) {
    return std::min(kMostPerFlow, kMostInAll / std::max<std::size_t>(flows, 1));
}

void write_evidence(const std::string& folder, const ExpectedLineup& plan, const WatchSink& sink,
                    const std::string& blind, LineupReport& report) {
    std::filesystem::create_directories(folder);
    EvidenceFolder out{folder, {}, {}};
    const auto membership = sink.membership().observe();
    for (std::size_t i = 0; i < report.verdicts.size(); ++i) {
        const Verdict& verdict = report.verdicts[i];
        if (verdict.outcome() != Outcome::failed) continue;
        const auto recording = sink.flows().recording({verdict.flow.group.address(), verdict.flow.port, verdict.wire}).value_or(Recording{});
        Evidence item = make_evidence(verdict, plan.flows[i], plan, recording);
        if (item.file.empty()) item.remark = arrivals(verdict, report, membership, blind);
        else write_output(folder + "/" + item.file, capture_of(recording.packets));
        out.items.push_back(std::move(item));
    }
    if (const auto kept = sink.membership_packets().packets(); !kept.empty()) {
        out.membership_file = kMembershipFile + std::string(capture_ending(kept));
        write_output(folder + "/" + out.membership_file, capture_of(kept));
    }
    report.evidence = std::move(out);
    write_output(folder + "/index.html", evidence_page(report));
}

std::string folder_from_page(const std::string& folder, const std::string& page) {
    namespace fs = std::filesystem;
    if (folder.empty() || page == "-") return folder;
    const fs::path near = fs::absolute(folder).lexically_normal().lexically_relative(
        fs::absolute(page).lexically_normal().parent_path());
    return near.empty() ? folder : near.string();
}

}  // namespace mastline
