// SPDX-License-Identifier: Apache-2.0
// Announces sessions while a rehearsal runs, and takes them back at its end.
#pragma once

#include <condition_variable>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "mastline/net/group_range.hpp"
#include "tools/rehearse/send/descriptor.hpp"
#include "tools/rehearse/send/interface.hpp"

namespace mastline {

class Announcer {
public:
    // `descriptions` by flow; none: nothing is announced. `scopes` are the site's own. Announces from
    // the start on, sap_wait() apart. Throws std::system_error when a socket cannot be had.
    Announcer(const ExpectedLineup& lineup, const std::vector<std::string>& descriptions,
              const std::vector<GroupSpan>& scopes, const Interface& interface);
    ~Announcer();  // sends the deletions
    Announcer(const Announcer&) = delete;
    Announcer& operator=(const Announcer&) = delete;

private:
    struct Session {
        OpenDescriptor socket;
        std::string announcement, deletion;
    };
    void run();
    void send_all(std::string Session::* message);

    std::vector<Session> sessions_;
    std::chrono::seconds interval_{};
    std::mutex mutex_;
    std::condition_variable wake_;
    bool ending_ = false;
    std::thread thread_;
};

}  // namespace mastline
