// SPDX-License-Identifier: Apache-2.0
#include "mastline/web/target.hpp"

#include <catch2/catch.hpp>

#include "mastline/web/event_text.hpp"
#include "mastline/web/listen_address.hpp"
#include "mastline/web/random_text.hpp"

using namespace mastline;

TEST_CASE("a target is taken apart as RFC 3986 says", "[unit]") {
    const auto t = parse_target("/a%20b/c?x=1&y=%C3%A9+z&&flag");
    REQUIRE(t);
    CHECK(t->path == "/a b/c");
    CHECK(t->query == TextPairs{{"x", "1"}, {"y", "\xC3\xA9 z"}, {"flag", ""}});
    CHECK(target_without(*t, "x") == "/a%20b/c?y=%C3%A9%20z&flag=");
    // RFC 3986 section 2.3: the unreserved characters stay.
    CHECK(percent_encoded("aZ09-._~/ ") == "aZ09-._~%2F%20");
}

TEST_CASE("a target that is no path of this server is refused", "[input]") {
    for (const std::string bad : {"", "*", "http://x/", "x", "/%", "/%4", "/%zz", "/%00", "/?%00=1", "/?a=%", "?x"})
        CHECK(!parse_target(bad));
}

TEST_CASE("an address to listen on has a port, and brackets around IPv6", "[unit]") {
    for (const std::string good : {"127.0.0.1:8080", "0.0.0.0:80", "[::1]:8080", "[2001:db8::1]:0"}) {
        const auto listen = parse_listen_address(good);
        REQUIRE(listen);
        CHECK(to_text(*listen) == good);
    }
    CHECK(is_loopback(parse_listen_address("127.8.0.1:1")->address));
    CHECK(is_loopback(parse_listen_address("[::1]:1")->address));
    CHECK(!is_loopback(parse_listen_address("0.0.0.0:1")->address));
    CHECK(!is_loopback(parse_listen_address("[::]:1")->address));
}

TEST_CASE("what is no address to listen on is refused with an example", "[input]") {
    for (const std::string bad : {"", ":", ":80", "8080", "127.0.0.1", "127.0.0.1:", "127.0.0.1:65536", "127.0.0.1:-1", "127.0.0.1:80x",
                                  "::1:80", "[127.0.0.1]:80", "[::1]80", "239.1.1.1:80", "localhost:80"}) {
        const auto listen = parse_listen_address(bad);
        INFO(bad);
        REQUIRE(!listen);
        CHECK(listen.error().message.find("127.0.0.1:8080") != std::string::npos);
    }
}

TEST_CASE("an event keeps to its lines whatever its data", "[unit]") {
    // HTML Standard, section 9.2.6: one "data" line for each line; CR, LF and CRLF end a line.
    CHECK(event_text(7, {"state", "a\nb\r\nc\rd"}) == "id: 7\nevent: state\ndata: a\ndata: b\ndata: c\ndata: d\n\n");
    CHECK(event_text(8, {"x\ndata: y", ""}) == "id: 8\nevent: xdata: y\ndata: \n\n");
}

TEST_CASE("random text is long, plain and never the same", "[unit]") {
    const auto a = random_text(), b = random_text();
    CHECK(a.size() == 32);
    CHECK(a != b);
    CHECK(percent_encoded(a) == a);
}
