// SPDX-License-Identifier: Apache-2.0
// Holds memberships without receiving: the sockets are bound to no port. For listening through a
// capture ring, which sees what the interface receives.
#pragma once

#include <string>
#include <vector>

#include "mastline/source/multicast_listener.hpp"

namespace mastline {

class GroupHolder {
public:
    // Throws std::system_error when the interface does not exist or a join is refused.
    GroupHolder(const std::string& interface, const std::vector<WantedFlow>& flows);
    ~GroupHolder();  // leaves every group
    GroupHolder(const GroupHolder&) = delete;
    GroupHolder& operator=(const GroupHolder&) = delete;

    // When each flow was joined, in their order; time since the Unix epoch.
    const std::vector<Duration>& joined() const { return joined_; }
    void leave();

private:
    std::vector<int> sockets_;
    std::vector<Duration> joined_;
};

}  // namespace mastline
