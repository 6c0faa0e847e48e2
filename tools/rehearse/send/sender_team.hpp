// SPDX-License-Identifier: Apache-2.0
// Sends in real time with one thread for every hundred thousand datagrams a second, as far as there are
// processors: one thread cannot send more than some two hundred thousand through a bridge.
#pragma once

#include <atomic>
#include <memory>
#include <vector>

#include "tools/rehearse/send/live_run.hpp"
#include "tools/rehearse/send/socket_outlet.hpp"

namespace mastline {

// At least 1.
unsigned sender_threads(const ExpectedLineup& lineup, unsigned processors);

class SenderTeam {
public:
    // Throws std::system_error when a socket cannot be had as planned.
    SenderTeam(std::vector<Transmission> transmissions, const ExpectedLineup& lineup, const Interface& interface,
               unsigned threads);

    // As run_live(). All transmissions of a flow are sent by one thread.
    Punctuality run(PcrTicks end, const std::atomic<bool>& stop);

    std::vector<const Schedule*> schedules() const;
    SocketOutlet::Errors errors() const;
    std::string second_source_text(std::size_t flow) const { return members_.front()->outlet.second_source_text(flow); }

private:
    struct Member {
        Schedule schedule;
        SocketOutlet outlet;
    };
    std::vector<std::unique_ptr<Member>> members_;
};

}  // namespace mastline
