// SPDX-License-Identifier: Apache-2.0
// libdvbpsi's view of the tables that the rehearsal makes.
#include <catch2/catch.hpp>

#include <algorithm>
#include <memory>

// The library's headers include nothing of each other and need this order.
// clang-format off
extern "C" {
#include <dvbpsi/dvbpsi.h>
#include <dvbpsi/psi.h>
#include <dvbpsi/descriptor.h>
#include <dvbpsi/demux.h>
#include <dvbpsi/pat.h>
#include <dvbpsi/pmt.h>
#include <dvbpsi/sdt.h>
#include <dvbpsi/dr_0a.h>
#include <dvbpsi/dr_48.h>
}
// clang-format on

#include "plan_builder.hpp"
#include "tools/rehearse/stream/channel_stream.hpp"
#include "tools/rehearse/ts/descriptors.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

int complaint_count = 0;
void complain(dvbpsi_t*, dvbpsi_msg_level_t, const char*) {
    ++complaint_count;
}

struct ReadStream {
    std::uint8_t type = 0;
    std::uint16_t pid = 0;
    std::vector<std::uint8_t> tags;
    std::string language;
    bool operator==(const ReadStream&) const = default;
};

// What the library hands over.
struct Tables {
    std::uint16_t transport_stream = 0, sdt_transport_stream = 0, program = 0, pmt_pid = 0,
                  pcr_pid = 0, pmt_program = 0, service = 0;
    std::vector<ReadStream> streams;
    std::string provider, name;
};

Tables& tables(void* data) {
    return *static_cast<Tables*>(data);
}

void take_pat(void* data, dvbpsi_pat_t* pat) {
    tables(data).transport_stream = pat->i_ts_id;
    tables(data).program = pat->p_first_program->i_number;
    tables(data).pmt_pid = pat->p_first_program->i_pid;
    dvbpsi_pat_delete(pat);
}

void take_pmt(void* data, dvbpsi_pmt_t* pmt) {
    tables(data).pmt_program = pmt->i_program_number;
    tables(data).pcr_pid = pmt->i_pcr_pid;
    for (auto* es = pmt->p_first_es; es != nullptr; es = es->p_next) {
        ReadStream stream{es->i_type, es->i_pid, {}, {}};
        for (auto* d = es->p_first_descriptor; d != nullptr; d = d->p_next) {
            stream.tags.push_back(d->i_tag);
            if (d->i_tag != 0x0A) continue;
            const auto* language = dvbpsi_DecodeISO639Dr(d);
            stream.language.assign(language->code[0].iso_639_code,
                                   language->code[0].iso_639_code + 3);
        }
        tables(data).streams.push_back(stream);
    }
    dvbpsi_pmt_delete(pmt);
}

void take_sdt(void* data, dvbpsi_sdt_t* sdt) {
    tables(data).sdt_transport_stream = sdt->i_extension;
    tables(data).service = sdt->p_first_service->i_service_id;
    const auto* service = dvbpsi_DecodeServiceDr(sdt->p_first_service->p_first_descriptor);
    tables(data).provider.assign(
        service->i_service_provider_name,
        service->i_service_provider_name + service->i_service_provider_name_length);
    tables(data).name.assign(service->i_service_name,
                             service->i_service_name + service->i_service_name_length);
    dvbpsi_sdt_delete(sdt);
}

void new_subtable(dvbpsi_t* decoder, std::uint8_t table_id, std::uint16_t extension, void* data) {
    if (table_id == 0x42) dvbpsi_sdt_attach(decoder, table_id, extension, take_sdt, data);
}

Tables read_by_library(const Expectation& flow) {
    Tables out;
    dvbpsi_t* pat = dvbpsi_new(complain, DVBPSI_MSG_WARN);
    dvbpsi_t* pmt = dvbpsi_new(complain, DVBPSI_MSG_WARN);
    dvbpsi_t* sdt = dvbpsi_new(complain, DVBPSI_MSG_WARN);
    REQUIRE(dvbpsi_pat_attach(pat, take_pat, &out));
    REQUIRE(dvbpsi_pmt_attach(pmt, flow.program_number.value, take_pmt, &out));
    REQUIRE(dvbpsi_AttachDemux(sdt, new_subtable, &out));
    ChannelStream source(flow, {});
    for (Packet packet : take(source, packets_in(flow.rate, std::chrono::seconds(5)))) {
        auto* const bytes = static_cast<std::uint8_t*>(static_cast<void*>(packet.data()));
        if (pid_of(packet) == kPatPid) dvbpsi_packet_push(pat, bytes);
        if (pid_of(packet) == flow.pmt_pid) dvbpsi_packet_push(pmt, bytes);
        if (pid_of(packet) == kSdtPid) dvbpsi_packet_push(sdt, bytes);
    }
    dvbpsi_pat_detach(pat);
    dvbpsi_pmt_detach(pmt);
    dvbpsi_DetachDemux(sdt);
    for (auto* decoder : {pat, pmt, sdt}) dvbpsi_delete(decoder);
    return out;
}

}  // namespace

TEST_CASE("libdvbpsi reads the planned PAT, PMT and SDT", "[outside]") {
    complaint_count = 0;
    for (const auto& flow : every_kind()) {
        const Tables seen = read_by_library(flow);
        CHECK(seen.transport_stream == flow.transport_stream_id);
        CHECK(seen.sdt_transport_stream == flow.transport_stream_id);
        CHECK(seen.program == flow.program_number.value);
        CHECK(seen.pmt_pid == flow.pmt_pid.value());
        CHECK(seen.pmt_program == flow.program_number.value);
        CHECK(seen.pcr_pid == flow.pcr_pid.value());
        CHECK(seen.service == flow.program_number.value);
        CHECK(seen.provider == dvb_text(flow.provider));
        CHECK(seen.name == dvb_text(flow.service_name));
        REQUIRE(seen.streams.size() == flow.components.size());
        for (std::size_t i = 0; i < seen.streams.size(); ++i) {
            const auto& component = flow.components[i];
            const StreamKind kind = *stream_kind_named(component.kind);
            const auto& tags = seen.streams[i].tags;
            CHECK(seen.streams[i].type == kind.stream_type.value);
            CHECK(seen.streams[i].pid == component.pid.value());
            if (kind.descriptor_tag != 0)
                CHECK(std::find(tags.begin(), tags.end(), kind.descriptor_tag) != tags.end());
            // Teletext and subtitles tell their language in descriptors of their own.
            if (component.kind != "teletext" && component.kind != "subtitles")
                CHECK(seen.streams[i].language == component.language);
        }
    }
    CHECK(complaint_count == 0);
}

TEST_CASE("libdvbpsi reads a PMT that fills several packets", "[outside]") {
    Expectation flow = television();
    for (std::uint16_t i = 0; i < 60; ++i)
        flow.components.push_back({Pid(static_cast<std::uint16_t>(400 + i)), "ac3", "eng"});
    flow.rate = megabits_per_second(20);
    complaint_count = 0;
    const Tables seen = read_by_library(flow);
    CHECK(seen.streams.size() == 63);
    CHECK(complaint_count == 0);
}
