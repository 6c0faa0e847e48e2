// SPDX-License-Identifier: Apache-2.0
// Who may ask what of a page server. Pure: what the head of a request says in, a decision out.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "mastline/web/target.hpp"

namespace mastline {

struct AccessRules {
    bool loopback = true;
    std::uint16_t port = 0;            // the bound one: cookies know no ports, so their name has it
    std::optional<std::string> token;
};

// The fields of a request's head that access rests on; empty where they were not sent.
struct AccessHead {
    std::string_view method, host, origin, fetch_site, authorization, cookie;
    const RequestTarget* target = nullptr;
};

struct AccessDecision {
    int status = 200;         // 200 go on; 303 to `location` with `set_cookie`; else refused
    std::string reason;       // for the person who asked
    std::string location, set_cookie;
};

// Why a text is no token; empty when it is one. Characters that need no escaping in an address, a
// header or a cookie, and enough of them.
inline std::string token_fault(std::string_view token) {
    for (const char c : token) {
        const bool plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           std::string_view("-._~").find(c) != std::string_view::npos;
        if (!plain) return "a token has only letters, digits and - . _ ~";
    }
    if (token.size() < 16 || token.size() > 128) return "a token has 16 to 128 characters";
    return {};
}

// Takes as long for a wrong text as for the right one of that length.
inline bool equal_in_constant_time(std::string_view a, std::string_view b) {
    if (a.size() != b.size()) return false;
    unsigned difference = 0;
    for (std::size_t i = 0; i < a.size(); ++i)
        difference |= static_cast<unsigned char>(a[i]) ^ static_cast<unsigned char>(b[i]);
    return difference == 0;
}

namespace detail {

// "localhost:8080" without its port; "[::1]" without its brackets.
inline std::string_view host_name(std::string_view host) {
    if (host.starts_with('[')) {
        const auto end = host.find(']');
        return end == std::string_view::npos ? std::string_view() : host.substr(1, end - 1);
    }
    return host.substr(0, host.find(':'));
}

inline bool names_this_machine(std::string_view host) {
    const std::string_view name = host_name(host);
    if (name == "localhost") return true;
    const auto address = parse_ip_address(name);
    return address && is_loopback(*address);
}

// RFC 6265 section 4.2.1: "a=1; b=2".
inline std::string_view cookie_value(std::string_view cookies, std::string_view name) {
    while (!cookies.empty()) {
        auto one = cookies.substr(0, cookies.find(';'));
        cookies.remove_prefix(std::min(one.size() + 1, cookies.size()));
        while (one.starts_with(' ')) one.remove_prefix(1);
        if (one.starts_with(name) && one.substr(name.size()).starts_with('=')) return one.substr(name.size() + 1);
    }
    return {};
}

inline std::string_view bearer(std::string_view authorization) {
    constexpr std::string_view scheme = "Bearer ";
    return authorization.starts_with(scheme) ? authorization.substr(scheme.size()) : std::string_view();
}

inline bool from_own_page(const AccessHead& head) {
    if (!head.fetch_site.empty() && head.fetch_site != "same-origin") return false;
    const std::string host(head.host);
    return head.origin == "http://" + host || head.origin == "https://" + host;
}

inline AccessDecision enter_by_address(const AccessRules& rules, const AccessHead& head, std::string_view told,
                                       const std::string& cookie) {
    if (!equal_in_constant_time(told, *rules.token)) return {403, "this is not the token", {}, {}};
    if (head.method == "POST") return {403, "send the token as Authorization: Bearer", {}, {}};
    return {303, "go on", target_without(*head.target, "token"),
            cookie + "=" + *rules.token + "; Path=/; HttpOnly; SameSite=Strict; Max-Age=31536000"};
}

}  // namespace detail

// REQUIRES: head.target set.
inline AccessDecision decide_access(const AccessRules& rules, const AccessHead& head) {
    if (rules.loopback && !detail::names_this_machine(head.host))
        return {421, "this server answers to localhost and loopback addresses only", {}, {}};
    bool by_bearer = false;
    if (rules.token) {
        const std::string cookie = "mastline_" + std::to_string(rules.port);
        for (const auto& pair : head.target->query)
            if (pair.first == "token") return detail::enter_by_address(rules, head, pair.second, cookie);
        by_bearer = equal_in_constant_time(detail::bearer(head.authorization), *rules.token);
        if (!by_bearer && !equal_in_constant_time(detail::cookie_value(head.cookie, cookie), *rules.token))
            return {401, "a token is needed: open this address with ?token=... once, or send Authorization: Bearer", {}, {}};
    }
    if (head.method == "POST" && !by_bearer && !detail::from_own_page(head))
        return {403, "this may be asked from a page of this server only", {}, {}};
    return {};
}

}  // namespace mastline
