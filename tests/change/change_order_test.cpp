// SPDX-License-Identifier: Apache-2.0
// The way from one plan to the next, walked step by step: nothing is ever sent twice, no card is
// fuller than in the fuller plan, and the end is the new plan.
#include <catch2/catch.hpp>

#include <algorithm>
#include <map>
#include <set>

#include "mastline/change/change_order.hpp"
#include "support/dice.hpp"

using namespace mastline;

namespace {

struct Side {
    ExpectedLineup lineup;
    std::vector<KeptHome> homes;
};

struct Row {
    std::uint32_t number;
    std::string source, card;
    std::string carrier;        // empty: an in-house input
    int encoder_input = 0;
    std::string group;
    int copy = 1;
    int megabits = 4;
    bool is_silent = false;     // waits in the group of the first carriage: the plan has no flow of it
};

void add(Side& side, const Row& row) {
    Expectation flow;
    flow.channel = std::to_string(row.number);
    flow.copy = row.copy;
    flow.name = "Channel " + flow.channel;
    if (!row.is_silent) flow.flow = {*parse_group(row.group), UdpPort{5004}};
    flow.rate = BitRate(row.megabits * 1'000'000);
    flow.parts = {row.carrier.empty() ? "input:" + row.source : "carrier:" + row.carrier, "card:" + row.card};
    if (!row.is_silent) side.lineup.flows.push_back(flow);
    KeptHome home{{row.number, 0}, row.copy, row.source, row.card, std::nullopt};
    if (row.carrier.empty()) home.encoder_input = row.encoder_input;
    side.homes.push_back(home);
}

Side side(const std::vector<Row>& rows) {
    Side out;
    for (const auto& row : rows) add(out, row);
    return out;
}

ChangeOrder order(const Side& from, const Side& to) {
    return change_order(from.lineup, from.homes, to.lineup, to.homes);
}

std::vector<std::string> lines(const ChangeOrder& o) {
    constexpr const char* words[] = {"stop", "plug", "start", "set", "ready", "clear"};
    std::vector<std::string> out;
    for (const auto& step : o.steps)
        out.push_back(std::string(words[static_cast<std::size_t>(step.kind)]) + " " + o.changes[step.change].channel +
                      " " + step.card + " " + to_text(step.flow.group));
    return out;
}

// The site, told nothing but the two plans and the steps.
class Walk {
public:
    Walk(const Side& from, const Side& to) : from_(rows(from)), to_(rows(to)) {
        running_ = from_;
        for (const auto* plan : {&from_, &to_})
            for (const auto& [card, load] : loads(*plan)) {
                auto& most = most_[card];
                most = {std::max(most.channels, load.channels), std::max(most.carriers, load.carriers), std::max(most.rate, load.rate)};
            }
    }

    // What is wrong with the steps; empty: nothing.
    std::string fault(const ChangeOrder& o) {
        for (std::size_t n = 0; n < o.steps.size(); ++n) {
            const auto& step = o.steps[n];
            const auto& change = o.changes[step.change];
            const Key key{change.channel, change.copy};
            const std::string at = "step " + std::to_string(n + 1) + ": ";
            if (step.kind == StepKind::stop || step.kind == StepKind::clear) {
                if (!from_.contains(key) || !sends(from_.at(key))) return at + "stops what does not run";
                std::erase_if(running_sends_, [&](const Out& s) { return s == from_.at(key); });
            } else if (step.kind == StepKind::set) {
                const auto at_work = std::ranges::find(running_sends_, from_.at(key));
                if (at_work == running_sends_.end()) return at + "sets what does not run";
                *at_work = to_.at(key);
                if (const auto f = rules(); !f.empty()) return at + f;
            } else if (step.kind == StepKind::plug) {
                if (const auto f = plug(to_.at(key), step.note); !f.empty()) return at + f;
            } else if (step.kind == StepKind::start || step.kind == StepKind::ready) {
                if (!to_.contains(key)) return at + "starts what is in no plan";
                if (to_.at(key).is_silent != (step.kind == StepKind::ready)) return at + "the wrong word";
                if (!has_cable(to_.at(key))) return at + "no cable";
                running_sends_.push_back(to_.at(key));
                if (const auto f = rules(); !f.empty()) return at + f;
            }
        }
        std::vector<Out> end;
        for (const auto& [key, s] : to_) end.push_back(s);
        std::sort(end.begin(), end.end());
        std::sort(running_sends_.begin(), running_sends_.end());
        return end == running_sends_ ? "" : "the end is not the new plan";
    }

    void begin() {
        running_sends_.clear();
        for (const auto& [key, s] : running_) running_sends_.push_back(s);
        cables_ = cables(from_);
    }

private:
    using Key = std::pair<std::string, int>;
    struct Out {
        std::string channel;
        int copy;
        std::string card, group, carrier, source;
        int input;
        bool is_silent;
        std::int64_t rate;
        friend auto operator<=>(const Out&, const Out&) = default;
    };
    using Rows = std::map<Key, Out>;

    static Rows rows(const Side& side) {
        Rows out;
        for (const auto& h : side.homes) {
            const auto flow_of = [&](int copy) {
                return std::ranges::find_if(side.lineup.flows, [&](const Expectation& f) {
                    return f.channel == to_text(h.number) && f.copy == copy;
                });
            };
            const bool is_silent = flow_of(h.copy) == side.lineup.flows.end();
            const auto& f = *flow_of(is_silent ? 1 : h.copy);
            const auto carrier = h.encoder_input ? "" : f.parts[0];
            out[{f.channel, h.copy}] = {f.channel, h.copy, h.card, to_text(f.flow.group), carrier, h.source,
                                        h.encoder_input.value_or(0), is_silent, f.rate.bits_per_second()};
        }
        return out;
    }
    struct Load {
        std::size_t channels = 0, carriers = 0;
        std::int64_t rate = 0;
    };
    static std::map<std::string, Load> loads(const Rows& rows) {
        std::map<std::string, Load> out;
        std::map<std::string, std::set<std::string>> carriers;
        for (const auto& [key, s] : rows) {
            ++out[s.card].channels;
            out[s.card].rate += s.rate;
            if (s.input == 0) out[s.card].carriers = (carriers[s.card].insert(s.carrier), carriers[s.card].size());
        }
        return out;
    }

    // Pairs of a source and an encoder input, "E1.in2".
    using Cables = std::set<std::pair<std::string, std::string>>;

    static std::string input_of(const Out& s) { return s.card + ".in" + std::to_string(s.input); }
    static Cables cables(const Rows& rows) {
        Cables out;
        for (const auto& [key, s] : rows)
            if (s.input > 0) out.insert({s.source, input_of(s)});
        return out;
    }
    static auto cables_of(const Cables& all, const std::string& source) {
        return std::ranges::count_if(all, [&](const auto& c) { return c.first == source; });
    }
    bool has_cable(const Out& s) const { return s.input == 0 || cables_.contains({s.source, input_of(s)}); }
    bool runs_at(const std::string& source, const std::string& input) const {
        return std::ranges::any_of(running_sends_, [&](const Out& s) { return s.input > 0 && s.source == source && input_of(s) == input; });
    }
    std::string plug(const Out& s, const std::string& note) {
        const std::string from_word = "source " + s.source + " from ", to_word = " to " + input_of(s);
        if (!note.ends_with(to_word)) return "plugs elsewhere: " + note;
        if (note.starts_with(from_word)) {
            const auto from = note.substr(from_word.size(), note.size() - from_word.size() - to_word.size());
            if (runs_at(s.source, from)) return "takes the cable of what runs";
            if (cables_.erase({s.source, from}) == 0) return "takes a cable that is not there";
        }
        std::erase_if(cables_, [&](const auto& c) { return c.second == input_of(s); });
        cables_.insert({s.source, input_of(s)});
        const auto most = std::max(cables_of(cables(from_), s.source), cables_of(cables(to_), s.source));
        return cables_of(cables_, s.source) > most ? "has more cables than either plan" : "";
    }

    bool sends(const Out& s) const { return std::find(running_sends_.begin(), running_sends_.end(), s) != running_sends_.end(); }

    // IPv4 groups of the tests share an Ethernet address when their last 23 bits are equal.
    static std::string ethernet(const std::string& group) {
        unsigned a = 0, b = 0, c = 0, d = 0;
        std::sscanf(group.c_str(), "%u.%u.%u.%u", &a, &b, &c, &d);
        return std::to_string(b & 0x7F) + "." + std::to_string(c) + "." + std::to_string(d);
    }

    std::string rules() const {
        std::set<std::string> groups;
        std::map<std::string, std::size_t> channels;
        std::map<std::string, std::int64_t> rates;
        std::map<std::string, std::set<std::string>> carriers;
        std::map<std::pair<std::string, int>, std::set<std::string>> inputs;
        for (const auto& s : running_sends_) {
            if ((rates[s.card] += s.rate) > most_.at(s.card).rate) return "card " + s.card + " sends too much";
            if (!s.is_silent && !groups.insert(ethernet(s.group)).second) return "group " + s.group + " is sent twice";
            if (++channels[s.card] > most_.at(s.card).channels) return "card " + s.card + " has too many channels";
            if (s.input == 0 && carriers[s.card].insert(s.carrier).second &&
                carriers[s.card].size() > most_.at(s.card).carriers)
                return "card " + s.card + " tunes too many carriers";
            if (s.input > 0 && inputs[{s.card, s.input}].insert(s.source).second && inputs[{s.card, s.input}].size() > 1)
                return "two sources at an input of card " + s.card;
        }
        return {};
    }

    Rows from_, to_, running_;
    std::vector<Out> running_sends_;
    std::map<std::string, Load> most_;
    Cables cables_;
};

std::string walk(const Side& from, const Side& to, const ChangeOrder& o) {
    Walk w(from, to);
    w.begin();
    return w.fault(o);
}

// Channels on cards with room to spare or none, groups from a small pool, sources on encoder inputs.
Side random_side(test::Dice& dice) {
    const bool second_waits = dice.one_in(3);
    std::vector<std::uint32_t> groups(14);
    for (std::uint32_t i = 0; i < groups.size(); ++i) groups[i] = i;
    for (std::size_t i = groups.size(); i > 1; --i) std::swap(groups[i - 1], groups[dice.below(static_cast<std::uint32_t>(i))]);
    Side out;
    std::map<std::string, int> next_input;
    std::map<std::pair<std::string, std::string>, int> input_of;  // card, source
    std::size_t g = 0;
    for (std::uint32_t n = 101; n <= 108; ++n) {
        if (dice.one_in(5)) continue;
        const int copies = dice.one_in(4) ? 2 : 1;
        const bool house = n > 105;
        const int megabits = 2 + static_cast<int>(dice.below(5));
        const auto source = "source " + std::to_string(house && dice.one_in(2) ? 106 : n) + (dice.one_in(8) ? "b" : "");
        for (int copy = 1; copy <= copies; ++copy) {
            Row row{n, source, "", "", 0, "239.192.7." + std::to_string(groups[g++]), copy};
            row.is_silent = copy == 2 && second_waits;
            row.megabits = megabits;
            row.card = (house ? "E" : "A") + std::to_string(copy == 1 ? 1 + dice.below(2) : 3);
            if (house) {
                auto& input = input_of[{row.card, source}];
                if (input == 0) input = ++next_input[row.card];
                row.encoder_input = input;
            }
            if (!house) row.carrier = "w" + std::to_string(1 + (n - 101) / 2);
            add(out, row);
        }
    }
    return out;
}

}  // namespace

TEST_CASE("equal plans ask for nothing", "[unit]") {
    const auto a = side({{101, "s", "A1", "w1", 0, "239.192.7.1"}, {102, "stage", "E1", "", 1, "239.192.7.2"}});
    const auto o = order(a, a);
    CHECK(o.steps.empty());
    CHECK(o.changes.empty());
    CHECK(o.unchanged == 2);
}

TEST_CASE("a channel that changes card on its group stops first", "[unit]") {
    const auto from = side({{101, "s", "A1", "w1", 0, "239.192.7.1"}});
    const auto to = side({{101, "s", "A2", "w1", 0, "239.192.7.1"}});
    const auto o = order(from, to);
    CHECK(lines(o) == std::vector<std::string>{"stop 101 A1 239.192.7.1", "start 101 A2 239.192.7.1"});
    CHECK(o.changes[0].notice == Notice::short_break);
    CHECK(o.changes[0].what == std::vector<std::string>{"card A1 -> A2"});
}

TEST_CASE("a channel with a new group on another card starts there before it stops", "[unit]") {
    const auto from = side({{101, "s", "A1", "w1", 0, "239.192.7.1"}});
    const auto to = side({{101, "s", "A2", "w1", 0, "239.192.7.9"}});
    const auto o = order(from, to);
    CHECK(lines(o) == std::vector<std::string>{"start 101 A2 239.192.7.9", "stop 101 A1 239.192.7.1"});
    CHECK(o.changes[0].notice == Notice::retune);
}

TEST_CASE("two channels that change places on full cards: one waits in the dark", "[unit]") {
    const auto from = side({{101, "s", "A1", "w1", 0, "239.192.7.1"}, {102, "t", "A2", "w2", 0, "239.192.7.2"}});
    const auto to = side({{101, "s", "A2", "w1", 0, "239.192.7.1"}, {102, "t", "A1", "w2", 0, "239.192.7.2"}});
    const auto o = order(from, to);
    CHECK(lines(o) == std::vector<std::string>{"stop 101 A1 239.192.7.1", "stop 102 A2 239.192.7.2",
                                               "start 102 A1 239.192.7.2", "start 101 A2 239.192.7.1"});
    CHECK(o.changes[0].notice == Notice::long_break);
    CHECK(o.changes[1].notice == Notice::short_break);
    CHECK(o.steps[0].note == "dark until step 4");
    CHECK(walk(from, to, o).empty());
}

TEST_CASE("two channels that exchange groups are never both on one", "[unit]") {
    const auto from = side({{101, "s", "A1", "w1", 0, "239.192.7.1"}, {102, "t", "A1", "w1", 0, "239.192.7.2"}});
    const auto to = side({{101, "s", "A1", "w1", 0, "239.192.7.2"}, {102, "t", "A1", "w1", 0, "239.192.7.1"}});
    const auto o = order(from, to);
    CHECK(walk(from, to, o).empty());
    CHECK(o.changes[0].notice == Notice::retune);
    CHECK(o.steps.size() == 4);
}

TEST_CASE("a source that changes encoder is plugged over between stop and start", "[unit]") {
    const auto from = side({{7, "stage", "E1", "", 2, "239.192.7.1"}});
    const auto to = side({{7, "stage", "E2", "", 1, "239.192.7.9"}});
    const auto o = order(from, to);
    CHECK(lines(o) == std::vector<std::string>{"stop 7 E1 239.192.7.1", "plug 7 E2 239.192.7.9", "start 7 E2 239.192.7.9"});
    CHECK(o.steps[1].note == "source stage from E1.in2 to E2.in1");
    CHECK(order(from, side({{7, "stage", "E2", "", 1, "239.192.7.1"}})).changes[0].notice == Notice::long_break);
}

TEST_CASE("channels that share a source's cable all stop before it is moved", "[unit]") {
    const auto from = side({{7, "stage", "E1", "", 2, "239.192.7.1"}, {8, "stage", "E1", "", 2, "239.192.7.2"}});
    const auto to = side({{7, "stage", "E2", "", 1, "239.192.7.1"}, {8, "stage", "E2", "", 1, "239.192.7.2"}});
    const auto o = order(from, to);
    CHECK(lines(o) == std::vector<std::string>{"stop 7 E1 239.192.7.1", "stop 8 E1 239.192.7.2", "plug 7 E2 239.192.7.1",
                                               "start 7 E2 239.192.7.1", "start 8 E2 239.192.7.2"});
    CHECK(o.changes[0].notice == Notice::long_break);
    CHECK(o.changes[1].notice == Notice::long_break);
    CHECK(walk(from, to, o).empty());
}

TEST_CASE("a source that another channel still shows gets a further cable before its channel moves", "[unit]") {
    const auto from = side({{7, "stage", "E1", "", 2, "239.192.7.1"}, {8, "stage", "E1", "", 2, "239.192.7.2"}});
    const auto to = side({{7, "stage", "E2", "", 1, "239.192.7.1"}, {8, "stage", "E1", "", 2, "239.192.7.2"}});
    const auto o = order(from, to);
    CHECK(lines(o) == std::vector<std::string>{"plug 7 E2 239.192.7.1", "stop 7 E1 239.192.7.1", "start 7 E2 239.192.7.1"});
    CHECK(o.steps[0].note == "source stage to E2.in1");
    CHECK(o.changes[0].notice == Notice::short_break);
    CHECK(walk(from, to, o).empty());
}

TEST_CASE("a second carriage that waits in silence is set up and taken down, and no display sees it", "[unit]") {
    const Row first{101, "s", "A1", "w1", 0, "239.192.7.1"}, waits{101, "s", "A2", "w1", 0, "", 2, 4, true};
    auto elsewhere = waits;
    elsewhere.card = "A3";
    const auto o = order(side({first, waits}), side({first, elsewhere}));
    CHECK(lines(o) == std::vector<std::string>{"ready 101 A3 239.192.7.1", "clear 101 A2 239.192.7.1"});
    CHECK(o.changes[0].notice == Notice::nothing);
    CHECK(o.unchanged == 1);
    const auto heard = order(side({first, waits}), side({first, {101, "s", "A2", "w1", 0, "239.192.7.2", 2}}));
    CHECK(heard.changes[0].notice == Notice::appears);
    CHECK(order(side({first, {101, "s", "A2", "w1", 0, "239.192.7.2", 2}}), side({first, waits})).changes[0].notice ==
          Notice::disappears);
}

TEST_CASE("what decoders see without a new address is said", "[unit]") {
    const auto from = side({{101, "s", "A1", "w1", 0, "239.192.7.1"}});
    auto pids = from, rate = from, name = from, sender = from;
    pids.lineup.flows[0].pmt_pid = Pid(300);
    rate.lineup.flows[0].rate = BitRate(5'000'000);
    name.lineup.flows[0].name = "Other";
    sender.lineup.flows[0].source = *parse_ip_address("10.1.1.1");
    sender.lineup.flows[0].source_specific = true;
    CHECK(order(from, pids).changes[0].notice == Notice::other_tables);
    CHECK(order(from, rate).changes[0].notice == Notice::other_rate);
    CHECK(order(from, name).changes[0].notice == Notice::nothing);
    CHECK(order(from, sender).changes[0].notice == Notice::retune);
    CHECK(order(from, pids).steps[0].kind == StepKind::set);
}

TEST_CASE("the order of 2,000 random changes keeps every rule at every step", "[property]") {
    std::size_t steps = 0, held = 0;
    for (std::uint32_t seed = 1; seed <= 2000; ++seed) {
        test::Dice dice(seed);
        const auto from = random_side(dice), to = random_side(dice);
        const auto o = order(from, to);
        CAPTURE(seed);
        REQUIRE(walk(from, to, o) == "");
        steps += o.steps.size();
        for (const auto& c : o.changes) held += c.notice == Notice::long_break;
    }
    CHECK(steps > 10'000);
    CHECK(held > 0);
}
