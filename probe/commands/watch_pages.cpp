// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/watch_pages.hpp"

#include <charconv>

#include "mastline/report/live_json.hpp"
#include "mastline/report/live_page.hpp"
#include "mastline/report/metrics.hpp"
#include "probe/commands/web_server.hpp"

namespace mastline {

namespace {

// The whole state goes out so often where nothing happens: it brings the hour of each channel up to date.
constexpr Duration kWholeEvery = std::chrono::seconds(10);

HttpResponse response(std::string_view type, std::string body) {
    HttpResponse out;
    out.type = type;
    out.body = std::move(body);
    return out;
}

HttpResponse channel(const LineupState& state, const HttpRequest& request) {
    const std::string* text = request.parameter("index");
    std::size_t index = state.channels().size();
    if (text != nullptr) std::from_chars(text->data(), text->data() + text->size(), index);
    if (index >= state.channels().size()) return plain_response(404, "there is no channel of that index\n");
    return response("application/json", live_channel_json(state, index));
}

HttpResponse answer(SharedState& shared, const HttpRequest& request) {
    if (request.method != "GET") return plain_response(405, "nothing can be changed here\n");
    if (request.path == "/watch.css") return response("text/css; charset=utf-8", live_page_style());
    if (request.path == "/watch.js") return response("text/javascript; charset=utf-8", std::string(live_page_script()));
    const std::lock_guard lock(shared.guard);
    if (request.path == "/") return response("text/html; charset=utf-8", live_page(shared.state.lineup().venue));
    if (request.path == "/state") return response("application/json", live_state_json(shared.state, shared.window));
    if (request.path == "/channel") return channel(shared.state, request);
    if (request.path != "/metrics") return plain_response(404, "there are /, /state, /channel?index=N, /events and /metrics\n");
    const auto format = metrics_format(request.accept);
    return response(metrics_type(format), metrics_text(shared.state, shared.window, format));
}

}  // namespace

WatchPages::WatchPages(SharedState& shared, const ListenAddress& listen, std::optional<std::string> token)
    : shared_(shared), listen_(listen) {
    HttpServerOptions options;
    options.listen = listen;
    options.token = std::move(token);
    options.handler = [&shared](const HttpRequest& request) { return answer(shared, request); };
    options.greeting = [&shared] {
        const std::lock_guard lock(shared.guard);
        return std::vector<ServerEvent>{{"state", live_state_json(shared.state, shared.window)}};
    };
    server_ = serve_pages(std::move(options));
    listen_.port = server_->port();
}
WatchPages::~WatchPages() = default;

std::string WatchPages::address() const { return "http://" + to_text(listen_) + "/"; }

void WatchPages::publish(bool anything_happened) {
    if (server_->event_clients() == 0) return;
    ServerEvent event;
    {
        const std::lock_guard lock(shared_.guard);
        const Duration now = shared_.state.now();
        const bool whole = anything_happened || now - last_whole_ >= kWholeEvery;
        if (whole) last_whole_ = now;
        event = whole ? ServerEvent{"state", live_state_json(shared_.state, shared_.window)} : ServerEvent{"tick", live_tick_json(shared_.state)};
    }
    server_->publish(std::move(event));
}

}  // namespace mastline
