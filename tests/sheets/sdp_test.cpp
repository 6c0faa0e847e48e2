// SPDX-License-Identifier: Apache-2.0
#include "mastline/sheets/sdp.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

namespace {

Expectation stream() {
    Expectation e;
    e.channel = "101";
    e.name = "Channel 101";
    e.flow = {*parse_group("239.192.10.20"), UdpPort{5004}};
    e.source = IpAddress::v4(0xC000020A);
    e.ttl = 16;
    e.rate = megabits_per_second(10);
    return e;
}

bool has_line(const std::string& sdp, const std::string& line) {
    return ("\r\n" + sdp).find("\r\n" + line + "\r\n") != std::string::npos;
}

}  // namespace

TEST_CASE("an RTP stream is described line by line as RFC 8866 orders", "[outside]") {
    // RFC 8866 section 5: v o s c t, then attributes, then media; RFC 3551: payload type 33 is MP2T.
    auto e = stream();
    e.encapsulation = Encapsulation::rtp;
    CHECK(write_sdp(e, 7) ==
          "v=0\r\no=- 1312756515 7 IN IP4 192.0.2.10\r\ns=Channel 101\r\n"
          "c=IN IP4 239.192.10.20/16\r\nt=0 0\r\na=recvonly\r\n"
          "m=video 5004 RTP/AVP 33\r\na=rtpmap:33 MP2T/90000\r\n");
}

TEST_CASE("a raw UDP stream names its media type", "[outside]") {
    // RFC 8866 section 5.14: with proto "udp" the format MUST be a media subtype.
    CHECK(has_line(write_sdp(stream()), "m=video 5004 udp MP2T"));
    CHECK(write_sdp(stream()).find("rtpmap") == std::string::npos);
}

TEST_CASE("IPv6 groups carry no TTL", "[outside]") {
    // RFC 8866 section 5.7: "IPv6 multicast does not use TTL scoping".
    auto e = stream();
    e.flow.group = *parse_group("ff15::8000:101");
    e.source = *parse_ip_address("2001:db8::11");
    const auto sdp = write_sdp(e);
    CHECK(has_line(sdp, "c=IN IP6 ff15::8000:101"));
    CHECK(sdp.find(" IN IP6 2001:db8::11\r\n") != std::string::npos);
}

TEST_CASE("a source-specific stream has a source filter", "[outside]") {
    // RFC 4570 section 3.
    auto e = stream();
    e.flow.group = *parse_group("232.1.2.3");
    e.source_specific = true;
    CHECK(has_line(write_sdp(e), "a=source-filter: incl IN IP4 232.1.2.3 192.0.2.10"));
    e.standby_source = *parse_ip_address("192.0.2.11");  // a list of sources: RFC 4570 section 3
    CHECK(has_line(write_sdp(e), "a=source-filter: incl IN IP4 232.1.2.3 192.0.2.10 192.0.2.11"));
    e.source.reset();
    CHECK(write_sdp(e).find("source-filter") == std::string::npos);
}

TEST_CASE("FEC columns and rows are described on port + 2 and + 4 and grouped with the media", "[outside]") {
    // RFC 5956 section 4 (FEC-FR; repair flows of one group add to each other), RFC 6015 section 5.1
    // (L, D, repair-window), RFC 3009 section 6 (application/parityfec).
    auto e = stream();
    e.encapsulation = Encapsulation::rtp;
    FecPolicy fec{10, 10, true, {}};
    const auto sdp = write_sdp(e, 1, &fec);
    CHECK(has_line(sdp, "a=group:FEC-FR S1 R1 R2"));
    CHECK(has_line(sdp, "m=application 5008 RTP/AVP 97"));
    CHECK(has_line(sdp, "a=rtpmap:97 parityfec/90000"));
    CHECK(has_line(sdp, "a=mid:R2"));
    CHECK(has_line(sdp, "m=application 5006 RTP/AVP 96"));
    CHECK(has_line(sdp, "a=rtpmap:96 1d-interleaved-parityfec/90000"));
    // A 10 x 10 matrix at 10 Mbit/s lasts 100 x 1316 x 8 / 10^7 = 105.28 ms.
    CHECK(has_line(sdp, "a=fmtp:96 L=10; D=10; repair-window=210560"));
    CHECK(sdp.find("a=mid:S1") < sdp.find("m=application"));
    fec.row_packets = false;
    CHECK(has_line(write_sdp(e, 1, &fec), "a=group:FEC-FR S1 R1"));
    CHECK(write_sdp(e, 1, &fec).find("R2") == std::string::npos);
    e.source = *parse_ip_address("192.0.2.10");
    e.source_specific = true;
    // RFC 4570 section 3.1: a filter of the session holds for all its media.
    const auto filtered = write_sdp(e, 1, &fec);
    CHECK(filtered.find("a=source-filter:") < filtered.find("m=video"));
    e.encapsulation = Encapsulation::udp;
    CHECK(write_sdp(e, 1, &fec).find("FEC") == std::string::npos);
}

TEST_CASE("a name cannot break out of its line", "[input]") {
    auto e = stream();
    e.name = "News\r\nc=IN IP4 224.0.0.1/255";
    const auto sdp = write_sdp(e);
    CHECK(has_line(sdp, "s=News\uFFFD\uFFFDc=IN IP4 224.0.0.1/255"));
    CHECK(has_line(sdp, "c=IN IP4 239.192.10.20/16"));
    e.name = "  ";
    CHECK(has_line(write_sdp(e), "s=-"));
    e.name = "Caf\u00e9 \xff";
    CHECK(has_line(write_sdp(e), "s=Caf\u00e9 \uFFFD"));
}
