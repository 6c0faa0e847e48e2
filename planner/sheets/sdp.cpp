// SPDX-License-Identifier: Apache-2.0
#include "mastline/sheets/sdp.hpp"

#include "mastline/text/escape.hpp"

namespace mastline {

namespace {

constexpr int kColumnPayloadType = 96;  // first of the dynamic range (RFC 3551)
constexpr int kRowPayloadType = 97;

std::string address_type(const IpAddress& a) {
    return a.is_v4() ? "IN IP4 " : "IN IP6 ";
}

// The same channel and copy always give the same session id: FNV-1a over their text.
std::uint64_t session_id(const Expectation& flow) {
    std::uint32_t hash = 2166136261U;
    for (const char c : flow.channel + "/" + std::to_string(flow.copy))
        hash = (hash ^ static_cast<unsigned char>(c)) * 16777619U;
    return hash;
}

// RFC 8866 section 5.3: a session name is never empty.
std::string session_name(const Expectation& flow) {
    const std::string name = plain_line(flow.name);
    return name.find_first_not_of(' ') == std::string::npos ? "-" : name;
}

// RFC 8866 section 5.7: the TTL stands after IPv4 groups only.
std::string connection(const Expectation& flow) {
    const auto& group = flow.flow.group.address();
    return address_type(group) + to_text(group) +
           (group.is_v4() ? "/" + std::to_string(flow.ttl) : "");
}

// The span of one matrix and of its repair packets, in microseconds.
std::int64_t repair_window(const Expectation& flow, const FecPolicy& fec) {
    const std::int64_t bits =
        std::int64_t{8} * 188 * flow.packets_per_datagram * fec.columns * fec.rows;
    return 2 * bits * 1'000'000 / std::max<std::int64_t>(flow.rate.bits_per_second(), 1);
}

std::string media(const Expectation& flow) {
    const std::string port = std::to_string(flow.flow.port.number);
    if (flow.encapsulation == Encapsulation::udp) return "m=video " + port + " udp MP2T\r\n";
    return "m=video " + port + " RTP/AVP 33\r\na=rtpmap:33 MP2T/90000\r\n";
}

std::string repair_media(const Expectation& flow, int above, int payload_type, const std::string& format) {
    const std::string type = std::to_string(payload_type);
    return "m=application " + std::to_string(flow.flow.port.number + above) + " RTP/AVP " + type +
           "\r\na=rtpmap:" + type + " " + format + "/90000\r\n";
}

std::string fec_media(const Expectation& flow, const FecPolicy& fec) {
    std::string out = repair_media(flow, 2, kColumnPayloadType, "1d-interleaved-parityfec") +
                      "a=fmtp:" + std::to_string(kColumnPayloadType) + " L=" +
                      std::to_string(fec.columns) + "; D=" + std::to_string(fec.rows) +
                      "; repair-window=" + std::to_string(repair_window(flow, fec)) + "\r\na=mid:R1\r\n";
    if (fec.row_packets) out += repair_media(flow, 4, kRowPayloadType, "parityfec") + "a=mid:R2\r\n";
    return out;
}

}  // namespace

std::string write_sdp(const Expectation& flow, std::uint64_t version, const FecPolicy* fec) {
    const auto& group = flow.flow.group.address();
    const IpAddress origin = flow.source.value_or(IpAddress{});
    const bool with_fec = fec != nullptr && flow.encapsulation == Encapsulation::rtp;
    std::string out = "v=0\r\no=- " + std::to_string(session_id(flow)) + " " +
                      std::to_string(version) + " " + address_type(origin) + to_text(origin) +
                      "\r\ns=" + session_name(flow) + "\r\nc=" + connection(flow) + "\r\nt=0 0\r\n";
    if (with_fec) out += std::string("a=group:FEC-FR S1 R1") + (fec->row_packets ? " R2" : "") + "\r\n";
    if (flow.source_specific && flow.source)
        out += "a=source-filter: incl " + address_type(group) + to_text(group) + " " +
               to_text(*flow.source) + (flow.standby_source ? " " + to_text(*flow.standby_source) : "") + "\r\n";
    out += "a=recvonly\r\n" + media(flow);
    if (with_fec) out += "a=mid:S1\r\n" + fec_media(flow, *fec);
    return out;
}

}  // namespace mastline
