// SPDX-License-Identifier: Apache-2.0
// A running watch on the network: its page, its JSON and its metrics.
#pragma once

#include <memory>
#include <mutex>

#include "mastline/report/live_screen.hpp"
#include "mastline/web/http.hpp"
#include "probe/commands/still_desk.hpp"

namespace mastline {

// The state of a watch between the thread that listens and the one that serves.
struct SharedState {
    std::mutex guard;
    LineupState state;
    Duration window{};
    std::unique_ptr<StillDesk> stills{};  // where they were asked for; needs no guard
};

class WatchPages {
public:
    // `shared` outlives this. Throws std::system_error: the address is taken, or not of this machine.
    WatchPages(SharedState& shared, const ListenAddress& listen, std::optional<std::string> token);
    ~WatchPages();

    std::string address() const;  // "http://127.0.0.1:8080/"
    // After each look, without the guard held: to all who have the page open.
    void publish(bool anything_happened);

private:
    SharedState& shared_;
    ListenAddress listen_;
    Duration last_whole_{};
    std::unique_ptr<HttpServer> server_;
};

}  // namespace mastline
