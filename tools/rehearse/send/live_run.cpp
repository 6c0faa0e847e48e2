// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/live_run.hpp"

#include <sys/prctl.h>
#include <time.h>

#include <algorithm>

namespace mastline {

namespace {

using std::chrono::nanoseconds;

// Less than this is not worth a sleep: datagrams due within it leave together.
constexpr nanoseconds kShortestSleep{150'000};
// A stop is seen at least this often.
constexpr nanoseconds kLongestSleep{50'000'000};

// What is still under way at the end may leave.
constexpr nanoseconds kGrace{100'000'000};

void sleep_until(nanoseconds moment) {
    const auto seconds = std::chrono::floor<std::chrono::seconds>(moment);
    const timespec at{seconds.count(), (moment - seconds).count()};
    ::clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &at, nullptr);
}

nanoseconds to_nanoseconds(PcrTicks t) {
    return std::chrono::floor<nanoseconds>(t);
}

}  // namespace

nanoseconds monotonic_now() {
    timespec now{};
    ::clock_gettime(CLOCK_MONOTONIC, &now);
    return std::chrono::seconds(now.tv_sec) + nanoseconds(now.tv_nsec);
}

Punctuality run_live(Schedule& schedule, Outlet& outlet, nanoseconds start, PcrTicks end,
                     const std::atomic<bool>& stop) {
    ::prctl(PR_SET_TIMERSLACK, 1000UL, 0UL, 0UL, 0UL);
    Punctuality out;
    nanoseconds now = monotonic_now() - start;
    const nanoseconds last = to_nanoseconds(end) + kGrace;
    while (!stop.load(std::memory_order_relaxed) && schedule.due() < PcrTicks::max() &&
           now < last) {
        const nanoseconds due = to_nanoseconds(schedule.due());
        if (due > now) sleep_until(start + std::clamp(due, now + kShortestSleep, now + kLongestSleep));
        now = monotonic_now() - start;
        while (schedule.due() < PcrTicks::max() && to_nanoseconds(schedule.due()) <= now) {
            const PcrTicks lateness = std::chrono::floor<PcrTicks>(now) - schedule.due();
            out.late += lateness > kLate ? 1 : 0;
            out.worst = std::max(out.worst, lateness);
            schedule.step(outlet);
        }
        outlet.flush();
    }
    return out;
}

}  // namespace mastline
