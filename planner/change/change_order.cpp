// SPDX-License-Identifier: Apache-2.0
#include "mastline/change/change_order.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "planner/change/site_state.hpp"

namespace mastline {

namespace {

using CarriageKey = std::pair<std::string, int>;  // channel, copy

CarriageKey key_of(const Sending& s) { return {s.flow.channel, s.flow.copy}; }

std::string part_of(const Expectation& flow, std::string_view kind) {
    for (const auto& part : flow.parts)
        if (part.starts_with(kind)) return part.substr(kind.size());
    return {};
}

std::string input_text(const std::string& card, int number) { return card + ".in" + std::to_string(number); }

std::string sender_text(const Expectation& flow) { return flow.source ? to_text(*flow.source) : "any"; }

// How a stream is made up, apart from its rate.
bool same_tables(const Expectation& a, const Expectation& b) {
    const auto same_component = [](const ExpectedComponent& x, const ExpectedComponent& y) {
        return x.pid == y.pid && x.kind == y.kind && x.language == y.language;
    };
    return a.program_number == b.program_number && a.pmt_pid == b.pmt_pid && a.pcr_pid == b.pcr_pid &&
           a.transport_stream_id == b.transport_stream_id && a.service_name == b.service_name &&
           a.provider == b.provider &&
           std::equal(a.components.begin(), a.components.end(), b.components.begin(), b.components.end(),
                      same_component);
}

bool same_sending_form(const Expectation& a, const Expectation& b) {
    return a.encapsulation == b.encapsulation && a.packets_per_datagram == b.packets_per_datagram &&
           a.ttl == b.ttl && a.dscp == b.dscp && a.vlan == b.vlan;
}

// Another address, or another sender where joins name it.
bool readdressed(const Expectation& a, const Expectation& b) {
    return a.flow != b.flow || a.source_specific != b.source_specific ||
           (b.source_specific && a.source != b.source);
}

// What one carriage was and is to be; either may be missing.
struct Pair {
    const Sending* from = nullptr;
    const Sending* to = nullptr;

    bool moved() const { return from && to && from->card != to->card; }
    // Its stream has to be stopped in one place and started in another.
    bool restarts() const {
        return !from || !to || moved() || from->flow.flow != to->flow.flow || from->source != to->source ||
               from->carrier != to->carrier || from->encoder_input != to->encoder_input || from->is_silent != to->is_silent;
    }
    bool same() const {
        return from && to && !restarts() && same_tables(from->flow, to->flow) &&
               same_sending_form(from->flow, to->flow) && !readdressed(from->flow, to->flow) &&
               from->flow.rate == to->flow.rate && from->flow.name == to->flow.name;
    }
};

void say(CarriageChange& out, const std::string& what, const std::string& from, const std::string& to) {
    if (from != to) out.what.push_back(what + " " + (from.empty() ? "none" : from) + " -> " + (to.empty() ? "none" : to));
}

// What displays see of a carriage that waits in silence is nothing; of one that no longer does, or does
// from now on, a stream that comes or goes.
std::optional<Notice> notice_of_silence(const Pair& pair) {
    const bool was_heard = pair.from && !pair.from->is_silent, is_heard = pair.to && !pair.to->is_silent;
    if (!was_heard && !is_heard) return Notice::nothing;
    if (was_heard && is_heard) return std::nullopt;
    return is_heard ? Notice::appears : Notice::disappears;
}

CarriageChange described(const Pair& pair) {
    const auto& shown = pair.to ? *pair.to : *pair.from;
    CarriageChange out;
    out.channel = shown.flow.channel;
    out.copy = shown.flow.copy;
    out.name = shown.flow.name;
    if (!pair.from || !pair.to) {
        out.what.push_back((pair.to ? "new on card " : "gone from card ") + shown.card + (shown.is_silent ? ", silent, group " : ", group ") +
                           to_text(shown.flow.flow));
        out.notice = *notice_of_silence(pair);
        return out;
    }
    const auto& a = pair.from->flow;
    const auto& b = pair.to->flow;
    out.moved = pair.moved();
    out.readdressed = readdressed(a, b);
    say(out, "card", pair.from->card, pair.to->card);
    if (pair.from->is_silent != pair.to->is_silent)
        out.what.push_back(pair.to->is_silent ? "silent from now on" : "sent from now on");
    say(out, "group", to_text(a.flow), to_text(b.flow));
    say(out, "sender", sender_text(a), sender_text(b));
    say(out, "source", pair.from->source, pair.to->source);
    if (!out.moved && pair.from->encoder_input != pair.to->encoder_input)
        say(out, "encoder input", input_text(pair.from->card, pair.from->encoder_input.value_or(0)),
            input_text(pair.to->card, pair.to->encoder_input.value_or(0)));
    say(out, "name", a.name, b.name);
    say(out, "rate", to_text(a.rate), to_text(b.rate));
    if (!same_tables(a, b)) out.what.push_back("programme number, PIDs or service name");
    if (!same_sending_form(a, b)) out.what.push_back("packing, TTL or DSCP");
    const auto of_silence = notice_of_silence(pair);
    out.notice = of_silence             ? *of_silence
                 : out.readdressed      ? Notice::retune
                 : pair.restarts()      ? Notice::short_break
                 : !same_tables(a, b)   ? Notice::other_tables
                 : a.rate != b.rate     ? Notice::other_rate
                                        : Notice::nothing;
    return out;
}

class Ordering {
public:
    Ordering(const std::vector<Sending>& from, const std::vector<Sending>& to, ChangeOrder& out)
        : state_(from, to), out_(out) {}

    void add(const Pair& pair) {
        out_.changes.push_back(described(pair));
        pairs_.push_back(pair);
    }

    void run() {
        for (std::size_t i = 0; i < pairs_.size(); ++i) {
            if (!pairs_[i].to) stop(i, "");
            else pending_.push_back(i);
        }
        std::stable_partition(pending_.begin(), pending_.end(), [&](std::size_t i) { return !pairs_[i].restarts(); });
        while (!pending_.empty()) {
            if (advance()) continue;
            if (const auto i = victim()) hold(*i);
            else force();
        }
    }
    // A carriage that stays as it is.
    void add_steady(const Sending& s) {
        if (!s.is_silent) steady_.insert(s.flow.channel);
    }

private:
    // One pending change that can be done now, those that wait in the dark first.
    bool advance() {
        std::stable_sort(pending_.begin(), pending_.end(),
                         [&](std::size_t a, std::size_t b) { return held_.contains(a) > held_.contains(b); });
        for (const auto i : pending_)
            if (pairs_[i].restarts() ? overlap(i) || restart(i) : set(i)) {
                std::erase(pending_, i);
                return true;
            }
        return std::ranges::any_of(std::vector(pending_), [&](std::size_t i) { return replug(i); });
    }

    // The new stream starts before the old one stops.
    bool overlap(std::size_t i) {
        const auto& pair = pairs_[i];
        if (!is_running(i) || !state_.may_start(*pair.to)) return false;
        start(i);
        stop(i, pair.to->is_silent ? "" : "displays that have the new address lose nothing");
        return true;
    }

    bool restart(std::size_t i) {
        const auto& pair = pairs_[i];
        if (!is_running(i)) {
            if (!state_.may_start(*pair.to)) return false;
            start(i);
            if (held_.contains(i)) out_.steps[held_[i]].note = "dark until step " + std::to_string(out_.steps.size());
            return true;
        }
        if (!state_.may_follow(*pair.from, *pair.to)) return false;
        if (pair.to->on_encoder() && state_.may_plug(*pair.to)) plug(i);
        stop(i, "");
        const auto steps = out_.steps.size();
        start(i);
        if (out_.steps.size() > steps + 1) lengthen_break(i);  // a cable was moved in between
        return true;
    }

    // Channels that share a source's one cable: all stop before it is moved.
    bool replug(std::size_t i) {
        if (!shares_input(i, i)) return false;
        std::vector<std::size_t> together;
        for (const auto k : pending_)
            if (shares_input(k, i)) together.push_back(k);
        SiteState after = state_;
        for (const auto k : together) after.stop(*pairs_[k].from);
        for (const auto k : together) {
            if (!after.may_start(*pairs_[k].to)) return false;
            if (!after.is_plugged(*pairs_[k].to)) after.plug(*pairs_[k].to);
            after.start(*pairs_[k].to);
        }
        for (const auto k : together) stop(k, "");
        for (const auto k : together) {
            start(k);
            lengthen_break(k);
            std::erase(pending_, k);
        }
        return true;
    }

    // Whether both run, are to restart as the same source, and come from one encoder input.
    bool shares_input(std::size_t a, std::size_t b) const {
        const auto &x = pairs_[a], &y = pairs_[b];
        return is_running(a) && is_running(b) && x.restarts() && y.restarts() && x.from->on_encoder() && x.to->on_encoder() &&
               x.from->card == y.from->card && x.from->encoder_input == y.from->encoder_input && x.from->source == y.from->source;
    }

    bool is_running(std::size_t i) const { return pairs_[i].from && !held_.contains(i); }

    // What has to go dark so that the others can move: best a carriage whose other copy runs, and
    // one whose going lets another start at once.
    std::optional<std::size_t> victim() {
        std::optional<std::size_t> best;
        int best_rank = -1;
        for (const auto i : pending_) {
            if (!pairs_[i].from || held_.contains(i) || !pairs_[i].restarts()) continue;
            const int rank = 2 * frees_another(i) + (other_copy_runs(i) || pairs_[i].from->is_silent);
            if (rank > best_rank) best = i, best_rank = rank;
        }
        return best;
    }

    bool frees_another(std::size_t i) {
        state_.stop(*pairs_[i].from);
        const bool out = std::any_of(pending_.begin(), pending_.end(), [&](std::size_t k) {
            if (k == i) return false;
            return is_running(k) ? state_.may_follow(*pairs_[k].from, *pairs_[k].to) : state_.may_start(*pairs_[k].to);
        });
        state_.start(*pairs_[i].from);
        return out;
    }

    // Only a new plan that breaks the rules itself comes to this: nothing is left to wait for.
    void force() {
        const auto i = pending_.front();
        if (pairs_[i].restarts()) start(i);
        else add_set(i);
        out_.steps.back().note = "though the new plan itself sends to this group, or uses this card's room, twice";
        std::erase(pending_, i);
    }

    bool other_copy_runs(std::size_t i) const {
        if (steady_.contains(pairs_[i].from->flow.channel)) return true;
        for (std::size_t k = 0; k < pairs_.size(); ++k)
            if (k != i && pairs_[k].from && !pairs_[k].from->is_silent &&
                pairs_[k].from->flow.channel == pairs_[i].from->flow.channel)
                return !held_.contains(k);
        return false;
    }

    void hold(std::size_t i) {
        held_[i] = out_.steps.size();
        stop(i, "");
        lengthen_break(i);
    }

    void lengthen_break(std::size_t i) {
        if (out_.changes[i].notice == Notice::short_break) out_.changes[i].notice = Notice::long_break;
    }

    void start(std::size_t i) {
        const auto& pair = pairs_[i];
        if (pair.to->on_encoder() && !state_.is_plugged(*pair.to)) plug(i);
        state_.start(*pair.to);
        add_step(pair.to->is_silent ? StepKind::ready : StepKind::start, i, *pair.to, "");
    }

    void plug(std::size_t i) {
        const auto& to = *pairs_[i].to;
        const auto from = state_.plug(to);
        add_step(StepKind::plug, i, to,
                 "source " + to.source + (from ? " from " + input_text(from->first, from->second) : "") + " to " +
                     input_text(to.card, *to.encoder_input));
    }

    void stop(std::size_t i, const std::string& note) {
        state_.stop(*pairs_[i].from);
        add_step(pairs_[i].from->is_silent ? StepKind::clear : StepKind::stop, i, *pairs_[i].from, note);
    }

    // It goes on where it is: only a greater rate may have to wait for room.
    bool set(std::size_t i) {
        if (!state_.may_follow(*pairs_[i].from, *pairs_[i].to)) return false;
        state_.stop(*pairs_[i].from);
        state_.start(*pairs_[i].to);
        add_set(i);
        return true;
    }

    void add_set(std::size_t i) {
        std::string what;
        for (const auto& w : out_.changes[i].what) what += (what.empty() ? "" : "; ") + w;
        add_step(StepKind::set, i, *pairs_[i].to, what);
    }

    void add_step(StepKind kind, std::size_t i, const Sending& s, const std::string& note) {
        out_.steps.push_back({kind, i, s.card, s.flow.flow, note});
    }

    SiteState state_;
    ChangeOrder& out_;
    std::vector<Pair> pairs_;
    std::set<std::string> steady_;  // channels with a carriage that stays
    std::vector<std::size_t> pending_;
    std::map<std::size_t, std::size_t> held_;  // change that is dark: the step that stopped it
};

// Second carriages that wait in the group of the first: the plan has a home for them and no flow.
void add_silent(std::vector<Sending>& out, const std::vector<KeptHome>& homes) {
    std::map<CarriageKey, std::size_t> sent;
    for (std::size_t i = 0; i < out.size(); ++i) sent.emplace(key_of(out[i]), i);
    for (const auto& home : homes) {
        const auto first = sent.find({to_text(home.number), 1});
        if (home.copy == 1 || first == sent.end() || sent.contains({to_text(home.number), home.copy})) continue;
        Sending s = out[first->second];
        s.is_silent = true;
        s.flow.copy = home.copy;
        s.flow.source = s.flow.standby_source;
        s.card = home.card;
        s.encoder_input = home.encoder_input;
        out.push_back(std::move(s));
    }
}

}  // namespace

std::vector<Sending> sendings_of(const ExpectedLineup& lineup, const std::vector<KeptHome>& homes) {
    std::map<CarriageKey, const KeptHome*> home_of;
    for (const auto& home : homes) home_of[{to_text(home.number), home.copy}] = &home;
    std::vector<Sending> out;
    for (const auto& flow : lineup.flows) {
        Sending s;
        s.flow = flow;
        s.card = part_of(flow, "card:");
        s.carrier = part_of(flow, "carrier:");
        s.source = part_of(flow, "input:");
        if (const auto at = home_of.find({flow.channel, flow.copy}); at != home_of.end()) {
            s.source = at->second->source;
            s.card = at->second->card;
            s.encoder_input = at->second->encoder_input;
        }
        out.push_back(std::move(s));
    }
    add_silent(out, homes);
    return out;
}

ChangeOrder change_order(const ExpectedLineup& from, const std::vector<KeptHome>& from_homes,
                         const ExpectedLineup& to, const std::vector<KeptHome>& to_homes) {
    const auto before = sendings_of(from, from_homes), after = sendings_of(to, to_homes);
    std::map<CarriageKey, const Sending*> old;
    for (const auto& s : before) old[key_of(s)] = &s;
    ChangeOrder out;
    out.venue = to.venue;
    out.old_revision = from.revision;
    out.new_revision = to.revision;
    Ordering ordering(before, after, out);
    for (const auto& s : after) {
        Pair pair{nullptr, &s};
        if (const auto at = old.find(key_of(s)); at != old.end()) {
            pair.from = at->second;
            old.erase(at);
        }
        if (pair.same()) ++out.unchanged, ordering.add_steady(s);
        else ordering.add(pair);
    }
    for (const auto& s : before)
        if (old.contains(key_of(s))) ordering.add({&s, nullptr});
    ordering.run();
    return out;
}

}  // namespace mastline
