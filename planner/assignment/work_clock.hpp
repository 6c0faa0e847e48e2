// SPDX-License-Identifier: Apache-2.0
// Processor time of this thread. Limits on effort count it, so that a busy machine makes no other
// plan than an idle one.
#pragma once

#include <chrono>
#include <ctime>

namespace mastline::packing {

struct WorkClock {
    using duration = std::chrono::nanoseconds;
    using rep = duration::rep;
    using period = duration::period;
    using time_point = std::chrono::time_point<WorkClock>;
    static constexpr bool is_steady = true;

    static time_point now() noexcept {
        timespec t{};
        clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
        return time_point(std::chrono::seconds(t.tv_sec) + std::chrono::nanoseconds(t.tv_nsec));
    }
    static double seconds_to(time_point end) { return std::chrono::duration<double>(end - now()).count(); }
    static time_point in(double seconds) {
        return now() + std::chrono::duration_cast<duration>(std::chrono::duration<double>(seconds));
    }
};

}  // namespace mastline::packing
