// SPDX-License-Identifier: Apache-2.0
#include "mastline/web/access.hpp"
#include "mastline/web/page_token.hpp"

#include <catch2/catch.hpp>

using namespace mastline;

namespace {

const std::string kToken = "a-token-of-the-tests.1";

struct Asked {
    std::string method = "GET", target = "/", host = "localhost:8080", origin, fetch_site, authorization, cookie;
};

AccessDecision decide(const AccessRules& rules, const Asked& asked) {
    const auto target = parse_target(asked.target);
    REQUIRE(target);
    return decide_access(rules, {asked.method, asked.host, asked.origin, asked.fetch_site, asked.authorization, asked.cookie, &*target});
}

const AccessRules kOpen{true, 8080, {}};
const AccessRules kLocked{false, 8080, kToken};

}  // namespace

TEST_CASE("on a loopback address only the names of this machine are answered", "[unit]") {
    for (const std::string host : {"localhost", "localhost:9000", "127.0.0.1:8080", "127.9.9.9", "[::1]:8080"})
        CHECK(decide(kOpen, {.host = host}).status == 200);
    for (const std::string host : {"", "evil.example", "evil.example:8080", "localhost.evil.example", "127.0.0.1.evil.example",
                                   "10.0.0.1:8080", "[::2]", "[::1", "128.0.0.1"})
        CHECK(decide(kOpen, {.host = host}).status == 421);
    // Where a token is asked for, a name that was rebound brings no cookie.
    CHECK(decide(kLocked, {.host = "evil.example"}).status == 401);
}

TEST_CASE("without the token nothing is answered, and with it, by header or cookie, everything is", "[unit]") {
    CHECK(decide(kLocked, {}).status == 401);
    CHECK(decide(kLocked, {.authorization = "Bearer " + kToken}).status == 200);
    CHECK(decide(kLocked, {.cookie = "mastline_8080=" + kToken}).status == 200);
    CHECK(decide(kLocked, {.cookie = "a=b; mastline_8080=" + kToken + "; c=d"}).status == 200);
    for (const std::string& wrong : {std::string(), kToken.substr(1), kToken + "x", "b" + kToken.substr(1)}) {
        CHECK(decide(kLocked, {.authorization = "Bearer " + wrong}).status == 401);
        CHECK(decide(kLocked, {.cookie = "mastline_8080=" + wrong}).status == 401);
        CHECK(decide(kLocked, {.target = "/?token=" + wrong}).status == 403);
    }
    CHECK(decide(kLocked, {.authorization = "Basic " + kToken}).status == 401);
    CHECK(decide(kLocked, {.cookie = "mastline_8081=" + kToken}).status == 401);
    CHECK(decide(kLocked, {.cookie = "xmastline_8080=" + kToken}).status == 401);
}

TEST_CASE("the token in the address becomes a cookie that scripts and other sites do not get", "[unit]") {
    const auto d = decide(kLocked, {.target = "/wall?x=%26&token=" + kToken + "&y=2"});
    CHECK(d.status == 303);
    CHECK(d.location == "/wall?x=%26&y=2");
    // RFC 6265 section 4.1.2; RFC 6265bis section 5.6.7.
    CHECK(d.set_cookie.starts_with("mastline_8080=" + kToken + "; Path=/; HttpOnly; SameSite=Strict"));
    CHECK(decide(kLocked, {.target = "//evil.example/?token=" + kToken}).location == "/evil.example/");
    CHECK(decide(kLocked, {.method = "POST", .target = "/?token=" + kToken}).status == 403);
}

TEST_CASE("a change is asked for by an own page, or by who has the token at hand", "[unit]") {
    const Asked own{.method = "POST", .origin = "http://localhost:8080", .fetch_site = "same-origin"};
    CHECK(decide(kOpen, own).status == 200);
    CHECK(decide(kOpen, {.method = "POST", .origin = "https://localhost:8080"}).status == 200);
    CHECK(decide(kOpen, {.method = "POST"}).status == 403);
    CHECK(decide(kOpen, {.method = "POST", .origin = "null"}).status == 403);
    CHECK(decide(kOpen, {.method = "POST", .origin = "http://localhost:8081"}).status == 403);
    CHECK(decide(kOpen, {.method = "POST", .origin = "http://localhost:8080", .fetch_site = "same-site"}).status == 403);
    CHECK(decide(kLocked, {.method = "POST", .cookie = "mastline_8080=" + kToken}).status == 403);
    CHECK(decide(kLocked, {.method = "POST", .authorization = "Bearer " + kToken}).status == 200);
}

TEST_CASE("a page's token is the file's, else the environment's, else made up where others can reach the page", "[unit]") {
    const auto here = *parse_listen_address("127.0.0.1:80"), everywhere = *parse_listen_address("0.0.0.0:80");
    const char* environment = "a-token-of-the-shell.1";
    CHECK(page_token(kToken + "\r\n", environment, here).token == kToken);
    CHECK(page_token(std::nullopt, environment, here).token == environment);
    CHECK(page_token(std::nullopt, "", here).token == std::nullopt);
    CHECK(page_token("short\n", environment, here).fault.starts_with("--token-file: "));
    CHECK(page_token("", environment, here).fault.starts_with("--token-file: "));
    CHECK(page_token(std::nullopt, "short", here).fault.starts_with("MASTLINE_TOKEN: "));
    const auto first = page_token(std::nullopt, nullptr, everywhere), second = page_token(std::nullopt, nullptr, everywhere);
    CHECK((first.made_up && second.made_up && first.token != second.token));
    CHECK(token_fault(*first.token).empty());
}

TEST_CASE("a token is long enough and needs no escaping anywhere", "[input]") {
    CHECK(token_fault(kToken).empty());
    CHECK(!token_fault("short").empty());
    CHECK(!token_fault(std::string(129, 'a')).empty());
    for (const std::string bad : {" ", ";", "\n", "\"", "\xC3\xA9", "&", "%"}) CHECK(!token_fault(kToken + bad).empty());
}
