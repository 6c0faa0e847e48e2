// SPDX-License-Identifier: Apache-2.0
#include "flow_checks.hpp"

#include <algorithm>

#include "mastline/bytes/crc32.hpp"
#include "mastline/ts/component_kind.hpp"

namespace mastline {

namespace {

TsPacket first_packet_at(const std::byte* at) { return TsPacket(at, kTsPacketSize); }

// TDT, RST and stuffing have no CRC_32 (EN 300 468, clause 5), nor have private sections of the short form
// (ISO/IEC 13818-1, 2.4.4.10); a splice_info_section has (SCTE 35, 9.6). Of the tables that are always long, PSIP
// among them, the short form is damage.
bool has_no_crc(ByteView section) {
    const std::uint8_t id = read_u8(section, 0);
    const bool long_form = (read_u8(section, 1) & 0x80) != 0;
    const bool known = id < 0x80 || (id >= 0xC7 && id <= 0xCD) || id == 0xFC;
    return (id >= 0x70 && id <= 0x72) || (!long_form && !known);
}

// The tables of TR 101 290 no. 2.2: PAT, CAT, PMT, NIT, SDT, BAT, EIT, TOT.
bool counts_as_crc_error(Pid pid, bool is_pmt) {
    return is_pmt || pid == kPatPid || pid == kCatPid || pid == kNitPid || pid == kSdtPid ||
           pid == kEitPid || pid == kTdtPid;
}

}  // namespace

void FlowChecks::packets(ByteView run, const TimeLine& line, bool by_arrival) {
    if (run.empty()) return;
    const std::uint64_t base = next_index_;
    check(run, line, by_arrival);
    note_last_times(run, base);
    run_ = {};
}

void FlowChecks::arrived(ByteView run, Duration at) {
    const std::uint64_t base = next_index_;
    check(run, {.known = true, .index = static_cast<std::int64_t>(base), .start = at}, true);
    if (run.size() / kTsPacketSize < pids_.count()) {
        note_and_release(run, base);
    } else {
        note_last_times(run, base);
        release(run);
    }
    run_ = {};
}

void FlowChecks::check(ByteView run, const TimeLine& line, bool by_arrival) {
    line_ = line;
    run_ = run;
    by_arrival_ = by_arrival;
    if (line.known) base_ = by_arrival ? TimeBase::arrival : TimeBase::pcr;
    const std::uint64_t base = next_index_;
    if (line.known && !first_) {
        first_ = moment(base);
        timing_.begin(*first_);
    }
    if (line.known && resumes_) own_loss_over(moment(base));
    const std::byte* const begin = run.data();
    const std::byte* const end = begin + run.size();
    for (const std::byte* p = begin; (p = pids_.skip_plain(p, end)) != end; p += kTsPacketSize)
        examine(first_packet_at(p), base + static_cast<std::uint64_t>(p - begin) / kTsPacketSize);
    next_index_ = base + run.size() / kTsPacketSize;
    last_ = moment(next_index_ - 1);
    if (!line.drawn_on) last_certain_ = last_;
    if (!first_batch_ && by_arrival) first_batch_ = next_index_;
}

void FlowChecks::sync_lost() {
    const Moment at = moment(next_index_);
    tally_.hit(Indicator::sync_byte, at, 2);
    tally_.hit(Indicator::sync_loss, at);
    disturbed(next_index_);
}

void FlowChecks::own_loss() {
    const Moment at = moment(next_index_);
    own_loss_ = at.time;
    pids_.forget_counters();
    for (auto& a : assemblies_) a.sections.interrupt();
    for (auto& c : components_) c.pes.not_seen();
    for (auto& pcr : pcrs_) pcr.begin_anew();
    timing_.begin_anew(at);
    resumes_ = true;
}

// However long it took, nothing was due meanwhile.
void FlowChecks::own_loss_over(const Moment& at) {
    resumes_ = false;
    own_loss_ = at.time;
    timing_.begin_anew(at);
}

void FlowChecks::examine(TsPacket packet, std::uint64_t index) {
    const Moment at = moment(index);
    if (read_u8(packet, 0) != kSyncByte) return damaged(packet, Indicator::sync_byte, at);
    const PacketHeader header = packet_header(packet);
    if (header.transport_error_indicator) return damaged(packet, Indicator::transport, at);
    const PidTable::Id id = identify(header.pid, at);
    std::optional<AdaptationField> field;
    if (header.has_adaptation_field) field = parse_adaptation_field(packet);
    const bool broken_field = header.has_adaptation_field && !field;
    const bool discontinuity = field && field->discontinuity_indicator;
    const std::uint64_t before = last_index(id);
    const ContinuityStep step = pids_.step(id, packet, header, discontinuity);
    if (step.verdict != ContinuityVerdict::good) continuity(id, step, before, at);
    if (header.pid == kPatPid) timing_.pat_packet(table_moment(at), tally_);
    if (header.transport_scrambling_control != 0) scrambled(id, at);
    if (field) adaptation(id, *field, !step.repeated, at);
    if (!header.has_payload || broken_field || step.repeated || header.transport_scrambling_control != 0)
        return;
    const std::size_t offset = field ? 5 + field->length : 4;
    payload(id, ByteView(packet).subspan(offset), header, discontinuity, at);
}

// No other indication is taken from a damaged packet (TR 101 290 no. 2.1), not even a gap in the
// counter that leaving it out would make.
void FlowChecks::damaged(TsPacket packet, Indicator why, const Moment& at) {
    tally_.hit(why, at);
    const PacketHeader header = packet_header(packet);
    pids_.pass_damaged(header);
    const PidTable::Id id = pids_.find(header.pid);
    if (id == PidTable::kNone) return;
    if (facts_[id].assembler) assemblies_[*facts_[id].assembler].sections.interrupt();
    if (facts_[id].component) components_[*facts_[id].component].pes.interrupt();
}

PidTable::Id FlowChecks::identify(Pid pid, const Moment& at) {
    const PidTable::Id known = pids_.find(pid);
    if (known != PidTable::kNone) return known;
    const PidTable::Id id = pids_.find_or_add(pid);
    facts_.emplace_back().first = at;
    facts_[id].unreferenced_since = at;
    assign_role(id);
    return id;
}

bool FlowChecks::carries_tables(Pid pid) const {
    return pid == kPatPid || pid == kCatPid || (pid >= kNitPid && pid <= kTdtPid) || pid == kPsipPid ||
           pid == services_.network_pid() || pmt_pids_.contains(pid);
}

// What the PID is for, by its number and the tables so far.
void FlowChecks::assign_role(PidTable::Id id) {
    const Pid pid = pids_.memory(id).pid;
    PidFacts& facts = facts_[id];
    const bool tables = carries_tables(pid);
    if (tables && !facts.assembler) {
        facts.assembler = assemblies_.size();
        assemblies_.emplace_back();
    }
    facts.carries_tables = tables;
    const auto component = component_of_.find(pid);
    facts.component = component == component_of_.end() ? std::nullopt : std::optional(component->second);
    pids_.look_always(id, tables || (facts.component && components_[*facts.component].pes.wants_every_payload()));
    const bool referenced = tables || pid.value() < 0x20 || pid == kNullPid || references_.contains(pid);
    if (referenced) facts.unreferenced_since.reset();
    else if (facts.referenced) facts.unreferenced_since = last_;
    facts.referenced = referenced;
}

// Index of the last packet of the PID.
std::uint64_t FlowChecks::last_index(PidTable::Id id) const {
    const std::byte* const last = pids_.state(id).last;
    if (last == nullptr || last < run_.data() || last >= run_.data() + run_.size()) return facts_[id].last_index;
    return next_index_ + static_cast<std::uint64_t>(last - run_.data()) / kTsPacketSize;
}

void FlowChecks::disturbed(std::uint64_t behind_packet) {
    for (auto& pcr : pcrs_) pcr.disturbed(behind_packet);
}

void FlowChecks::continuity(PidTable::Id id, const ContinuityStep& step, std::uint64_t before,
                            const Moment& at) {
    PidFacts& facts = facts_[id];
    disturbed(before);
    if (step.verdict == ContinuityVerdict::duplicate) {
        ++facts.duplicates;
        return;
    }
    ++facts.continuity_errors;
    facts.packets_lost += step.lost;
    tally_.hit(Indicator::continuity, at);
    if (step.repeated) return;
    if (facts.assembler) assemblies_[*facts.assembler].sections.interrupt();
    if (facts.component) components_[*facts.component].pes.interrupt();
}

void FlowChecks::adaptation(PidTable::Id id, const AdaptationField& field, bool original, const Moment& at) {
    PidFacts& facts = facts_[id];
    if (original && field.discontinuity_indicator) ++facts.discontinuities;
    if (field.random_access_indicator) ++facts.random_access;
    if (!field.pcr) return;
    ++facts.pcrs;
    if (!original) return;
    if (!facts.pcr) {
        facts.pcr = pcrs_.size();
        pcrs_.emplace_back(pids_.memory(id).pid);
    }
    pcrs_[*facts.pcr].read({.pcr = *field.pcr,
                            .at = at,
                            .by_arrival = by_arrival_,
                            .discontinuity = field.discontinuity_indicator},
                           tally_);
}

void FlowChecks::scrambled(PidTable::Id id, const Moment& at) {
    if (!first_scrambled_) first_scrambled_ = at;
    if (facts_[id].component) components_[*facts_[id].component].pes.not_seen();
    const Pid pid = pids_.memory(id).pid;
    if (pid == kPatPid) {
        tally_.hit(Indicator::pat, at);
        tally_.hit(Indicator::pat_2, at);
    } else if (pmt_pids_.contains(pid)) {
        tally_.hit(Indicator::pmt, at);
        tally_.hit(Indicator::pmt_2, at);
    }
}

void FlowChecks::payload(PidTable::Id id, ByteView payload, const PacketHeader& header,
                         bool discontinuity, const Moment& at) {
    if (facts_[id].carries_tables) feed_sections(id, payload, header.payload_unit_start_indicator, at);
    if (!facts_[id].component) return;
    Component& c = components_[*facts_[id].component];
    const bool access = c.pes.payload(payload, header.payload_unit_start_indicator, discontinuity, at, tally_);
    if (access && !c.first_access) c.first_access = at;
    if (!facts_[id].carries_tables) pids_.look_always(id, c.pes.wants_every_payload());
}

void FlowChecks::feed_sections(PidTable::Id id, ByteView payload, bool unit_start, const Moment& at) {
    const std::size_t which = *facts_[id].assembler;
    const Pid pid = pids_.memory(id).pid;
    // A section may change roles and so make new assemblies: nothing of this one is held meanwhile.
    SectionAssembler sections = std::move(assemblies_[which].sections);
    std::uint64_t began = sections.collecting() ? assemblies_[which].began : at.packet;
    sections.feed(
        payload, unit_start,
        [&](ByteView whole) {
            section(pid, whole, began, at);
            began = at.packet;
        },
        [&](ByteView start) {
            crc_error(pid, read_u8(start, 0), at);
            began = at.packet;
        });
    assemblies_[which].sections = std::move(sections);
    assemblies_[which].began = began;
}

void FlowChecks::section(Pid pid, ByteView bytes, std::uint64_t began, const Moment& at) {
    const std::uint8_t table_id = read_u8(bytes, 0);
    const bool no_crc = has_no_crc(bytes);
    std::uint32_t crc = 0;
    if (!no_crc) {
        if (!section_crc_is_right(bytes)) return crc_error(pid, table_id, at);
        crc = read_u32(bytes, bytes.size() - 4);
    }
    const auto parsed = parse_section(bytes);
    if (!parsed) return;
    // A table that is yet to come in force is there, but changes nothing.
    if (!parsed->current_next_indicator) return timing_.section(pid, *parsed, std::nullopt, table_moment(at), tally_);
    const SectionNews news = tables_.add(pid, *parsed, crc, began, at);
    timing_.section(pid, *parsed, section_gap(news), table_moment(at), tally_);
    const auto programme = services_.programmes().find(ProgramNumber{parsed->table_id_extension});
    const bool wanted = table_id == 0x02 && programme != services_.programmes().end() && !programme->second.pmt;
    if (!news.fresh && !wanted && !no_crc && table_id != 0x73 && table_id != 0xCD) return;
    if (services_.apply(pid, *parsed, news.new_version)) tables_changed(at);
}

void FlowChecks::crc_error(Pid pid, std::uint8_t table_id, const Moment& at) {
    tables_.add_crc_error(pid, table_id);
    if (counts_as_crc_error(pid, pmt_pids_.contains(pid))) tally_.hit(Indicator::crc, at);
}

// In a datagram packets wait for the last one: in a slow stream that would make a table look overdue that is not.
Moment FlowChecks::table_moment(const Moment& at) const {
    Moment out = at;
    const std::uint64_t end = next_index_ + run_.size() / kTsPacketSize;
    if (!by_arrival_ || at.packet + 1 >= end) return out;
    const auto behind = static_cast<double>(end - 1 - at.packet);
    for (const auto& pcr : pcrs_)
        if (const auto ticks = pcr.ticks_per_packet()) {
            out.late = Duration(static_cast<std::int64_t>(*ticks * behind / 0.027));
            break;
        }
    return out;
}

// Arrival stamps bunch up; packets at the stream's rate cannot be closer than they are.
std::optional<Duration> FlowChecks::section_gap(const SectionNews& news) const {
    if (!news.since_last || !by_arrival_) return news.since_last;
    for (const auto& pcr : pcrs_)
        if (const auto ticks = pcr.ticks_per_packet())
            return std::max(*news.since_last, Duration(static_cast<std::int64_t>(
                *ticks * static_cast<double>(*news.packets_since_last) / 0.027)));
    return std::nullopt;
}

void FlowChecks::tables_changed(const Moment& at) {
    pmt_pids_.clear();
    references_ = services_.other_references();
    component_of_.clear();
    for (auto& c : components_) c.current = false;
    for (const auto& [number, programme] : services_.programmes()) {
        pmt_pids_.insert(programme.pmt_pid);
        if (!programme.pmt) continue;
        if (programme.pmt->pcr_pid) references_.insert(*programme.pmt->pcr_pid);
        const auto ca = ca_pids_of(programme.pmt->descriptors);
        references_.insert(ca.begin(), ca.end());
        for (const auto& c : programme.pmt->components) use_component(c, programme.pmt->descriptors, at);
    }
    timing_.expect_pmts({pmt_pids_.begin(), pmt_pids_.end()}, at);
    for (std::size_t id = 1; id <= pids_.count(); ++id) assign_role(static_cast<PidTable::Id>(id));
}

void FlowChecks::use_component(const Pmt::Component& component, const Descriptors& programme,
                               const Moment& at) {
    const Pid pid = component.elementary_pid;
    references_.insert(pid);
    const auto ca = ca_pids_of(component.descriptors);
    references_.insert(ca.begin(), ca.end());
    const std::string kind = kind_of(component, programme);
    const auto known = std::find_if(components_.begin(), components_.end(), [&](const Component& c) {
        return c.pid == pid && c.pes.kind() == kind;
    });
    const auto index = static_cast<std::size_t>(known - components_.begin());
    if (known == components_.end()) components_.push_back({.pid = pid, .pes = PesTrack(kind), .expected = at});
    components_[index].current = true;
    components_[index].pes.may_stand_still(announces_stills(component.descriptors));
    component_of_[pid] = index;
}

void FlowChecks::note_last_time(PidTable::Id id, std::uint64_t index) {
    PidFacts& facts = facts_[id];
    const Moment at = moment(index);
    facts.last_index = index;
    if (!at.time) return;
    // The component is looked at only where it may matter: it lies elsewhere in memory.
    if (facts.component && facts.last && *at.time - *facts.last > options_.pid_period) {
        const Component& c = components_[*facts.component];
        const Duration since = std::max({*facts.last, c.expected.time.value_or(*facts.last), own_loss_.value_or(*facts.last)});
        if ((c.pes.is_video() || c.pes.is_audio()) && *at.time - since > options_.pid_period)
            tally_.hit(Indicator::pid, at);
    }
    facts.last = at.time;
}

void FlowChecks::note_last_times(ByteView run, std::uint64_t first_index) {
    const std::byte* const begin = run.data();
    const auto note = [&](PidTable::Id id, const std::byte* p) {
        note_last_time(id, first_index + static_cast<std::uint64_t>(p - begin) / kTsPacketSize);
    };
    if (run.size() / kTsPacketSize < pids_.count()) {
        for (const std::byte* p = begin; p != begin + run.size(); p += kTsPacketSize) {
            const PidTable::Id id = pids_.find(Pid(static_cast<std::uint16_t>(header_word(p) >> 8)));
            if (id != PidTable::kNone && pids_.state(id).last == p) note(id, p);
        }
        return;
    }
    for (std::size_t i = 1; i <= pids_.count(); ++i) {
        const auto id = static_cast<PidTable::Id>(i);
        const std::byte* const last = pids_.state(id).last;
        if (last >= begin && last < begin + run.size() && last != nullptr) note(id, last);
    }
}

// Both at one go, for few packets.
void FlowChecks::note_and_release(ByteView run, std::uint64_t first_index) {
    for (const std::byte* p = run.data(); p != run.data() + run.size(); p += kTsPacketSize, ++first_index) {
        const PidTable::Id id = pids_.find(Pid(static_cast<std::uint16_t>(header_word(p) >> 8)));
        if (id == PidTable::kNone || pids_.state(id).last != p) continue;
        note_last_time(id, first_index);
        pids_.save_last(id);
    }
}

}  // namespace mastline
