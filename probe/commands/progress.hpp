// SPDX-License-Identifier: Apache-2.0
// How far a watch is, on standard error; silent unless that is a terminal.
#pragma once

#include <cstdint>

#include "mastline/units/ticks.hpp"

namespace mastline {

class Progress {
public:
    Progress();
    ~Progress();  // clears its line
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    // Draws at most five times a second.
    void show(Duration done, Duration whole, std::uint64_t datagrams);

private:
    bool terminal_;
    std::size_t width_;
    Duration drawn_{-1};
};

}  // namespace mastline
