// SPDX-License-Identifier: Apache-2.0
// Ctrl-C and SIGTERM end a watch early instead of the program: groups are left and what was seen so
// far is reported. A second signal ends the program at once.
#pragma once

namespace mastline {

class StopSignal {
public:
    StopSignal();   // from now on
    ~StopSignal();  // as it was before
    StopSignal(const StopSignal&) = delete;
    StopSignal& operator=(const StopSignal&) = delete;

    static bool came();
};

}  // namespace mastline
