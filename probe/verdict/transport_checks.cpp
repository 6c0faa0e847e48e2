// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "probe/verdict/checklist.hpp"

namespace mastline {

namespace {

// ISO/IEC 13818-1, 2.7.2: at most 100 ms between PCRs; TS 101 154 recommends 40 ms.
constexpr Duration kPcrLimit = std::chrono::milliseconds(100);
constexpr Duration kPcrAdvice = std::chrono::milliseconds(40);

std::string milliseconds(Duration d) {
    return fixed_text(static_cast<double>(d.count()) / 1e6, 3) + " ms";
}

std::string milliseconds(Duration d, Duration limit) { return time_text(d, limit, TimeUnit::milliseconds, 3); }

std::string times(const StreamObservation& stream, const Watch& watch, std::string_view number) {
    const auto* found = indicator(stream, number);
    return found == nullptr ? std::string() : when(watch, found->found);
}

std::string joined(const std::string& a, const std::string& b) {
    return a.empty() || b.empty() ? a + b : a + "; " + b;
}

void check_sync(const Case& c, const StreamObservation& s, Checklist& list) {
    const std::string expected = "every packet starts with 0x47";
    if (s.packets == 0 && is_cut(c)) list.skip("stream.sync", kCut);
    else if (s.packets == 0) list.fail("stream.sync", expected, "sync was never found");
    else if (s.sync_losses > 0)
        list.fail("stream.sync", expected, "sync was lost " + counted(s.sync_losses, "time*"),
                  joined(counted(s.sync_byte_errors, "wrong sync byte*"),
                         times(s, c.watch, "1.1")));
    else if (s.sync_byte_errors > 0)
        list.fail("stream.sync", expected, counted(s.sync_byte_errors, "wrong sync byte*"),
                  times(s, c.watch, "1.2"));
    else list.pass("stream.sync", expected, std::to_string(s.packets) + " packets in sync");
}

void check_continuity(const Case& c, const StreamObservation& s, Checklist& list) {
    std::string pids;
    for (const auto& p : s.pids)
        if (p.continuity_errors > 0)
            pids += (pids.empty() ? "PID " : ", ") + std::to_string(p.pid.value()) + " (" +
                    std::to_string(p.continuity_errors) + ")";
    const std::uint64_t of_repeats = c.seen.repeats_continuity_errors;
    const std::string repeats = of_repeats == 0 ? "" : std::to_string(of_repeats) + " of them in repeated datagrams";
    list.count("stream.continuity", s.continuity_errors, "continuity error*",
               joined(repeats, joined(pids, times(s, c.watch, "1.4"))));
}

void check_crc(const Case& c, const StreamObservation& s, Checklist& list) {
    std::uint64_t all = 0;
    std::string tables;
    for (const auto& e : s.crc_errors) {
        all += e.count;
        tables += (tables.empty() ? "PID " : ", ") + std::to_string(e.pid.value());
    }
    list.count("stream.crc", all, "table section* with a wrong CRC",
               joined(tables, times(s, c.watch, "2.2")));
}

// How far PCRs are from where their bytes stand in a stream that null packets hold at one rate; none
// where the rate may vary or bytes are missing. What the network does to arrival does not touch it.
std::optional<Duration> jitter_by_position(const Case& c, const StreamObservation& s, const PcrObservation& pcr) {
    const bool stuffed = s.null_packets * 200 > s.packets;
    const bool whole = s.continuity_errors == 0 && c.seen.own_drops == 0 && !c.seen.own_drops_possible && (!c.seen.rtp || c.seen.rtp->lost == 0);
    if (!stuffed || !whole || !pcr.rate || !pcr.max_interval || pcr.rate->mean <= BitRate()) return std::nullopt;
    // The lowest rate is that of the PCR interval that came out longest against its bytes.
    const double low = static_cast<double>(pcr.rate->min.bits_per_second()) /
                       static_cast<double>(pcr.rate->mean.bits_per_second());
    return Duration(std::llround((1 - low) * static_cast<double>(pcr.max_interval->count())));
}

void check_jitter(const Case& c, const StreamObservation& s, const PcrObservation& pcr, Checklist& list) {
    const std::string expected = "at most " + milliseconds(kPositionJitterLimit) + " in the stream, " +
                                 milliseconds(kJitterLimit) + " on arrival";
    const auto position = jitter_by_position(c, s, pcr);
    if (position && *position > kPositionJitterLimit)
        list.fail("stream.pcr-jitter", expected, milliseconds(*position, kPositionJitterLimit) + " in the stream",
                  "against the place of the PCRs in a stream of constant rate");
    else if (!pcr.jitter.judged) list.skip("stream.pcr-jitter", pcr.jitter.reason);
    else if (pcr.jitter.drift_free > kJitterLimit)
        list.fail("stream.pcr-jitter", expected, milliseconds(pcr.jitter.drift_free, kJitterLimit) + " on arrival",
                  "peak to peak, drift of " + fixed_text(pcr.jitter.drift_ppm, 1) + " ppm taken away");
    else if (pcr.jitter.drift_free > kJitterAdvice)
        list.note("stream.pcr-jitter", expected, milliseconds(pcr.jitter.drift_free, kJitterAdvice) + " on arrival",
                  "more than the " + milliseconds(kJitterAdvice) + " that every display takes");
    else list.pass("stream.pcr-jitter", expected, milliseconds(pcr.jitter.drift_free) + " on arrival");
}

void check_clock(const Case& c, const StreamObservation& s, Checklist& list) {
    const auto found = std::ranges::find(s.pcrs, c.expected.pcr_pid, &PcrObservation::pid);
    if (found == s.pcrs.end() || found->count == 0) {
        if (is_cut(c)) return list.skip("stream.pcr-interval", kCut);
        const bool told = c.watch.start && c.watch.length() >= std::chrono::seconds(1);
        if (told || !c.watch.start)
            list.fail("stream.pcr-interval", "at most " + milliseconds(kPcrLimit),
                      "no PCR on PID " + std::to_string(c.expected.pcr_pid.value()));
        else list.skip("stream.pcr-interval", "watched for less than a second");
        return;
    }
    const auto longest = found->max_interval.value_or(Duration{});
    const std::string expected = "at most " + milliseconds(kPcrLimit);
    const std::string evidence = times(s, c.watch, "2.3a");
    if (longest > kPcrLimit)
        list.fail("stream.pcr-interval", expected, milliseconds(longest, kPcrLimit),
                  joined(std::to_string(found->intervals_above_100_ms) + " above the limit", evidence));
    else if (longest > kPcrAdvice)
        list.note("stream.pcr-interval", expected, milliseconds(longest, kPcrAdvice),
                  std::to_string(found->intervals_above_40_ms) + " above the 40 ms that TS 101 154 advises");
    else if (!found->max_interval) list.skip("stream.pcr-interval", is_cut(c) ? kCut : "a single PCR");
    else list.pass("stream.pcr-interval", expected, milliseconds(longest));
    list.count("stream.pcr-continuity", found->discontinuities, "step* of the PCR without notice",
               times(s, c.watch, "2.3b"));
    check_jitter(c, s, *found, list);
}

// PAT and PMT by TR 101 290: there, and never away for half a second.
void check_table(const Case& c, const StreamObservation& s, Checklist& list, std::string_view id,
                 const std::string& table, bool seen, std::string_view number) {
    const std::string expected = table + " every 0.5 s";
    const auto* rule = indicator(s, number);
    const bool told = !c.watch.start || c.watch.length() >= std::chrono::seconds(1);
    if (!seen && is_cut(c)) list.skip(id, kCut);
    else if (!seen && told) list.fail(id, expected, "no " + table);
    else if (!seen) list.skip(id, "watched for less than a second");
    else if (rule != nullptr && rule->judged && rule->found.count > 0)
        list.fail(id, expected, counted(rule->found.count, "error*") + " by TR 101 290 no. " +
                                    std::string(number),
                  when(c.watch, rule->found));
    else list.pass(id, expected, "there");
}

void check_tables(const Case& c, const StreamObservation& s, Checklist& list) {
    check_table(c, s, list, "stream.pat", "PAT", s.pat_seen, "1.3.a");
    const auto found = std::ranges::find(s.programmes, c.expected.program_number,
                                         &ProgrammeObservation::program_number);
    const bool listed = found != s.programmes.end() && found->pmt_pid;
    if (!listed) list.skip("stream.pmt", "the PAT does not list the programme");
    else check_table(c, s, list, "stream.pmt", "PMT", found->pmt_seen, "1.5.a");
}

}  // namespace

void check_transport(const Case& c, Checklist& list) {
    if (!c.seen.stream) {
        list.skip("stream.sync", "no transport stream was recognised");
        return;
    }
    const StreamObservation& s = *c.seen.stream;
    check_sync(c, s, list);
    if (s.packets == 0) return;
    check_tables(c, s, list);
    list.count("stream.transport-error", s.transport_errors, "packet* marked as damaged",
               times(s, c.watch, "2.1"));
    check_continuity(c, s, list);
    check_crc(c, s, list);
    if (const auto* pts = indicator(s, "2.5"); pts != nullptr && pts->judged && pts->found.count > 0)
        list.note("stream.pts", "a PTS every 700 ms", std::to_string(pts->found.count) + " gaps",
                  when(c.watch, pts->found));
    check_clock(c, s, list);
}

}  // namespace mastline
