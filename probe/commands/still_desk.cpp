// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/still_desk.hpp"

#include <sys/resource.h>

#include <algorithm>
#include <numeric>
#include <system_error>

#include "mastline/still/decode_still.hpp"

namespace mastline {

namespace {

// Further ones wait where they were collected.
constexpr std::size_t kMostTasks = 2;
// After each still the decoder rests so many times as long as a processor worked on it.
constexpr int kRest = 3;

// Processor time of all decoders so far: a watch has no other children.
Duration decoding_time() {
    rusage used{};
    ::getrusage(RUSAGE_CHILDREN, &used);
    const auto time = [](const timeval& t) { return std::chrono::seconds(t.tv_sec) + std::chrono::microseconds(t.tv_usec); };
    return time(used.ru_utime) + time(used.ru_stime);
}

}  // namespace

StillDesk::StillDesk(std::size_t channels, std::string program)
    : program_(std::move(program)), due_(channels), stills_(channels, Still{{}, 0, 0, {}, "none has come yet"}), decoder_([this] { decode_on(); }) {}

StillDesk::~StillDesk() {
    {
        const std::lock_guard lock(guard_);
        ended_ = true;
    }
    changed_.notify_all();
    decoder_.join();
}

void StillDesk::step(RollingWatch& watch, Duration now) {
    std::erase_if(turns_, [&](const Turn& turn) { return collect(turn, watch, now); });
    std::vector<std::size_t> waiting(due_.size());
    std::iota(waiting.begin(), waiting.end(), std::size_t{0});
    std::erase_if(waiting, [&](std::size_t c) { return due_[c] > now || std::ranges::find(turns_, c, &Turn::channel) != turns_.end(); });
    std::ranges::stable_sort(waiting, {}, [&](std::size_t c) { return due_[c]; });
    for (const auto channel : waiting) {
        if (turns_.size() == kAtATime) return;
        watch.want_still(channel);
        turns_.push_back({channel, now});
    }
}

bool StillDesk::collect(const Turn& turn, RollingWatch& watch, Duration now) {
    auto material = watch.still(turn.channel);
    if (!material.lack.empty()) {
        if (now - turn.since < kPatience) return false;
        set(turn.channel, {{}, 0, 0, now, material.lack});
    } else if (!hand_over({turn.channel, std::move(material)})) {
        return false;
    }
    watch.end_still(turn.channel);
    due_[turn.channel] = now + kPeriod;
    return true;
}

bool StillDesk::hand_over(Task task) {
    const std::lock_guard lock(guard_);
    if (tasks_.size() >= kMostTasks) return false;
    tasks_.push_back(std::move(task));
    changed_.notify_all();
    return true;
}

void StillDesk::set(std::size_t channel, Still still) {
    const std::lock_guard lock(guard_);
    stills_[channel] = std::move(still);
}

std::vector<Still> StillDesk::stills() const {
    const std::lock_guard lock(guard_);
    return stills_;
}

Still StillDesk::still(std::size_t channel) const {
    const std::lock_guard lock(guard_);
    return stills_[channel];
}

void StillDesk::decode_on() {
    std::unique_lock lock(guard_);
    for (;;) {
        changed_.wait(lock, [&] { return ended_ || !tasks_.empty(); });
        if (ended_) return;
        const Task task = std::move(tasks_.front());
        tasks_.pop_front();
        lock.unlock();
        const Duration before = decoding_time();
        Still still;
        try {
            still = decode_still(task.material, program_);
        } catch (const std::exception& fault) {
            still.at = task.material.at;
            still.lack = std::string("the decoder could not be started: ") + fault.what();
        }
        const Duration took = decoding_time() - before;
        lock.lock();
        stills_[task.channel] = std::move(still);
        changed_.wait_for(lock, kRest * took, [&] { return ended_; });
    }
}

}  // namespace mastline
