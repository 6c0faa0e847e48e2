// SPDX-License-Identifier: Apache-2.0
// What the tables of a stream say: programmes, components, services, events, networks.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "mastline/stream/programme_observation.hpp"
#include "mastline/ts/eit.hpp"
#include "mastline/ts/pat.hpp"
#include "mastline/ts/pmt.hpp"
#include "mastline/ts/section.hpp"

namespace mastline {

// One programme of the PAT, and its PMT once that has come.
struct TrackedProgramme {
    Pid pmt_pid;
    std::optional<Pmt> pmt;
    std::uint8_t pmt_version = 0;
};

class ServiceRegister {
public:
    // A section that is fresh, current, and whose CRC is right. Returns whether the set of
    // programmes or components, or what the stream refers to, may have changed.
    bool apply(Pid pid, const Section& section, bool new_version);

    const std::map<ProgramNumber, TrackedProgramme>& programmes() const { return programmes_; }
    bool has_pat() const { return has_pat_; }
    bool has_cat() const { return has_cat_; }
    bool has_master_guide() const { return has_master_guide_; }
    std::optional<std::uint16_t> transport_stream_id() const { return transport_stream_id_; }
    std::optional<std::uint16_t> original_network_id() const { return original_network_id_; }
    std::optional<Pid> network_pid() const { return network_pid_; }
    const std::string& network_name() const { return network_name_; }
    const std::string& utc() const { return utc_; }
    // PIDs that the CAT, the PAT's network entry or the master guide refer to.
    std::set<Pid> other_references() const;

    std::optional<ServiceObservation> service(ProgramNumber number) const;
    std::optional<EventObservation> event(ProgramNumber number, bool following) const;

private:
    bool apply_pat(const Section& section, bool new_version);
    bool apply_pmt(Pid pid, const Section& section);
    void apply_sdt(const Section& section);
    void apply_eit(const Section& section);
    void apply_virtual_channels(const Section& section);

    std::map<ProgramNumber, TrackedProgramme> programmes_;
    bool has_pat_ = false, has_cat_ = false, has_master_guide_ = false;
    std::optional<std::uint16_t> transport_stream_id_, original_network_id_;
    std::optional<Pid> network_pid_;
    std::string network_name_, utc_;
    std::vector<Pid> emm_pids_, guide_pids_;
    // What a section says of services replaces all that it, or one behind the now last, said before.
    void begin_section_of_services(const Section& section);

    struct Described {
        ServiceObservation service;
        std::uint8_t table_id = 0, section_number = 0;  // that described it
    };
    std::map<ProgramNumber, Described> services_;
    std::map<std::pair<ProgramNumber, bool>, EventObservation> events_;
};

}  // namespace mastline
