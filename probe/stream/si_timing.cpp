// SPDX-License-Identifier: Apache-2.0
#include "si_timing.hpp"

#include <algorithm>

namespace mastline {

namespace {

using std::chrono::milliseconds;
using std::chrono::seconds;

constexpr Duration kClosest = milliseconds(25);

struct PidRule {
    Pid pid;
    std::vector<std::uint8_t> allowed;  // table_ids besides EIT, which is a range
    std::vector<Indicator> broken;
};

// The table_ids that each PID may carry, from the "table_id other than" conditions of 5.2.
const std::vector<PidRule>& pid_rules() {
    static const std::vector<PidRule> rules{
        {kPatPid, {0x00}, {Indicator::pat, Indicator::pat_2}},
        {kCatPid, {0x01}, {Indicator::cat}},
        {kNitPid, {0x40, 0x41, 0x72}, {Indicator::nit}},
        {kSdtPid, {0x42, 0x46, 0x4A, 0x72}, {Indicator::sdt}},
        {kEitPid, {0x72}, {Indicator::eit}},
        {Pid(0x13), {0x71, 0x72}, {Indicator::rst}},
        {kTdtPid, {0x70, 0x72, 0x73}, {Indicator::tdt}},
    };
    return rules;
}

bool is_eit(std::uint8_t id) { return id >= 0x4E && id <= 0x6F; }

void check_table_id(Pid pid, std::uint8_t id, const Moment& at, IndicatorTally& tally) {
    for (const auto& rule : pid_rules()) {
        if (rule.pid != pid || (pid == kEitPid && is_eit(id))) continue;
        if (std::find(rule.allowed.begin(), rule.allowed.end(), id) != rule.allowed.end()) continue;
        for (const Indicator i : rule.broken) tally.hit(i, at);
    }
}

// Which indicator has the 25 ms rule for this table.
std::optional<Indicator> closeness_indicator(std::uint8_t id) {
    switch (id) {
        case 0x40: return Indicator::nit_actual;
        case 0x42: return Indicator::sdt_actual;
        case 0x4E: return Indicator::eit_actual;
        case 0x71: return Indicator::rst;
        case 0x70: return Indicator::tdt;
        default: return std::nullopt;
    }
}

}  // namespace

void Watchdog::seen(const Moment& at, IndicatorTally& tally) {
    end(at, tally);
    if (at.time) last_ = *at.time - at.late;
}

void Watchdog::end(const Moment& now, IndicatorTally& tally) const {
    if (!now.time || !last_ || *now.time - now.late - *last_ <= limit_) return;
    for (const Indicator i : indicators_) tally.hit(i, now);
}

SiTiming::SiTiming()
    : pat_packet_(milliseconds(500), {Indicator::pat}), pat_(milliseconds(500), {Indicator::pat_2}) {
    const auto add = [&](std::uint8_t id, int number, Duration limit, std::vector<Indicator> hits) {
        hits.push_back(Indicator::si_repetition);
        rules_.push_back({id, number, Watchdog(limit, std::move(hits))});
    };
    add(0x40, -1, seconds(10), {Indicator::nit, Indicator::nit_actual});
    add(0x41, -1, seconds(10), {Indicator::nit_other});
    add(0x42, -1, seconds(2), {Indicator::sdt, Indicator::sdt_actual});
    add(0x46, -1, seconds(10), {Indicator::sdt_other});
    add(0x4A, -1, seconds(10), {});
    for (const int number : {0, 1}) {
        add(0x4E, number, seconds(2), {Indicator::eit, Indicator::eit_actual});
        add(0x4F, number, seconds(10), {Indicator::eit_other});
    }
    add(0x70, -1, seconds(30), {Indicator::tdt});
}

void SiTiming::begin(const Moment& at) {
    pat_packet_.begin(at);
    pat_.begin(at);
}

void SiTiming::begin_anew(const Moment& at) {
    pat_packet_.begin_anew(at);
    pat_.begin_anew(at);
    for (auto& [pid, watchdog] : pmts_) watchdog.begin_anew(at);
    for (auto& rule : rules_) rule.watchdog.begin_anew(at);
    for (auto& [key, pair] : events_)
        if (is_lone(pair)) pair.first_of[pair.first_of[0] ? 0 : 1] = at;
}

void SiTiming::expect_pmts(const std::vector<Pid>& pids, const Moment& at) {
    std::erase_if(pmts_, [&](const auto& entry) {
        return std::find(pids.begin(), pids.end(), entry.first) == pids.end();
    });
    for (const Pid pid : pids) {
        const auto made = pmts_.try_emplace(
            pid, milliseconds(500), std::vector<Indicator>{Indicator::pmt, Indicator::pmt_2});
        made.first->second.begin(at);
    }
}

void SiTiming::section(Pid pid, const Section& section, std::optional<Duration> gap, const Moment& at,
                       IndicatorTally& tally) {
    const std::uint8_t id = section.table_id;
    check_table_id(pid, id, at, tally);
    if (pid == kPatPid && id == 0x00) pat_.seen(at, tally);
    if (const auto pmt = pmts_.find(pid); pmt != pmts_.end() && id == 0x02) pmt->second.seen(at, tally);
    if (pid < kNitPid || pid > kTdtPid) return;
    seen_[id] = true;
    for (auto& rule : rules_)
        if (rule.table_id == id && (rule.section_number < 0 || rule.section_number == section.section_number))
            rule.watchdog.seen(at, tally);
    if (const auto close = closeness_indicator(id); close && gap && *gap < kClosest) {
        tally.hit(*close, at);
        tally.hit(Indicator::si_repetition, at);
    }
    if ((id == 0x4E || id == 0x4F) && section.section_number <= 1) {
        auto& first = events_[{id, section.table_id_extension}].first_of[section.section_number];
        if (!first) first = at;
    }
}

bool SiTiming::seen_any(std::initializer_list<std::uint8_t> table_ids) const {
    return std::any_of(table_ids.begin(), table_ids.end(), [&](std::uint8_t id) { return seen_[id]; });
}

void SiTiming::finish(const Moment& now, IndicatorTally& tally) const {
    pat_packet_.end(now, tally);
    pat_.end(now, tally);
    for (const auto& [pid, watchdog] : pmts_) watchdog.end(now, tally);
    for (const auto& rule : rules_) rule.watchdog.end(now, tally);
    for (const auto& [key, pair] : events_) {
        const Duration patience = seconds(key.first == 0x4E ? 2 : 10);
        const auto& first = pair.first_of[pair.first_of[0] ? 0 : 1];
        if (is_lone(pair) && now.time && first->time && *now.time - *first->time > patience)
            tally.hit(Indicator::eit_pf, *first);
    }
    const auto absent = [&](Indicator which, std::initializer_list<std::uint8_t> ids, const char* what) {
        if (!seen_any(ids)) tally.not_judged(which, std::string("the stream carries no ") + what);
    };
    absent(Indicator::nit, {0x40, 0x41}, "NIT");
    absent(Indicator::nit_actual, {0x40}, "NIT of its own network");
    absent(Indicator::nit_other, {0x41}, "NIT of another network");
    absent(Indicator::sdt, {0x42}, "SDT");
    absent(Indicator::sdt_actual, {0x42}, "SDT of its own");
    absent(Indicator::sdt_other, {0x46}, "SDT of another stream");
    absent(Indicator::eit, {0x4E}, "EIT present/following");
    absent(Indicator::eit_actual, {0x4E}, "EIT present/following of its own");
    absent(Indicator::eit_other, {0x4F}, "EIT present/following of another stream");
    absent(Indicator::eit_pf, {0x4E, 0x4F}, "EIT present/following");
    absent(Indicator::rst, {0x71}, "RST");
    absent(Indicator::tdt, {0x70}, "TDT");
    absent(Indicator::si_repetition, {0x40, 0x41, 0x42, 0x46, 0x4A, 0x4E, 0x4F, 0x70}, "SI tables");
}

}  // namespace mastline
