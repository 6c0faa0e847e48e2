// SPDX-License-Identifier: Apache-2.0
// The checks of one flow's packets, in sync and on a time line.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <vector>

#include "indicators.hpp"
#include "mastline/stream/observation.hpp"
#include "mastline/stream/stream.hpp"
#include "mastline/ts/adaptation_field.hpp"
#include "mastline/ts/section_assembler.hpp"
#include "pcr_track.hpp"
#include "pes_track.hpp"
#include "pid_table.hpp"
#include "service_register.hpp"
#include "si_timing.hpp"
#include "table_register.hpp"
#include "time_line.hpp"

namespace mastline {

class FlowChecks {
public:
    explicit FlowChecks(StreamOptions options) : options_(options), facts_(1) {}

    // Whole packets. They continue the ones before unless lost() or sync_lost() was called.
    void packets(ByteView run, const TimeLine& line, bool by_arrival);
    // Those that came in one datagram; their bytes go away, and so does nothing before them.
    void arrived(ByteView run, Duration at);
    // The bytes of the runs since the last call go away.
    void release(ByteView run) { pids_.save_last(run.data(), run.data() + run.size()); }
    void sync_lost();
    void own_loss();
    // Some are, of which the counters need not tell, behind `waiting` ones that are yet to come.
    void packets_missing(std::uint64_t waiting) { disturbed(next_index_ + waiting); }

    std::uint64_t next_index() const { return next_index_; }
    StreamObservation observe() const;
    StreamFaults faults() const {
        const auto met = [&](Indicator which) { return tally_.of(which).count; };
        return {met(Indicator::sync_loss) + met(Indicator::sync_byte), met(Indicator::pat_2),
                met(Indicator::pmt_2), met(Indicator::transport), met(Indicator::continuity),
                met(Indicator::crc), met(Indicator::pcr_repetition), met(Indicator::pcr_discontinuity)};
    }

private:
    // What is kept of a PID besides the rules of its header.
    struct PidFacts {
        Moment first;
        std::optional<Duration> last;
        std::uint64_t last_index = 0;  // as of the last run
        std::uint64_t continuity_errors = 0, packets_lost = 0, duplicates = 0;
        std::uint64_t discontinuities = 0, random_access = 0, pcrs = 0;
        std::optional<std::size_t> assembler, component, pcr;  // into the vectors below
        bool carries_tables = false, referenced = false;
        std::optional<Moment> unreferenced_since;
    };
    // Sections of one PID under way.
    struct Assembly {
        SectionAssembler sections;
        std::uint64_t began = 0;  // packet in which the section under way began
    };
    struct Component {
        Pid pid;
        PesTrack pes;
        bool current = true;  // in a PMT now
        Moment expected;      // since when
        std::optional<Moment> first_access;
    };

    Moment moment(std::uint64_t index) const {
        return {index, line_.known ? std::optional(line_.at(index)) : std::nullopt};
    }
    Moment table_moment(const Moment& at) const;
    void examine(TsPacket packet, std::uint64_t index);
    void damaged(TsPacket packet, Indicator why, const Moment& at);
    PidTable::Id identify(Pid pid, const Moment& at);
    void assign_role(PidTable::Id id);
    bool carries_tables(Pid pid) const;
    void continuity(PidTable::Id id, const ContinuityStep& step, std::uint64_t before, const Moment& at);
    void disturbed(std::uint64_t behind_packet);
    std::uint64_t last_index(PidTable::Id id) const;
    void adaptation(PidTable::Id id, const AdaptationField& field, bool original, const Moment& at);
    void payload(PidTable::Id id, ByteView payload, const PacketHeader& header, bool discontinuity,
                 const Moment& at);
    void scrambled(PidTable::Id id, const Moment& at);
    void feed_sections(PidTable::Id id, ByteView payload, bool unit_start, const Moment& at);
    void section(Pid pid, ByteView bytes, std::uint64_t began, const Moment& at);
    void crc_error(Pid pid, std::uint8_t table_id, const Moment& at);
    std::optional<Duration> section_gap(const SectionNews& news) const;
    void tables_changed(const Moment& at);
    void use_component(const Pmt::Component& component, const Descriptors& programme, const Moment& at);
    void check(ByteView run, const TimeLine& line, bool by_arrival);
    void note_last_times(ByteView run, std::uint64_t first_index);
    void note_and_release(ByteView run, std::uint64_t first_index);
    void own_loss_over(const Moment& at);
    void note_last_time(PidTable::Id id, std::uint64_t index);

    void observe_pids(StreamObservation& into) const;
    void judge_references(IndicatorTally& tally) const;
    void observe_programmes(StreamObservation& into) const;
    void observe_component(ProgrammeObservation& programme, const Pmt& pmt, std::size_t index) const;
    void observe_pcrs(StreamObservation& into, IndicatorTally& tally) const;
    void observe_rates(StreamObservation& into) const;
    void judge_absences(const StreamObservation& seen, IndicatorTally& tally) const;
    std::string role(PidTable::Id id) const;
    std::uint64_t null_packets() const;

    StreamOptions options_;
    TimeLine line_;
    ByteView run_;  // at hand
    bool by_arrival_ = false;
    TimeBase base_ = TimeBase::none;
    std::uint64_t next_index_ = 0;
    std::optional<Moment> first_, last_;
    std::optional<Moment> last_certain_;  // the last that no line was drawn on to
    std::optional<std::uint64_t> first_batch_;  // packets that came with the first arrival stamp
    PidTable pids_;
    std::vector<PidFacts> facts_;  // by id of the table
    std::vector<Assembly> assemblies_;
    std::vector<Component> components_;
    std::vector<PcrTrack> pcrs_;
    std::set<Pid> pmt_pids_;
    std::map<Pid, std::size_t> component_of_;
    std::set<Pid> references_;
    std::optional<Moment> first_scrambled_;
    std::optional<Duration> own_loss_;  // the end of the last
    bool resumes_ = false;              // nothing came since
    TableRegister tables_;
    ServiceRegister services_;
    SiTiming timing_;
    IndicatorTally tally_;
};

}  // namespace mastline
