// SPDX-License-Identifier: Apache-2.0
// What a page server is given and gives back; the server itself, seen from outside. Light to include:
// the implementation is beast_server.hpp, which one source file of each program includes.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "mastline/web/listen_address.hpp"

namespace mastline {

using TextPairs = std::vector<std::pair<std::string, std::string>>;

struct HttpRequest {
    std::string method;        // "GET" or "POST"; a HEAD comes as GET, its body is dropped afterwards
    std::string path;          // percent-decoded, begins with '/'
    TextPairs query;           // decoded, in order; the token is never among them
    std::string content_type;  // as sent; empty when not
    std::string accept;
    std::string body;

    // The first of that name, or nullptr.
    const std::string* parameter(std::string_view name) const {
        for (const auto& pair : query)
            if (pair.first == name) return &pair.second;
        return nullptr;
    }
};

// Pages may load what this server serves and nothing else; scripts and styles stand in files of their own.
inline constexpr std::string_view kOwnFilesPolicy =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

// The same for a page with <script nonce="..."> and <style nonce="...">; a fresh nonce for each response
// (random_text.hpp).
inline std::string nonce_policy(std::string_view nonce) {
    const std::string own = "'self' 'nonce-" + std::string(nonce) + "'";
    return "default-src 'none'; script-src " + own + "; style-src " + own +
           "; img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
}

struct HttpResponse {
    int status = 200;
    std::string type = "text/html; charset=utf-8";
    std::string body;
    TextPairs headers;  // besides those that every response has; no line breaks
    std::string policy{kOwnFilesPolicy};  // Content-Security-Policy
};

inline HttpResponse plain_response(int status, std::string body) {
    HttpResponse out;
    out.status = status;
    out.type = "text/plain; charset=utf-8";
    out.body = std::move(body);
    return out;
}

// One message to the clients of /events.
struct ServerEvent {
    std::string name;  // "state"
    std::string data;  // may have several lines
};

// Called on two threads of the server's, one for GET and one for POST, one request at a time on each: it
// locks what it shares with others. What is posted may take long: pages and events go on meanwhile. An
// exception becomes status 500 without its text.
using HttpHandler = std::function<HttpResponse(const HttpRequest&)>;

struct HttpServerOptions {
    ListenAddress listen;              // port 0: any free one
    std::optional<std::string> token;  // REQUIRES: token_fault(*token) is empty; set unless `listen` is loopback
    HttpHandler handler;               // of every path but /events
    // What each new client of /events gets first (also after a reconnection): the state as it is.
    std::function<std::vector<ServerEvent>()> greeting;

    std::size_t most_body_bytes = 1024 * 1024;
    std::size_t most_connections = 128;                // further ones are closed at once
    std::size_t most_queued_bytes = 4 * 1024 * 1024;   // of a client of /events; a slower one is dropped
};

// Access, by the rules of access.hpp:
//  - on a loopback address the Host must name this machine, against DNS rebinding;
//  - with a token each request brings it as "Authorization: Bearer", as the cookie, or once as ?token=...,
//    which sets the cookie and redirects to the same address without it;
//  - a POST must come from a page of this server (Origin), or bring the Bearer.
// GET /events is a stream of server-sent events (HTML Standard, section 9.2) with rising ids and a
// comment every 15 s. Runs on a thread of its own from its making to its end.
class HttpServer {
public:
    virtual ~HttpServer() = default;  // closes all connections and waits for the thread

    virtual std::uint16_t port() const = 0;  // the bound one
    // To every client of /events. Any thread; never waits for a client.
    virtual void publish(ServerEvent event) = 0;
    virtual std::size_t event_clients() const = 0;
};

}  // namespace mastline
