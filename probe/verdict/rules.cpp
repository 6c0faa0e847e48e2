// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>

#include "mastline/verdict/evidence.hpp"

namespace mastline {

namespace {

struct Rule {
    std::string_view check, text;
};

constexpr std::array<Rule, 29> kRules{{
    {"flow.arrival", "The plan sends the stream to this group; a receiver that joins gets it (RFC 3376 section 6: "
                     "the network forwards a group while it has members)."},
    {"flow.source", "The plan names one sender; two senders on one group mix their packets (RFC 3550 section 8 "
                    "tells them apart by SSRC, bare UDP by nothing)."},
    {"flow.steady", "A stream is continuous; silence of more than a second shows as a frozen picture (common practice)."},
    {"flow.encapsulation", "RTP is a header of 12 bytes before the first sync byte (RFC 2250 section 2, payload "
                           "type 33); bare UDP starts with 0x47."},
    {"flow.rate", "Transport packets of 188 bytes times eight, over the time they took, within the plan's window."},
    {"flow.loss", "RFC 3550 section 5.1: the sequence number rises by one with each packet. A number that is "
                  "passed over is a datagram that did not arrive."},
    {"flow.order", "RFC 3550 section 5.1: the sequence number rises by one with each packet. A lower number after "
                   "a higher one came late."},
    {"flow.repeats", "RFC 3550 section 5.1: no sequence number comes twice; in bare UDP no datagram equals one just before it."},
    {"flow.fec", "SMPTE ST 2022-1: a repair packet is the exclusive or of length, payload type, time stamp and payload of the packets it protects."},
    {"flow.ttl", "The TTL is at most what the plan sends; each router takes one (RFC 791 section 3.1)."},
    {"flow.dscp", "The DSCP is what the plan sends (RFC 2474 section 3)."},
    {"flow.vlan", "IEEE 802.1Q, 9.6: the VID of the tag is the VLAN that the frame belongs to; the plan names the VLAN of the streams."},
    {"stream.sync", "ISO/IEC 13818-1, 2.4.3.2: every transport packet starts with the sync byte 0x47. TR 101 290 "
                    "nos. 1.1 and 1.2."},
    {"stream.pat", "TR 101 290 no. 1.3.a: table_id 0x00 on PID 0 at least every 0.5 s."},
    {"stream.pmt", "TR 101 290 no. 1.5.a: table_id 0x02 on each PID that the PAT names, at least every 0.5 s."},
    {"stream.service", "ISO/IEC 13818-1, 2.4.4.3: the PAT lists the programme; EN 300 468, 6.2.33: the service "
                       "descriptor names it."},
    {"stream.name", "EN 300 468, 5.2.3: the SDT describes the service, at least every 2 s."},
    {"stream.components", "ISO/IEC 13818-1, 2.4.4.8: the PMT lists every component with its stream_type and PID; "
                          "TR 101 290 no. 1.6: packets of that PID come."},
    {"stream.scrambling", "ISO/IEC 13818-1, 2.4.3.3: transport_scrambling_control is 00 in the clear."},
    {"stream.transport-error", "ISO/IEC 13818-1, 2.4.3.3: transport_error_indicator says that at least one bit of "
                               "the packet is wrong. TR 101 290 no. 2.1."},
    {"stream.continuity", "ISO/IEC 13818-1, 2.4.3.3: continuity_counter rises by one, modulo 16, with each packet "
                          "of a PID that has payload; one repetition is allowed. TR 101 290 no. 1.4."},
    {"stream.crc", "ISO/IEC 13818-1, 2.4.4 and annex A: the CRC_32 over the whole section leaves a remainder of "
                   "zero. TR 101 290 no. 2.2."},
    {"stream.pcr-pid", "ISO/IEC 13818-1, 2.4.4.9: PCR_PID of the PMT."},
    {"stream.pcr-interval", "ISO/IEC 13818-1, 2.7.2: at most 100 ms from one PCR to the next. TR 101 290 no. 2.3a."},
    {"stream.pcr-continuity", "TR 101 290 no. 2.3b: the PCR moves by 0 to 100 ms from one to the next unless "
                              "discontinuity_indicator announces a step."},
    {"stream.pcr-jitter", "PCR against arrival, drift taken away, within what a display's buffer takes (common practice)."},
    {"stream.pts", "ISO/IEC 13818-1, 2.7.4: a PTS at least every 700 ms. TR 101 290 no. 2.5."},
    {"flow.join", "From the membership report to the first datagram within the limit of the verification."},
    {"flow.leave", "RFC 3376 section 8.8: a group without members stops after the Last Member Query Time."},
}};

}  // namespace

std::string_view rule_of(std::string_view check) {
    const auto found = std::ranges::find(kRules, check, &Rule::check);
    return found == kRules.end() ? std::string_view() : found->text;
}

}  // namespace mastline
