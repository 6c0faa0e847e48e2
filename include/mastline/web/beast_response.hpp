// SPDX-License-Identifier: Apache-2.0
// From Beast's messages to our own and back. Heavy to include; see http.hpp.
#pragma once

#include <boost/beast/http.hpp>

#include "mastline/web/access.hpp"

namespace mastline::web {

namespace beast = boost::beast;
namespace http = beast::http;

using BeastRequest = http::request<http::string_body>;
using BeastResponse = http::response<http::string_body>;

inline std::string_view field(const BeastRequest& request, std::string_view name) {
    const auto found = request.find(beast::string_view(name.data(), name.size()));
    if (found == request.end()) return {};
    return {found->value().data(), found->value().size()};
}

inline std::string_view method_of(const BeastRequest& request) {
    switch (request.method()) {
        case http::verb::get:
        case http::verb::head: return "GET";
        case http::verb::post: return "POST";
        default: return {};
    }
}

inline AccessHead access_head(const BeastRequest& request, const RequestTarget& target) {
    AccessHead out;
    out.method = method_of(request);
    out.host = field(request, "Host");
    out.origin = field(request, "Origin");
    out.fetch_site = field(request, "Sec-Fetch-Site");
    out.authorization = field(request, "Authorization");
    out.cookie = field(request, "Cookie");
    out.target = &target;
    return out;
}

inline HttpRequest handler_request(BeastRequest&& request, RequestTarget target) {
    HttpRequest out;
    out.method = method_of(request);
    out.path = std::move(target.path);
    out.query = std::move(target.query);
    std::erase_if(out.query, [](const auto& pair) { return pair.first == "token"; });
    out.content_type = field(request, "Content-Type");
    out.accept = field(request, "Accept");
    out.body = std::move(request.body());
    return out;
}

// What every response has, whatever it is about. Not "no-referrer", with which forms would send an
// Origin of null.
template <class Fields>
void add_common_fields(Fields& fields, const std::string& policy) {
    fields.set(http::field::server, "mastline");
    fields.set(http::field::cache_control, "no-store");
    fields.set("Content-Security-Policy", policy);
    fields.set("X-Content-Type-Options", "nosniff");
    fields.set("X-Frame-Options", "DENY");
    fields.set("Referrer-Policy", "same-origin");
    fields.set("Cross-Origin-Resource-Policy", "same-origin");
}

inline BeastResponse beast_response(HttpResponse&& from, unsigned version, bool keep_alive) {
    BeastResponse out{static_cast<http::status>(from.status), version};
    add_common_fields(out, from.policy);
    out.set(http::field::content_type, from.type);
    for (const auto& pair : from.headers) out.set(pair.first, pair.second);
    out.body() = std::move(from.body);
    out.keep_alive(keep_alive);
    out.prepare_payload();
    return out;
}

inline HttpResponse refusal(const AccessDecision& decision) {
    HttpResponse out = plain_response(decision.status, decision.reason + "\n");
    if (!decision.location.empty()) out.headers.emplace_back("Location", decision.location);
    if (!decision.set_cookie.empty()) out.headers.emplace_back("Set-Cookie", decision.set_cookie);
    if (decision.status == 401) out.headers.emplace_back("WWW-Authenticate", "Bearer");
    return out;
}

// The status for bytes that are no request.
inline int status_of_fault(beast::error_code fault) {
    if (fault == http::error::body_limit) return 413;
    if (fault == http::error::header_limit) return 431;
    return 400;
}

}  // namespace mastline::web
