// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/read_files.hpp"

#include "mastline/verdict/judge.hpp"
#include "mastline/verdict/unasked.hpp"
#include "probe/commands/evidence_files.hpp"
#include "probe/commands/watch_sink.hpp"

namespace mastline {

namespace {

bool is_ours(const FlowObservation& f) { return f.stream || f.fec != FecRole::none; }

LineupReport compare(const std::string& name, const ExpectedLineup& plan,
                     const std::vector<FlowObservation>& flows, const Watch& watch) {
    LineupReport out;
    out.venue = plan.venue;
    out.revision = plan.revision;
    out.where = name;
    out.watched = watch.length();
    out.verdicts = judge_all(plan, flows, watch);
    out.explanations = explain(out.verdicts);
    for (const auto& f : flows) {
        const bool planned = std::ranges::any_of(plan.flows, [&](const Expectation& e) {
            return destination_of(e.flow) == f.destination;
        });
        if (planned) out.observations.push_back(f);
        else if (is_ours(f)) out.unasked.push_back(f);
    }
    out.network = judge_unasked(plan, out.unasked);
    return out;
}

ReadFile read_capture_file(const std::string& path, BlockReader& reader, const ExpectedLineup* plan,
                           const std::string& evidence, unsigned threads) {
    WatchSink sink(threads);
    if (plan != nullptr) {
        const std::size_t kept = evidence.empty() ? 0 : recorded_bytes(plan->flows.size());
        for (const auto& e : plan->flows) sink.flows().expect(destination_of(e.flow), options_of(e, kept));
    }
    FrameDecoder decoder(sink);
    FileReport::Capture capture;
    capture.summary = read_capture(reader, [&](const CapturedFrame& f) { decoder.add(f); });
    capture.counts = decoder.counts();
    capture.membership = sink.membership().observe();
    const auto flows = sink.flows().observe();
    for (const auto& f : flows) {
        if (is_ours(f)) capture.flows.push_back(f);
        else if (f.datagrams > 0) ++capture.other_flows;
    }
    ReadFile out;
    out.report.name = path;
    out.report.capture = std::move(capture);
    if (plan == nullptr) return out;
    out.lineup = compare(path, *plan, flows, sink.seen());
    if (!evidence.empty()) write_evidence(evidence, *plan, sink, {}, *out.lineup);
    return out;
}

std::optional<ReadFile> read_transport_file(const std::string& path, BlockReader& reader) {
    StreamMonitor monitor;
    FileReport::TsFile file;
    file.summary = read_ts_file(reader, [&](const TsRun& run) { monitor.packets(run.packets, run.arrival); });
    if (file.summary.packet_size == 0) return std::nullopt;
    file.stream = monitor.observe();
    ReadFile out;
    out.report.name = path;
    out.report.ts = std::move(file);
    return out;
}

}  // namespace

std::optional<ReadFile> read_any_file(const std::string& path, const ExpectedLineup* plan,
                                      const std::string& evidence, unsigned threads) {
    const auto input = open_input(path);
    BlockReader reader(*input);
    if (is_capture(reader.ahead(4))) return read_capture_file(path, reader, plan, evidence, threads);
    return read_transport_file(path, reader);
}

}  // namespace mastline
