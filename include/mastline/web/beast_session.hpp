// SPDX-License-Identifier: Apache-2.0
// One connection: requests and responses in turn, until one asks for the events. Heavy to include; see
// http.hpp.
#pragma once

#include <atomic>
#include <boost/asio/post.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/beast/core.hpp>
#include <chrono>
#include <deque>
#include <memory>
#include <set>
#include <sstream>

#include "mastline/web/beast_response.hpp"
#include "mastline/web/event_text.hpp"

namespace mastline::web {

namespace asio = boost::asio;
using Tcp = asio::ip::tcp;

// For a whole request to come in, and for a whole response to be taken.
inline constexpr std::chrono::seconds kPatience{15};
inline constexpr std::uint32_t kMostHeadBytes = 16 * 1024;

class BeastSession;

// What the sessions share; all on the server's thread, but for what the handler does.
struct SessionRoom {
    HttpServerOptions options;
    AccessRules rules;
    std::set<std::shared_ptr<BeastSession>> sessions, event_clients;
    std::uint64_t last_event = 0;
    std::atomic<std::size_t> event_client_count = 0;  // for other threads
    asio::thread_pool looks{1}, changes{1};           // where the handler runs: for GET, for POST

    void add_event_client(const std::shared_ptr<BeastSession>& session) {
        event_clients.insert(session);
        event_client_count = event_clients.size();
    }
    void remove(const std::shared_ptr<BeastSession>& session) {
        event_clients.erase(session);
        sessions.erase(session);
        event_client_count = event_clients.size();
    }
};

class BeastSession : public std::enable_shared_from_this<BeastSession> {
public:
    BeastSession(Tcp::socket socket, SessionRoom& room) : stream_(std::move(socket)), room_(room) {}

    void start() {
        room_.sessions.insert(shared_from_this());
        read_request();
    }
    void close() {
        room_.remove(shared_from_this());
        stream_.close();
    }
    // REQUIRES: this is one of the event clients.
    void send_event(std::shared_ptr<const std::string> text) {
        queued_bytes_ += text->size();
        if (queued_bytes_ > room_.options.most_queued_bytes) return close();
        queue_.push_back(std::move(text));
        if (queue_.size() == 1) write_event();
    }

private:
    void read_request() {
        parser_.emplace();
        parser_->header_limit(kMostHeadBytes);
        parser_->body_limit(room_.options.most_body_bytes);
        stream_.expires_after(kPatience);
        http::async_read(stream_, buffer_, *parser_, [self = shared_from_this()](beast::error_code fault, std::size_t) {
            self->on_request(fault);
        });
    }

    void on_request(beast::error_code fault) {
        static const auto& http_faults = make_error_code(http::error::bad_version).category();
        if (!fault) return answer(parser_->release());
        if (fault == http::error::end_of_stream || fault.category() != http_faults) return close();
        write(beast_response(plain_response(status_of_fault(fault), "this is no request that can be answered\n"), 11, false), false);
    }

    void answer(BeastRequest request) {
        const unsigned version = request.version();
        const bool head = request.method() == http::verb::head;
        const bool keep = request.keep_alive();
        auto target = parse_target({request.target().data(), request.target().size()});
        if (method_of(request).empty() || !target) {
            auto out = plain_response(target ? 405 : 400, target ? "only GET, HEAD and POST are answered\n" : "this is no target\n");
            if (target) out.headers.emplace_back("Allow", "GET, HEAD, POST");
            return write(beast_response(std::move(out), version, keep), head);
        }
        const auto decision = decide_access(room_.rules, access_head(request, *target));
        if (decision.status != 200) return write(beast_response(refusal(decision), version, keep), head);
        if (target->path == "/events" && request.method() == http::verb::get) return become_event_client();
        auto& worker = request.method() == http::verb::post ? room_.changes : room_.looks;
        asio::post(worker, [self = shared_from_this(), asked = handler_request(std::move(request), std::move(*target)), version, keep, head] {
            auto response = std::make_shared<HttpResponse>(self->handled(asked));
            asio::post(self->stream_.get_executor(), [self, response, version, keep, head] {
                self->write(beast_response(std::move(*response), version, keep), head);
            });
        });
    }

    HttpResponse handled(const HttpRequest& request) const {
        try {
            return room_.options.handler(request);
        } catch (const std::exception&) {
            return plain_response(500, "the server failed at this\n");
        }
    }

    void write(BeastResponse response, bool head) {
        response_ = std::move(response);
        // Of a HEAD the head alone; prepare_payload() has told the length that a GET would have.
        if (head) response_.body().clear();
        const bool keep = response_.keep_alive();
        serializer_.emplace(response_);
        const auto done = [self = shared_from_this(), keep](beast::error_code fault, std::size_t) {
            if (fault || !keep) return self->close();
            self->read_request();
        };
        stream_.expires_after(kPatience);
        if (head) http::async_write_header(stream_, *serializer_, done);
        else http::async_write(stream_, *serializer_, done);
    }

    void become_event_client() {
        http::response<http::empty_body> head{http::status::ok, 11};
        add_common_fields(head, std::string(kOwnFilesPolicy));
        head.set(http::field::content_type, "text/event-stream");
        head.keep_alive(false);
        std::ostringstream text;
        text << head.base();
        room_.add_event_client(shared_from_this());
        wait_for_end();
        send_event(std::make_shared<const std::string>(text.str()));
        if (!room_.options.greeting) return;
        for (const auto& event : room_.options.greeting())
            if (room_.event_clients.contains(shared_from_this()))
                send_event(std::make_shared<const std::string>(event_text(room_.last_event, event)));
    }

    // Nothing more is asked on this connection: whatever comes ends it.
    void wait_for_end() {
        stream_.expires_never();
        stream_.async_read_some(asio::buffer(&spare_, 1), [self = shared_from_this()](beast::error_code, std::size_t) {
            self->close();
        });
    }

    void write_event() {
        stream_.expires_after(kPatience);
        asio::async_write(stream_, asio::buffer(*queue_.front()), [self = shared_from_this()](beast::error_code fault, std::size_t) {
            if (fault) return self->close();
            self->queued_bytes_ -= self->queue_.front()->size();
            self->queue_.pop_front();
            if (!self->queue_.empty()) self->write_event();
        });
    }

    beast::tcp_stream stream_;
    SessionRoom& room_;
    beast::flat_buffer buffer_;
    std::optional<http::request_parser<http::string_body>> parser_;
    BeastResponse response_;
    std::optional<http::response_serializer<http::string_body>> serializer_;
    std::deque<std::shared_ptr<const std::string>> queue_;  // the first is being written
    std::size_t queued_bytes_ = 0;
    char spare_ = 0;
};

}  // namespace mastline::web
