// SPDX-License-Identifier: Apache-2.0
#include "mastline/watch/rolling_watch.hpp"

#include <algorithm>

#include "mastline/verdict/querier.hpp"
#include "mastline/verdict/unasked.hpp"

namespace mastline {

namespace {

// Looks that a rate is taken over.
constexpr std::size_t kRateLooks = 3;

FlowCounts counts_of(const FlowObservation* seen) {
    FlowCounts out;
    if (seen == nullptr) return out;
    out.datagrams = seen->datagrams;
    out.lost = seen->rtp ? seen->rtp->lost : 0;
    out.continuity_errors = seen->stream ? seen->stream->continuity_errors : 0;
    out.transport_bytes = seen->stream ? seen->stream->bytes : 0;
    return out;
}

// A datagram that comes late is no longer lost: a count of the window may fall, the total does not.
void add_rise(std::uint64_t& total, std::uint64_t& before, std::uint64_t now) {
    if (now <= before) return;
    total += now - before;
    before = now;
}

const FlowObservation* seen_of(const std::vector<FlowObservation>& seen, const Expectation& expected) {
    const auto to = destination_of(expected.flow);
    const auto found = std::ranges::lower_bound(seen, to, {}, &FlowObservation::destination);
    return found != seen.end() && found->destination == to ? &*found : nullptr;
}

std::vector<FlowObservation> unasked_of(std::vector<FlowObservation> seen, const ExpectedLineup& lineup) {
    std::erase_if(seen, [&](const FlowObservation& f) {
        return std::ranges::any_of(lineup.flows, [&](const Expectation& e) { return destination_of(e.flow) == f.destination; });
    });
    return seen;
}

// Where a flow is silent up to now, for how long: where the window began says nothing to who looks on.
void tell_silence(Verdict& verdict, const FlowObservation* seen, Duration now) {
    if (seen == nullptr || !seen->last || now - *seen->last <= kSilenceLimit) return;
    for (auto& c : verdict.checks) {
        if (c.id != "flow.steady" || c.outcome != Outcome::failed) continue;
        c.found = "silent for " + fixed_text(static_cast<double>((now - *seen->last).count()) / 1e9, 1) + " s";
        c.evidence.clear();
    }
}

// What failed in the window before stays told beside what fails now.
void add_earlier_faults(Verdict& verdict, const Verdict& before) {
    for (auto& c : verdict.checks) {
        const auto found = std::ranges::find(before.checks, c.id, &Check::id);
        if (c.outcome == Outcome::failed || found == before.checks.end() || found->outcome != Outcome::failed) continue;
        c = *found;
        c.evidence = "in the window before";
    }
}

FlowOptions options_for(const Expectation& expected) {
    FlowOptions out;
    out.source = expected.source;
    out.media_rate = expected.rate;
    return out;
}

}  // namespace

RollingWatch::RollingWatch(ExpectedLineup lineup, Duration start, Duration window)
    : lineup_(std::move(lineup)), window_(window), current_(new_window(start)), kept_(lineup_.flows.size()),
      membership_start_(start), next_membership_start_(start) {}

RollingWatch::Window RollingWatch::new_window(Duration now) const {
    Window out;
    out.start = now;
    for (const auto& e : lineup_.flows) out.flows.expect(destination_of(e.flow), options_for(e));
    for (const auto channel : stills_) out.flows.want_still(destination_of(lineup_.flows[channel].flow), lineup_.flows[channel].program_number);
    return out;
}

void RollingWatch::want_still(std::size_t channel) {
    const auto& wanted = lineup_.flows[channel];
    stills_.insert(channel);
    current_.flows.want_still(destination_of(wanted.flow), wanted.program_number);
    if (next_) next_->flows.want_still(destination_of(wanted.flow), wanted.program_number);
}

StillMaterial RollingWatch::still(std::size_t channel) const {
    return current_.flows.still(destination_of(lineup_.flows[channel].flow)).value_or(StillMaterial{});
}

void RollingWatch::end_still(std::size_t channel) {
    const auto flow = destination_of(lineup_.flows[channel].flow);
    stills_.erase(channel);
    current_.flows.end_still(flow);
    if (next_) next_->flows.end_still(flow);
}

void RollingWatch::on_datagram(const Datagram& datagram) {
    current_.flows.datagram(datagram);
    if (next_) next_->flows.datagram(datagram);
}

void RollingWatch::on_own_loss(const FlowAddress& flow, std::uint64_t count) {
    current_.flows.own_loss(destination_of(flow), count);
    if (next_) next_->flows.own_loss(destination_of(flow), count);
}

void RollingWatch::on_own_loss_somewhere() {
    current_.flows.own_loss_somewhere();
    if (next_) next_->flows.own_loss_somewhere();
}

void RollingWatch::on_membership(const IpPacket& packet) {
    membership_.packet(packet);
    next_membership_.packet(packet);
}

void RollingWatch::renew_membership(Duration now) {
    if (now - next_membership_start_ < kMembershipSpan) return;
    membership_ = std::exchange(next_membership_, {});
    membership_start_ = std::exchange(next_membership_start_, now);
}

Check RollingWatch::querier(Duration now, const std::string& blind) const {
    if (!blind.empty()) return {"network.querier", Outcome::not_judged, "one querier", {}, blind};
    auto queriers = membership_.observe().queriers;
    // One that another has taken over from is no second one.
    const bool any_recent = std::ranges::any_of(queriers, [&](const auto& q) { return now - q.last <= absence_of(q); });
    if (any_recent) std::erase_if(queriers, [&](const auto& q) { return now - q.last > absence_of(q); });
    const bool all_v6 = std::ranges::none_of(lineup_.flows, [](const Expectation& e) { return e.flow.group.address().is_v4(); });
    return judge_querier(queriers, all_v6 ? IpVersion::v6 : IpVersion::v4, {membership_start_, now});
}

void RollingWatch::count(Kept& kept, const FlowObservation* seen, Duration now) {
    const FlowCounts counts = counts_of(seen);
    add_rise(kept.total.datagrams, kept.before.datagrams, counts.datagrams);
    add_rise(kept.total.lost, kept.before.lost, counts.lost);
    add_rise(kept.total.continuity_errors, kept.before.continuity_errors, counts.continuity_errors);
    add_rise(kept.total.transport_bytes, kept.before.transport_bytes, counts.transport_bytes);
    kept.bytes.emplace_back(now, kept.total.transport_bytes);
    if (kept.bytes.size() > kRateLooks) kept.bytes.erase(kept.bytes.begin());
}

void RollingWatch::roll(Duration now, const std::vector<Verdict>& verdicts) {
    if (now - current_.start < window_) {
        if (!next_ && now - current_.start >= window_ - kOverlap) next_ = new_window(now);
        return;
    }
    if (!next_) next_ = new_window(now);  // nobody looked for a while
    for (std::size_t i = 0; i < kept_.size(); ++i) {
        kept_[i].last_window = verdicts[i];
        kept_[i].last_start = current_.start;
    }
    current_ = std::move(*next_);
    next_.reset();
    const auto seen = current_.flows.observe();
    for (std::size_t i = 0; i < kept_.size(); ++i) kept_[i].before = counts_of(seen_of(seen, lineup_.flows[i]));
}

LineupLook RollingWatch::look(Duration now, const std::string& blind_to_membership) {
    LineupLook out;
    out.at = now;
    const auto seen = current_.flows.observe();
    const Watch watch{current_.start, now};
    std::vector<Verdict> verdicts;
    for (std::size_t i = 0; i < kept_.size(); ++i) {
        Kept& kept = kept_[i];
        const auto* flow = seen_of(seen, lineup_.flows[i]);
        count(kept, flow, now);
        verdicts.push_back(judge(lineup_.flows[i], flow, lineup_, watch));
        tell_silence(verdicts.back(), flow, now);
        const bool still = verdicts.back().outcome() != Outcome::failed && kept.last_window &&
                           (kept.last_window->outcome() == Outcome::failed || verdicts.back().outcome() == Outcome::not_judged);
        ChannelLook look{still ? *kept.last_window : verdicts.back(), still ? kept.last_start : current_.start, std::nullopt, kept.total};
        if (!still && kept.last_window) add_earlier_faults(look.verdict, *kept.last_window);
        const auto& [since, bytes] = kept.bytes.front();
        if (now > since)
            look.rate = BitRate(static_cast<std::int64_t>(static_cast<double>(kept.total.transport_bytes - bytes) * 8e9 /
                                                          static_cast<double>((now - since).count())));
        out.channels.push_back(std::move(look));
    }
    out.querier = querier(now, blind_to_membership);
    out.network = judge_unasked(lineup_, unasked_of(seen, lineup_));
    roll(now, verdicts);
    renew_membership(now);
    return out;
}

}  // namespace mastline
