// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/watch_pages.hpp"

#include <charconv>

#include "mastline/report/live_json.hpp"
#include "mastline/report/live_page.hpp"
#include "mastline/report/metrics.hpp"
#include "mastline/text/escape.hpp"
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

std::string state_json(const SharedState& shared) {
    return live_state_json(shared.state, shared.window, shared.stills ? shared.stills->stills() : std::vector<Still>());
}

// What is asked of one channel.
template <class Answer>
HttpResponse of_channel(const SharedState& shared, const HttpRequest& request, Answer&& answer) {
    const std::string* text = request.parameter("index");
    std::size_t index = shared.state.channels().size();
    if (text != nullptr) std::from_chars(text->data(), text->data() + text->size(), index);
    if (index >= shared.state.channels().size()) return plain_response(404, "there is no channel of that index\n");
    return answer(index);
}

HttpResponse channel(const SharedState& shared, std::size_t index) {
    const auto still = shared.stills ? std::optional(shared.stills->still(index)) : std::nullopt;
    return response("application/json", live_channel_json(shared.state, index, still ? &*still : nullptr));
}

HttpResponse picture(const SharedState& shared, std::size_t index) {
    if (!shared.stills) return plain_response(404, "stills were not asked for (--stills)\n");
    Still still = shared.stills->still(index);
    return still.jpeg.empty() ? plain_response(404, "no still: " + plain_line(still.lack) + "\n") : response("image/jpeg", std::move(still.jpeg));
}

HttpResponse answer(SharedState& shared, const HttpRequest& request) {
    if (request.method != "GET") return plain_response(405, "nothing can be changed here\n");
    if (request.path == "/watch.css") return response("text/css; charset=utf-8", live_page_style());
    if (request.path == "/watch.js") return response("text/javascript; charset=utf-8", std::string(live_page_script()));
    const std::lock_guard lock(shared.guard);
    if (request.path == "/") return response("text/html; charset=utf-8", live_page(shared.state.lineup().venue));
    if (request.path == "/state") return response("application/json", state_json(shared));
    if (request.path == "/channel") return of_channel(shared, request, [&](std::size_t index) { return channel(shared, index); });
    if (request.path == "/still") return of_channel(shared, request, [&](std::size_t index) { return picture(shared, index); });
    if (request.path != "/metrics") return plain_response(404, "there are /, /state, /channel?index=N, /still?index=N, /events and /metrics\n");
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
        return std::vector<ServerEvent>{{"state", state_json(shared)}};
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
        event = whole ? ServerEvent{"state", state_json(shared_)} : ServerEvent{"tick", live_tick_json(shared_.state)};
    }
    server_->publish(std::move(event));
}

}  // namespace mastline
