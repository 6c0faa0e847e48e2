// SPDX-License-Identifier: Apache-2.0
#include "service_register.hpp"

#include <algorithm>

#include "mastline/ts/cat.hpp"
#include "mastline/ts/dvb_time.hpp"
#include "mastline/ts/nit.hpp"
#include "mastline/ts/sdt.hpp"
#include "mastline/ts/virtual_channels.hpp"

namespace mastline {

bool ServiceRegister::apply(Pid pid, const Section& section, bool new_version) {
    switch (section.table_id) {
        case 0x00: return pid == kPatPid && apply_pat(section, new_version);
        case 0x01:
            if (const auto cat = parse_cat(section); cat && pid == kCatPid) {
                has_cat_ = true;
                emm_pids_ = ca_pids_of(cat->descriptors);
                return true;
            }
            return false;
        case 0x02: return apply_pmt(pid, section);
        case 0x40:
            if (const auto nit = parse_nit(section); nit && !nit->network_name.empty())
                network_name_ = nit->network_name;
            return false;
        case 0x42: return apply_sdt(section), false;
        case 0x4E: return apply_eit(section), false;
        case 0x70:
        case 0x73: utc_ = parse_time_table(section); return false;
        case 0xCD: utc_ = parse_system_time_table(section); return false;
        case 0xC7:
            if (auto pids = parse_master_guide_pids(section)) {
                has_master_guide_ = true;
                guide_pids_ = std::move(*pids);
                return true;
            }
            return false;
        case 0xC8:
        case 0xC9: return apply_virtual_channels(section), false;
        default: return false;
    }
}

bool ServiceRegister::apply_pat(const Section& section, bool new_version) {
    const auto pat = parse_pat(section);
    if (!pat) return false;
    has_pat_ = true;
    transport_stream_id_ = pat->transport_stream_id;
    if (pat->network_pid) network_pid_ = pat->network_pid;
    // A table of one section is all there is; of several, a new version begins afresh.
    const bool replaces = new_version || section.last_section_number == 0;
    std::map<ProgramNumber, TrackedProgramme> before;
    if (replaces) before.swap(programmes_);
    for (const auto& entry : pat->programmes) {
        const auto known = before.find(entry.program_number);
        TrackedProgramme& now = programmes_[entry.program_number];
        if (known != before.end() && known->second.pmt_pid == entry.program_map_pid)
            now = std::move(known->second);
        now.pmt_pid = entry.program_map_pid;
    }
    return true;
}

bool ServiceRegister::apply_pmt(Pid pid, const Section& section) {
    auto pmt = parse_pmt(section);
    if (!pmt) return false;
    const auto programme = programmes_.find(pmt->program_number);
    if (programme == programmes_.end() || programme->second.pmt_pid != pid) return false;
    programme->second.pmt = std::move(*pmt);
    programme->second.pmt_version = section.version_number;
    return true;
}

void ServiceRegister::apply_sdt(const Section& section) {
    const auto sdt = parse_sdt(section);
    if (!sdt) return;
    original_network_id_ = sdt->original_network_id;
    begin_section_of_services(section);
    for (const auto& s : sdt->services)
        services_[s.service_id] = {{.name = s.name,
                                    .provider = s.provider,
                                    .service_type = s.service_type,
                                    .free_ca_mode = s.free_ca_mode},
                                   section.table_id,
                                   section.section_number};
}

void ServiceRegister::apply_eit(const Section& section) {
    const auto eit = parse_eit(section);
    if (!eit || section.section_number > 1) return;
    const std::pair key{eit->service_id, section.section_number == 1};
    events_.erase(key);
    if (eit->events.empty()) return;
    const auto& e = eit->events.front();
    events_[key] = {e.event_id, e.start_utc, e.duration, e.language, e.name};
}

void ServiceRegister::apply_virtual_channels(const Section& section) {
    const auto channels = parse_virtual_channels(section);
    if (!channels) return;
    begin_section_of_services(section);
    for (const auto& c : channels->channels)
        if (c.channel_tsid == channels->transport_stream_id && c.is_programme())
            services_[c.program_number] = {{.name = c.short_name,
                                            .service_type = c.service_type,
                                            .virtual_channel = number_text(c),
                                            .free_ca_mode = c.access_controlled,
                                            .long_name = c.long_name,
                                            .etm_location = c.etm_location,
                                            .location = c.location},
                                           section.table_id,
                                           section.section_number};
}

void ServiceRegister::begin_section_of_services(const Section& section) {
    std::erase_if(services_, [&](const auto& entry) {
        const Described& d = entry.second;
        return d.table_id == section.table_id && (d.section_number == section.section_number ||
                                                  d.section_number > section.last_section_number);
    });
}

std::set<Pid> ServiceRegister::other_references() const {
    std::set<Pid> out(emm_pids_.begin(), emm_pids_.end());
    out.insert(guide_pids_.begin(), guide_pids_.end());
    if (network_pid_) out.insert(*network_pid_);
    return out;
}

std::optional<ServiceObservation> ServiceRegister::service(ProgramNumber number) const {
    const auto found = services_.find(number);
    return found == services_.end() ? std::nullopt : std::optional(found->second.service);
}

std::optional<EventObservation> ServiceRegister::event(ProgramNumber number, bool following) const {
    const auto found = events_.find({number, following});
    return found == events_.end() ? std::nullopt : std::optional(found->second);
}

}  // namespace mastline
