// SPDX-License-Identifier: Apache-2.0
// Prints the tables of a transport-stream file as libdvbpsi reads them, for comparison in tests.
#include <array>
#include <cstdint>
#include <cstdio>
#include <map>
#include <memory>
#include <string>

extern "C" {
#include <dvbpsi/dvbpsi.h>
#include <dvbpsi/psi.h>
#include <dvbpsi/descriptor.h>
#include <dvbpsi/pat.h>
#include <dvbpsi/pmt.h>
#include <dvbpsi/demux.h>
#include <dvbpsi/sdt.h>
#include <dvbpsi/dr_48.h>
}

namespace {

std::map<unsigned, dvbpsi_t*> decoders;  // by PID
bool had_pat = false;

void on_pmt(void*, dvbpsi_pmt_t* pmt) {
    std::printf("pmt %u version %u pcr %u\n", pmt->i_program_number, pmt->i_version, pmt->i_pcr_pid);
    for (const dvbpsi_pmt_es_t* es = pmt->p_first_es; es != nullptr; es = es->p_next)
        std::printf("component %u pid %u type %u\n", pmt->i_program_number, es->i_pid, es->i_type);
    dvbpsi_pmt_delete(pmt);
}

void on_pat(void*, dvbpsi_pat_t* pat) {
    if (!had_pat) {
        std::printf("pat %u version %u\n", pat->i_ts_id, pat->i_version);
        for (const dvbpsi_pat_program_t* p = pat->p_first_program; p != nullptr; p = p->p_next) {
            std::printf("programme %u pid %u\n", p->i_number, p->i_pid);
            if (p->i_number == 0 || decoders.count(p->i_pid) != 0) continue;
            dvbpsi_t* handle = dvbpsi_new(nullptr, DVBPSI_MSG_NONE);
            dvbpsi_pmt_attach(handle, p->i_number, on_pmt, nullptr);
            decoders[p->i_pid] = handle;
        }
    }
    had_pat = true;
    dvbpsi_pat_delete(pat);
}

void on_sdt(void*, dvbpsi_sdt_t* sdt) {
    for (const dvbpsi_sdt_service_t* s = sdt->p_first_service; s != nullptr; s = s->p_next)
        for (dvbpsi_descriptor_t* d = s->p_first_descriptor; d != nullptr; d = d->p_next) {
            if (d->i_tag != 0x48) continue;
            const dvbpsi_service_dr_t* r = dvbpsi_DecodeServiceDr(d);
            const auto text = [](const std::uint8_t* bytes, std::size_t size) {
                return std::string(bytes, bytes + size);
            };
            std::printf("service %u type %u provider %s name %s\n", s->i_service_id, r->i_service_type,
                        text(r->i_service_provider_name, r->i_service_provider_name_length).c_str(),
                        text(r->i_service_name, r->i_service_name_length).c_str());
        }
    dvbpsi_sdt_delete(sdt);
}

void on_subtable(dvbpsi_t* handle, std::uint8_t table_id, std::uint16_t extension, void*) {
    if (table_id == 0x42) dvbpsi_sdt_attach(handle, table_id, extension, on_sdt, nullptr);
}

}  // namespace

int main(int argc, char** argv) {
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(argc == 2 ? std::fopen(argv[1], "rb") : nullptr,
                                                               std::fclose);
    if (!file) return 2;
    decoders[0] = dvbpsi_new(nullptr, DVBPSI_MSG_NONE);
    dvbpsi_pat_attach(decoders[0], on_pat, nullptr);
    decoders[0x11] = dvbpsi_new(nullptr, DVBPSI_MSG_NONE);
    dvbpsi_AttachDemux(decoders[0x11], on_subtable, nullptr);
    std::array<std::uint8_t, 188> packet{};
    // Packets of 192 bytes have a stamp in front.
    const long stamp = std::fgetc(file.get()) == 0x47 ? 0 : 4;
    for (std::rewind(file.get()), std::fseek(file.get(), stamp, SEEK_SET);
         std::fread(packet.data(), 1, packet.size(), file.get()) == packet.size(); std::fseek(file.get(), stamp, SEEK_CUR)) {
        const unsigned pid = ((packet[1] & 0x1FU) << 8) | packet[2];
        if (const auto decoder = decoders.find(pid); decoder != decoders.end())
            dvbpsi_packet_push(decoder->second, packet.data());
    }
    for (const auto& [pid, handle] : decoders) {
        if (pid == 0) dvbpsi_pat_detach(handle);
        else if (pid == 0x11) dvbpsi_DetachDemux(handle);
        else dvbpsi_pmt_detach(handle);
        dvbpsi_delete(handle);
    }
    return 0;
}
