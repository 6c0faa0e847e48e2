// SPDX-License-Identifier: Apache-2.0
// The page server on Boost.Asio and Boost.Beast. Heavy to include: one source file of each program
// does; all others include http.hpp.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <system_error>
#include <thread>

#include "mastline/web/beast_session.hpp"

namespace mastline::web {

inline asio::ip::address beast_address(const IpAddress& address) {
    if (address.is_v4()) return asio::ip::address_v4(address.v4_value());
    asio::ip::address_v6::bytes_type bytes;
    std::copy(address.bytes().begin(), address.bytes().end(), bytes.begin());
    return asio::ip::address_v6(bytes);
}

class BeastServer final : public HttpServer {
public:
    explicit BeastServer(HttpServerOptions options) : room_{std::move(options)} {
        open();
        room_.rules = {is_loopback(room_.options.listen.address), port_, room_.options.token};
        accept();
        beat();
        thread_ = std::thread([this] { context_.run(); });
    }
    ~BeastServer() override {
        asio::post(context_, [this] { close_all(); });
        thread_.join();
        room_.looks.join();  // what they still bring goes with the context
        room_.changes.join();
    }
    BeastServer(const BeastServer&) = delete;
    BeastServer& operator=(const BeastServer&) = delete;

    std::uint16_t port() const override { return port_; }
    std::size_t event_clients() const override { return room_.event_client_count; }
    void publish(ServerEvent event) override {
        asio::post(context_, [this, event = std::move(event)] {
            send_all(std::make_shared<const std::string>(event_text(++room_.last_event, event)));
        });
    }

private:
    void open() {
        const auto& listen = room_.options.listen;
        const Tcp::endpoint at(beast_address(listen.address), listen.port);
        try {
            acceptor_.open(at.protocol());
            acceptor_.set_option(Tcp::acceptor::reuse_address(true));
            acceptor_.bind(at);
            acceptor_.listen();
            port_ = acceptor_.local_endpoint().port();
        } catch (const boost::system::system_error& error) {
            throw std::system_error(error.code().value(), std::generic_category(), "listen on " + to_text(listen));
        }
    }

    void accept() {
        acceptor_.async_accept([this](beast::error_code fault, Tcp::socket socket) {
            if (fault == asio::error::operation_aborted) return;
            if (fault) return accept_later();  // out of descriptors, most likely
            if (room_.sessions.size() < room_.options.most_connections)
                std::make_shared<BeastSession>(std::move(socket), room_)->start();
            accept();
        });
    }

    void accept_later() {
        rest_.expires_after(std::chrono::milliseconds(200));
        rest_.async_wait([this](beast::error_code fault) {
            if (!fault) accept();
        });
    }

    void beat() {
        heartbeat_.expires_after(std::chrono::seconds(15));
        heartbeat_.async_wait([this](beast::error_code fault) {
            if (fault) return;
            send_all(std::make_shared<const std::string>(kEventHeartbeat));
            beat();
        });
    }

    void send_all(const std::shared_ptr<const std::string>& text) {
        const auto clients = room_.event_clients;  // a slow one leaves the set on the way
        for (const auto& client : clients) client->send_event(text);
    }

    void close_all() {
        acceptor_.close();
        heartbeat_.cancel();
        rest_.cancel();
        const auto sessions = room_.sessions;
        for (const auto& session : sessions) session->close();
    }

    SessionRoom room_;
    asio::io_context context_{1};
    Tcp::acceptor acceptor_{context_};
    asio::steady_timer heartbeat_{context_}, rest_{context_};
    std::uint16_t port_ = 0;
    std::thread thread_;
};

}  // namespace mastline::web

namespace mastline {

// Throws std::system_error: the address is taken, or not of this machine.
inline std::unique_ptr<HttpServer> start_http_server(HttpServerOptions options) {
    return std::make_unique<web::BeastServer>(std::move(options));
}

}  // namespace mastline
