// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/read_files.hpp"

#include <filesystem>
#include <fstream>
#include <set>

#include "mastline/text/progress.hpp"
#include "mastline/verdict/judge.hpp"
#include "mastline/verdict/unasked.hpp"
#include "probe/commands/evidence_files.hpp"
#include "probe/commands/make_stills.hpp"
#include "probe/commands/watch_sink.hpp"

namespace mastline {

namespace {

// How far a file is read. Packed files are longer than they look: how long is left is not known then.
class ReadingProgress {
public:
    ReadingProgress(const std::string& path, const BlockReader& reader) : reader_(reader) {
        std::error_code unknown;  // standard input, a pipe
        const auto size = std::filesystem::file_size(path, unknown);
        if (!unknown && !is_packed(path)) whole_ = size;
    }
    // Called for each record: looks at the clock now and then only.
    void step() {
        if ((++steps_ & 0xfff) != 0 || !line_.due(std::chrono::seconds(1))) return;
        line_.draw(bytes_line(reader_.position(), whole_, line_.passed(), line_.width()));
    }

private:
    // By its first two bytes: gzip (RFC 1952 2.3.1), Zstandard (RFC 8878 3.1.1).
    static bool is_packed(const std::string& path) {
        std::array<char, 2> head{};
        std::ifstream(path, std::ios::binary).read(head.data(), 2);
        return (head[0] == '\x1f' && head[1] == '\x8b') || (head[0] == '\x28' && head[1] == '\xb5');
    }

    const BlockReader& reader_;
    ProgressLine line_;
    std::uint64_t whole_ = 0;
    std::uint64_t steps_ = 0;
};

bool is_ours(const FlowObservation& f) { return f.stream || f.fec != FecRole::none; }

// Where more than one carries media or membership messages.
void name_interfaces(const std::vector<std::string>& names, std::vector<FlowObservation>& flows, MembershipObservation& membership) {
    std::set<WireNumber> busy;
    for (const auto& f : flows)
        if (is_ours(f)) busy.insert(f.destination.wire);
    for (const auto& q : membership.queriers) busy.insert(q.wire);
    for (const auto& m : membership.members) busy.insert(m.wire);
    if (busy.size() < 2) return;
    for (auto& f : flows) f.interface = names[f.destination.wire.number];
    for (auto& q : membership.queriers) q.interface = names[q.wire.number];
    for (auto& m : membership.members) m.interface = names[m.wire.number];
}

LineupReport compare(const std::string& name, const ExpectedLineup& plan,
                     const std::vector<FlowObservation>& flows, const Watch& watch) {
    LineupReport out;
    out.venue = plan.venue;
    out.revision = plan.revision;
    out.where = name;
    out.watched = watch.length();
    out.began = watch.start;
    out.verdicts = judge_all(plan, flows, watch);
    out.explanations = explain(out.verdicts);
    for (const auto& f : flows) {
        const bool planned = std::ranges::any_of(plan.flows, [&](const Expectation& e) { return f.goes_to(e.flow); });
        const bool heard_elsewhere = f.datagrams == 0 && std::ranges::any_of(flows, [&](const FlowObservation& other) {
            return other.datagrams > 0 && other.destination.address == f.destination.address && other.destination.port == f.destination.port;
        });
        if (heard_elsewhere) continue;
        if (planned) out.observations.push_back(f);
        else if (is_ours(f)) out.unasked.push_back(f);
    }
    out.network = judge_unasked(plan, out.unasked);
    return out;
}

ReadFile read_capture_file(const std::string& path, BlockReader& reader, const ExpectedLineup* plan,
                           const LineupWishes& wishes, unsigned threads) {
    WatchSink sink(threads);
    if (plan != nullptr) {
        const std::size_t kept = wishes.evidence.empty() ? 0 : recorded_bytes(plan->flows.size());
        expect_lineup(sink.flows(), *plan, kept);
        if (wishes.stills) want_stills(sink.flows(), *plan);
    }
    FrameDecoder decoder(sink);
    FileReport::Capture capture;
    ReadingProgress progress(path, reader);
    capture.summary = read_capture(reader, [&](const CapturedFrame& f) {
        decoder.add(f);
        progress.step();
    });
    capture.counts = decoder.counts();
    capture.membership = sink.membership().observe();
    auto flows = sink.flows().observe();
    name_interfaces(capture.summary.wires, flows, capture.membership);
    for (const auto& f : flows) {
        if (is_ours(f)) capture.flows.push_back(f);
        else if (f.datagrams > 0) ++capture.other_flows;
    }
    ReadFile out;
    out.report.name = path;
    out.report.capture = std::move(capture);
    if (plan == nullptr) return out;
    out.lineup = compare(path, *plan, flows, sink.seen());
    if (!wishes.evidence.empty()) write_evidence(wishes.evidence, *plan, sink, {}, *out.lineup);
    if (wishes.stills) out.lineup->stills = make_stills(sink.flows(), out.lineup->verdicts);
    return out;
}

std::optional<ReadFile> read_transport_file(const std::string& path, BlockReader& reader) {
    StreamMonitor monitor;
    FileReport::TsFile file;
    ReadingProgress progress(path, reader);
    file.summary = read_ts_file(reader, [&](const TsRun& run) {
        monitor.packets(run.packets, run.arrival);
        progress.step();
    });
    if (file.summary.packet_size == 0) return std::nullopt;
    file.stream = monitor.observe();
    ReadFile out;
    out.report.name = path;
    out.report.ts = std::move(file);
    return out;
}

}  // namespace

std::optional<ReadFile> read_any_file(const std::string& path, const ExpectedLineup* plan,
                                      const LineupWishes& wishes, unsigned threads) {
    const auto input = open_input(path);
    BlockReader reader(*input);
    if (is_capture(reader.ahead(4))) return read_capture_file(path, reader, plan, wishes, threads);
    return read_transport_file(path, reader);
}

}  // namespace mastline
