// SPDX-License-Identifier: Apache-2.0
#include "table_register.hpp"

#include <algorithm>

namespace mastline {

namespace {

// EN 300 468, 5.2.4: an EIT schedule table has gaps: segments of 8 sections, each filled in part.
bool has_segments(std::uint8_t table_id) { return table_id >= 0x50 && table_id <= 0x6F; }

}  // namespace

SectionNews TableRegister::add(Pid pid, const Section& section, std::uint32_t crc, std::uint64_t began,
                               const Moment& at) {
    const Key key{pid.value(), section.table_id, section.table_id_extension};
    auto found = entries_.find(key);
    if (found == entries_.end()) {
        if (entries_.size() >= kMost) return {};
        found = entries_.emplace(key, Entry{}).first;
    }
    Entry& e = found->second;
    SectionNews news;
    const bool first = e.seen.sections == 0;
    news.new_version = !first && section.version_number != e.seen.version;
    if (first || news.new_version) {
        e.had.reset();
        e.seen.version = section.version_number;
        if (news.new_version) ++e.seen.version_changes;
    }
    const bool alone = section.last_section_number == 0;
    news.fresh = !e.had[section.section_number] || (alone && crc != e.crc);
    if (!first && at.time && e.ended.time) {
        news.since_last = *at.time - *e.ended.time;
        e.seen.max_interval = std::max(e.seen.max_interval.value_or(*news.since_last), *news.since_last);
    }
    if (!first) news.packets_since_last = began - std::min(began, e.ended.packet);
    e.seen.pid = pid;
    e.seen.table_id = section.table_id;
    e.seen.extension = section.table_id_extension;
    ++e.seen.sections;
    e.had.set(section.section_number);
    e.last_section = section.last_section_number;
    e.crc = crc;
    e.ended = at;
    return news;
}

void TableRegister::add_crc_error(Pid pid, std::uint8_t table_id) {
    ++crc_errors_[{pid.value(), table_id}];
}

std::vector<TableObservation> TableRegister::tables() const {
    std::vector<TableObservation> out;
    for (const auto& [key, e] : entries_) {
        out.push_back(e.seen);
        const std::size_t needed = e.last_section + std::size_t{1};
        const std::bitset<256> all = std::bitset<256>().set() >> (256 - needed);
        out.back().complete = has_segments(e.seen.table_id) ? e.had[e.last_section] : (e.had & all) == all;
    }
    return out;
}

std::vector<CrcErrorObservation> TableRegister::crc_errors() const {
    std::vector<CrcErrorObservation> out;
    for (const auto& [key, count] : crc_errors_) out.push_back({Pid(key.first), key.second, count});
    return out;
}

}  // namespace mastline
