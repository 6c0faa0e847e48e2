// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/schedule.hpp"

#include <algorithm>
#include <tuple>

namespace mastline {

Schedule::Schedule(std::vector<Transmission> transmissions)
    : transmissions_(std::move(transmissions)) {
    for (std::size_t i = 0; i < transmissions_.size(); ++i)
        if (transmissions_[i].due() < PcrTicks::max())
            heap_.push_back({transmissions_[i].due(), i});
    // A sorted list is a heap.
    std::sort(heap_.begin(), heap_.end(), [](const Entry& a, const Entry& b) {
        return std::tie(a.due, a.index) < std::tie(b.due, b.index);
    });
}

void Schedule::step(Outlet& outlet) {
    Entry& front = heap_.front();
    Transmission& transmission = transmissions_[front.index];
    transmission.step(outlet);
    front.due = transmission.due();
    if (front.due == PcrTicks::max()) {
        front = heap_.back();
        heap_.pop_back();
    }
    sink_front();
}

// The front entry has become later: one pass instead of a pop and a push.
void Schedule::sink_front() {
    std::size_t at = 0;
    for (;;) {
        std::size_t least = 2 * at + 1;
        if (least >= heap_.size()) return;
        if (least + 1 < heap_.size() && heap_[least + 1].due < heap_[least].due) ++least;
        if (heap_[at].due <= heap_[least].due) return;
        std::swap(heap_[at], heap_[least]);
        at = least;
    }
}

}  // namespace mastline
