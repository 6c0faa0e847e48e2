// SPDX-License-Identifier: Apache-2.0
#include "probe/source/kernel_ring.hpp"

#include <arpa/inet.h>
#include <linux/filter.h>
#include <linux/if_ether.h>
#include <linux/if_packet.h>
#include <net/if.h>
#include <net/if_arp.h>
#include <pcap/pcap.h>
#include <sys/ioctl.h>
#include <sys/mman.h>
#include <sys/socket.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <cstring>
#include <memory>
#include <system_error>

#include "probe/source/group_socket.hpp"

namespace mastline {

namespace {

constexpr int kSnapLength = 65'535;
constexpr unsigned kBlockTimeout = 10;  // ms; a block is handed over when full or this old

[[noreturn]] void refuse_ring(const std::string& what, int error = errno) {
    throw std::system_error(error, std::generic_category(), what);
}

template <class T>
void set_packet_option(int fd, int name, const T& value, const std::string& what) {
    if (::setsockopt(fd, SOL_PACKET, name, &value, sizeof value) < 0) refuse_ring(what);
}

tpacket_hdr_v1& header_of(std::byte* block) {
    return static_cast<tpacket_block_desc*>(static_cast<void*>(block))->hdr.bh1;
}

std::uint32_t status_of(tpacket_hdr_v1& block) {
    return std::atomic_ref(block.block_status).load(std::memory_order_acquire);
}

// The kernel takes the outer VLAN tag out of a frame and tells it beside. Here it is put back: the
// addresses move four bytes to the front, over the end of the sender's link address (sockaddr_ll),
// which nobody asks for; what lies behind them stays.
ByteView frame_bytes(std::byte* at, const tpacket3_hdr& frame, LinkType link) {
    constexpr std::size_t addresses = 12, tag = 4;
    std::byte* const begin = at + frame.tp_mac;
    const auto& told = frame.hv1;
    const bool tagged = (frame.tp_status & TP_STATUS_VLAN_VALID) != 0 || told.tp_vlan_tci != 0;
    if (!tagged || link != kLinkEthernet || frame.tp_snaplen < addresses) return {begin, frame.tp_snaplen};
    std::memmove(begin - tag, begin, addresses);
    const std::uint16_t type = (frame.tp_status & TP_STATUS_VLAN_TPID_VALID) != 0 ? told.tp_vlan_tpid : ETH_P_8021Q;
    const std::array<std::uint16_t, 2> fields{htons(type), htons(static_cast<std::uint16_t>(told.tp_vlan_tci))};
    std::memcpy(begin - tag + addresses, fields.data(), tag);
    return {begin - tag, frame.tp_snaplen + tag};
}

// The ARPHRD_ number: what kind of frames the interface has.
unsigned short hardware_of(const std::string& interface) {
    const FileDescriptor fd(::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0));
    ifreq request{};
    interface.copy(request.ifr_name, IFNAMSIZ - 1);
    if (fd.get() < 0 || ::ioctl(fd.get(), SIOCGIFHWADDR, &request) < 0) refuse_ring("interface " + interface);
    return request.ifr_hwaddr.sa_family;
}

}  // namespace

KernelRing::KernelRing(const std::string& interface, const Filter& filter, std::size_t size) {
    const unsigned index = interface_index(interface);
    open_for(interface);
    attach(link_ == kLinkEthernet ? filter.ethernet : filter.bare);
    map(size);
    // Only now anything comes in.
    sockaddr_ll local{};
    local.sll_family = AF_PACKET;
    local.sll_protocol = htons(ETH_P_ALL);
    local.sll_ifindex = static_cast<int>(index);
    if (::bind(socket_.get(), static_cast<const sockaddr*>(static_cast<const void*>(&local)), sizeof local) < 0)
        refuse_ring("capturing on " + interface);
}

KernelRing::~KernelRing() {
    if (blocks_ != nullptr) ::munmap(blocks_, count_ * kBlock);
}

// Frames of other kinds than Ethernet come without the header of their link.
void KernelRing::open_for(const std::string& interface) {
    const unsigned short hardware = hardware_of(interface);
    const bool ethernet = hardware == ARPHRD_ETHER || hardware == ARPHRD_LOOPBACK;
    link_ = ethernet ? kLinkEthernet : kLinkRaw;
    socket_ = FileDescriptor(::socket(AF_PACKET, (ethernet ? SOCK_RAW : SOCK_DGRAM) | SOCK_NONBLOCK | SOCK_CLOEXEC, 0));
    if (socket_.get() < 0) refuse_ring("capturing on " + interface);
    // Loopback hands over each frame twice: as it leaves and as it comes.
    if (hardware == ARPHRD_LOOPBACK) set_packet_option(socket_.get(), PACKET_IGNORE_OUTGOING, 1, "PACKET_IGNORE_OUTGOING");
}

void KernelRing::attach(const char* filter) const {
    const std::unique_ptr<pcap_t, decltype(&pcap_close)> compiler(
        pcap_open_dead(link_ == kLinkEthernet ? DLT_EN10MB : DLT_RAW, kSnapLength), &pcap_close);
    bpf_program program{};
    if (!compiler || pcap_compile(compiler.get(), &program, filter, 1, PCAP_NETMASK_UNKNOWN) != 0)
        refuse_ring(std::string("filter \"") + filter + "\"", EINVAL);
    // Both structures describe instructions of the same machine.
    std::vector<sock_filter> code;
    for (unsigned i = 0; i < program.bf_len; ++i) {
        const bpf_insn& from = program.bf_insns[i];
        code.push_back({from.code, from.jt, from.jf, from.k});
    }
    pcap_freecode(&program);
    const sock_fprog wanted{static_cast<unsigned short>(code.size()), code.data()};
    if (::setsockopt(socket_.get(), SOL_SOCKET, SO_ATTACH_FILTER, &wanted, sizeof wanted) < 0) refuse_ring("capture filter");
}

void KernelRing::map(std::size_t size) {
    set_packet_option(socket_.get(), PACKET_VERSION, int{TPACKET_V3}, "capture ring");
    tpacket_req3 request{};
    request.tp_block_size = kBlock;
    request.tp_block_nr = static_cast<unsigned>((size + kBlock - 1) / kBlock);
    request.tp_frame_size = kBlock;  // of this version frames are as long as they are; the kernel checks the sum
    request.tp_frame_nr = request.tp_block_nr;
    request.tp_retire_blk_tov = kBlockTimeout;
    set_packet_option(socket_.get(), PACKET_RX_RING, request, "memory for the capture ring");
    count_ = request.tp_block_nr;
    void* const at = ::mmap(nullptr, count_ * kBlock, PROT_READ | PROT_WRITE, MAP_SHARED, socket_.get(), 0);
    if (at == MAP_FAILED) refuse_ring("memory for the capture ring");
    blocks_ = static_cast<std::byte*>(at);
}

const std::vector<CapturedFrame>& KernelRing::next_block() {
    frames_.clear();
    lost_before_ = lossy_;
    while (frames_.empty() && held_ < count_) {
        std::byte* const begin = block(next_);
        tpacket_hdr_v1& header = header_of(begin);
        const std::uint32_t status = status_of(header);
        if ((status & TP_STATUS_USER) == 0) break;
        // No frame is dropped while a block has room: those that were stood before this one.
        if ((status & TP_STATUS_LOSING) != 0) lost_before_ = true;
        std::byte* at = begin + header.offset_to_first_pkt;
        for (unsigned i = 0; i < header.num_pkts; ++i) {
            const auto& frame = *static_cast<const tpacket3_hdr*>(static_cast<const void*>(at));
            // Frames of a stream are alike: where the ones behind the next will stand can be guessed.
            for (std::size_t line = 0; line < 192; line += 64) __builtin_prefetch(at + std::size_t{4} * frame.tp_next_offset + line);
            frames_.push_back({frame_bytes(at, frame, link_),
                               std::chrono::seconds(frame.tp_sec) + Duration(frame.tp_nsec), true, link_});
            at += frame.tp_next_offset;
        }
        next_ = (next_ + 1) % count_;
        ++held_;
    }
    return frames_;
}

void KernelRing::give_back() {
    for (; held_ > 0; --held_) {
        auto& status = header_of(block((next_ + count_ - held_) % count_)).block_status;
        std::atomic_ref(status).store(TP_STATUS_KERNEL, std::memory_order_release);
    }
}

bool KernelRing::is_drained() const {
    return held_ == count_ || (status_of(header_of(block(next_))) & TP_STATUS_USER) == 0;
}

bool KernelRing::count_drops() {
    tpacket_stats_v3 stats{};
    socklen_t size = sizeof stats;
    const bool drained = is_drained();
    // The kernel counts anew after each look.
    if (::getsockopt(socket_.get(), SOL_PACKET, PACKET_STATISTICS, &stats, &size) != 0) return false;
    dropped_ += stats.tp_drops;
    const bool lost = lossy_ || stats.tp_drops > 0;
    lossy_ = lost && !drained;
    return lost && drained;
}

}  // namespace mastline
