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
    void give_back();

    // Readable when a block is there.
    int descriptor() const { return socket_.get(); }
    ByteView memory() const { return {blocks_, count_ * kBlock}; }
    // Frames that the ring had no room for, since the start.
    std::uint64_t dropped();

private:
    static constexpr std::size_t kBlock = 256 * 1024;

    void open_for(const std::string& interface);
    void attach(const char* filter) const;
    void map(std::size_t size);
    std::byte* block(std::size_t i) const { return blocks_ + i * kBlock; }

    FileDescriptor socket_;
    LinkType link_;
    std::byte* blocks_ = nullptr;
    std::size_t count_ = 0;  // blocks
    std::size_t next_ = 0;   // the block to look at next
    std::size_t held_ = 0;   // blocks before it that were not given back
    std::vector<CapturedFrame> frames_;
    std::uint64_t dropped_ = 0;
};

}  // namespace mastline
