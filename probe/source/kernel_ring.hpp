// SPDX-License-Identifier: Apache-2.0
// The kernel's packet ring (packet(7), PACKET_RX_RING with TPACKET_V3): frames stand in memory that the
// kernel shares with us, block by block. libpcap reads the same ring, but gives each block back before
// the next frame can be seen; here many blocks are ours at once, so that datagrams can be taken group
// by group.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "mastline/source/frame_decoder.hpp"
#include "probe/source/file_descriptor.hpp"

namespace mastline {

class KernelRing {
public:
    // What passes, in libpcap's language; `ethernet` where frames have an Ethernet header, `bare` where
    // they begin with IP.
    struct Filter {
        const char* ethernet;
        const char* bare;
    };

    // `size` in bytes. Throws std::system_error: operation not permitted, or no such interface.
    KernelRing(const std::string& interface, const Filter& filter, std::size_t size);
    ~KernelRing();
    KernelRing(const KernelRing&) = delete;
    KernelRing& operator=(const KernelRing&) = delete;

    // The frames of the next block that the kernel has filled; none when there is no such block. They
    // stay until give_back().
    const std::vector<CapturedFrame>& next_block();
    // Before the first frame of that block some found no room, or may have.
    bool lost_before() const { return lost_before_; }
    void give_back();

    // Readable when a block is there.
    int descriptor() const { return socket_.get(); }
    ByteView memory() const { return {blocks_, count_ * kBlock}; }
    std::size_t blocks() const { return count_; }

    // Asks the kernel for the frames that the ring had no room for. It marks each block that it closes
    // until it is asked: what is still to be read then counts as marked. True where nothing is, and some
    // were dropped since the last block.
    bool count_drops();
    // As last asked, since the start.
    std::uint64_t dropped() const { return dropped_; }

private:
    static constexpr std::size_t kBlock = 256 * 1024;

    void open_for(const std::string& interface);
    void attach(const char* filter) const;
    void map(std::size_t size);
    bool is_drained() const;
    std::byte* block(std::size_t i) const { return blocks_ + i * kBlock; }

    FileDescriptor socket_;
    LinkType link_;
    std::byte* blocks_ = nullptr;
    std::size_t count_ = 0;  // blocks
    std::size_t next_ = 0;   // the block to look at next
    std::size_t held_ = 0;   // blocks before it that were not given back
    std::vector<CapturedFrame> frames_;
    bool lost_before_ = false;
    bool lossy_ = false;  // asked with blocks to be read: the loss may be before any of them
    std::uint64_t dropped_ = 0;
};

}  // namespace mastline
