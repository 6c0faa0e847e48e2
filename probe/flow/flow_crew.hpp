// SPDX-License-Identifier: Apache-2.0
// Spreads flows over threads by their address. Each shard sees its datagrams in their order, so that
// what comes out does not depend on how many there are.
#pragma once

#include <condition_variable>
#include <deque>
#include <exception>
#include <memory>
#include <mutex>
#include <thread>
#include <vector>

#include "probe/flow/datagram_batch.hpp"
#include "probe/flow/flow_shard.hpp"

namespace mastline {

class FlowCrew {
public:
    explicit FlowCrew(unsigned threads);
    ~FlowCrew();
    FlowCrew(const FlowCrew&) = delete;
    FlowCrew& operator=(const FlowCrew&) = delete;

    void datagram(const Datagram& d) {
        if (workers_.empty()) shards_.front().datagram(d);
        else pass_on(d);
    }
    // The shards when every datagram so far has been looked at; or the one of an address. Throws what
    // looking at one threw.
    std::vector<FlowShard>& settled();
    FlowShard& settled(const IpAddress& address) { return settled()[shard_of(address)]; }

private:
    // Bounds the memory of what is under way: so many batches for each thread.
    static constexpr std::size_t kBatches = 4;

    // Looks at the batches of one shard.
    class Worker {
    public:
        explicit Worker(FlowShard& shard);
        ~Worker();
        Worker(const Worker&) = delete;
        Worker& operator=(const Worker&) = delete;

        void add(const Datagram& d);
        void settle();

    private:
        void run();
        void hand_over();

        FlowShard& shard_;
        std::unique_ptr<DatagramBatch> open_;  // being filled
        std::mutex mutex_;
        std::condition_variable changed_;
        std::deque<std::unique_ptr<DatagramBatch>> full_, spare_;
        bool busy_ = false, ended_ = false;
        std::exception_ptr fault_;
        std::thread thread_;  // last: it uses all others
    };

    std::size_t shard_of(const IpAddress& address) const;
    void pass_on(const Datagram& d);

    std::vector<FlowShard> shards_;
    std::vector<std::unique_ptr<Worker>> workers_;  // one for each shard, or none
};

}  // namespace mastline
