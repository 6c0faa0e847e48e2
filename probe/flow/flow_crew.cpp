// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/flow_crew.hpp"

#include <algorithm>

namespace mastline {

FlowCrew::Worker::Worker(FlowShard& shard) : shard_(shard), open_(std::make_unique<DatagramBatch>()) {
    for (std::size_t i = 1; i < kBatches; ++i) spare_.push_back(std::make_unique<DatagramBatch>());
    thread_ = std::thread([this] { run(); });
}

FlowCrew::Worker::~Worker() {
    {
        const std::lock_guard lock(mutex_);
        ended_ = true;
    }
    changed_.notify_all();
    thread_.join();
}

void FlowCrew::Worker::run() {
    std::unique_lock lock(mutex_);
    for (;;) {
        changed_.wait(lock, [&] { return ended_ || !full_.empty(); });
        if (ended_) return;
        auto batch = std::move(full_.front());
        full_.pop_front();
        busy_ = true;
        lock.unlock();
        std::exception_ptr fault;
        try {
            batch->each([&](const Datagram& d) { shard_.datagram(d); });
        } catch (...) {
            fault = std::current_exception();
        }
        batch->clear();
        lock.lock();
        if (fault && !fault_) fault_ = fault;
        spare_.push_back(std::move(batch));
        busy_ = false;
        changed_.notify_all();
    }
}

void FlowCrew::Worker::hand_over() {
    std::unique_lock lock(mutex_);
    full_.push_back(std::move(open_));
    changed_.notify_all();
    changed_.wait(lock, [&] { return !spare_.empty(); });
    open_ = std::move(spare_.front());
    spare_.pop_front();
}

void FlowCrew::Worker::add(const Datagram& d) {
    if (open_->add(d)) return;
    hand_over();
    open_->add(d);
}

void FlowCrew::Worker::settle() {
    if (!open_->empty()) hand_over();
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return full_.empty() && !busy_; });
    if (fault_) std::rethrow_exception(std::exchange(fault_, nullptr));
}

FlowCrew::FlowCrew(unsigned threads) : shards_(std::max(threads, 1U)) {
    if (threads > 1)
        for (auto& shard : shards_) workers_.push_back(std::make_unique<Worker>(shard));
}

FlowCrew::~FlowCrew() = default;

std::size_t FlowCrew::shard_of(const IpAddress& address) const {
    if (shards_.size() == 1) return 0;
    const auto words = address.words();
    // Groups differ in their last bits; the multiplication carries them up.
    return static_cast<std::size_t>(((words[0] ^ words[1]) * 0x9E3779B97F4A7C15ULL >> 32) % shards_.size());
}

void FlowCrew::pass_on(const Datagram& d) { workers_[shard_of(d.destination)]->add(d); }

std::vector<FlowShard>& FlowCrew::settled() {
    for (auto& worker : workers_) worker->settle();
    return shards_;
}

}  // namespace mastline
