// SPDX-License-Identifier: Apache-2.0
// A schedule sent in real time.
#pragma once

#include <atomic>
#include <chrono>

#include "tools/rehearse/send/schedule.hpp"

namespace mastline {

struct Punctuality {
    std::int64_t late = 0;  // datagrams that left later than kLate after their time
    PcrTicks worst{0};
};
inline constexpr PcrTicks kLate = std::chrono::milliseconds(2);

// Until the schedule is empty, `stop` is set (by a signal handler), or the time is up: a machine
// that falls behind ends in time, with datagrams unsent. Sleeps between datagrams; those that have
// become due meanwhile leave together, so the timing of one flow is uneven by about the machine's
// wake-up time, and the processor is free in between. `start`: when the schedule's time is zero, by
// the monotonic clock.
Punctuality run_live(Schedule& schedule, Outlet& outlet, std::chrono::nanoseconds start, PcrTicks end,
                     const std::atomic<bool>& stop);

// Of the clock that never goes back.
std::chrono::nanoseconds monotonic_now();

}  // namespace mastline
