// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/live_capture.hpp"

#include <linux/if_packet.h>
#include <poll.h>
#include <sys/socket.h>

#include "probe/source/group_socket.hpp"
#include "probe/source/grouped_delivery.hpp"
#include "probe/source/kernel_ring.hpp"

namespace mastline {

namespace {

// 50 ms of a full gigabit would be 6 MB; the ring also has to bridge the pauses of a busy machine.
constexpr std::size_t kRing = 64 * 1024 * 1024;
constexpr std::size_t kSmallRing = 1024 * 1024;
// Datagrams sorted by group at a time: enough that each of some hundred groups has several, few enough
// that what is known of them and of the groups stays in a processor's own cache.
constexpr std::size_t kMostWaiting = 4096;

// IGMP is IP protocol 2; MLD stands behind a hop-by-hop header, which "icmp6" does not look past.
constexpr const char* kMembership = "igmp or (ip6 and ip6[6] == 0) or icmp6";
constexpr KernelRing::Filter kMembershipAlone{kMembership, kMembership};
constexpr KernelRing::Filter kEverything{"ether multicast or ip multicast or ip6 multicast",
                                         "ip multicast or ip6 multicast"};

// Frames of groups that nobody joined too: an interface passes over them in hardware otherwise, and
// neither a flood nor what comes after a leave would be seen. Where it cannot, it stays as it is.
void take_all_multicast(int descriptor, unsigned interface) {
    packet_mreq request{};
    request.mr_ifindex = static_cast<int>(interface);
    request.mr_type = PACKET_MR_ALLMULTI;
    ::setsockopt(descriptor, SOL_PACKET, PACKET_ADD_MEMBERSHIP, &request, sizeof request);
}

}  // namespace

struct LiveCapture::State {
    KernelRing ring;
    GroupedDelivery grouped{ring.memory()};
    FrameDecoder decoder{grouped};

    State(const std::string& interface, Taking taking)
        : ring(interface, taking == Taking::everything ? kEverything : kMembershipAlone,
               taking == Taking::everything ? kRing : kSmallRing) {
        if (taking == Taking::everything) take_all_multicast(ring.descriptor(), interface_index(interface));
    }

    // As many blocks as are sorted by group at a time; how many.
    std::size_t take(PacketSink& sink) {
        std::size_t blocks = 0;
        for (; grouped.waiting() < kMostWaiting; ++blocks) {
            const auto& frames = ring.next_block();
            if (frames.empty()) break;
            if (ring.lost_before()) {
                grouped.deliver();
                sink.on_own_loss_somewhere();
            }
            for (const auto& frame : frames) decoder.add(frame);
        }
        grouped.deliver();
        ring.give_back();
        return blocks;
    }
};

LiveCapture::LiveCapture(const std::string& interface, Taking taking)
    : state_(std::make_unique<State>(interface, taking)) {}

LiveCapture::~LiveCapture() = default;

void LiveCapture::poll(PacketSink& sink, Duration patience) {
    pollfd waited{state_->ring.descriptor(), POLLIN, 0};
    const auto wait = std::chrono::ceil<std::chrono::milliseconds>(patience).count();
    if (wait > 0) ::poll(&waited, 1, static_cast<int>(wait));
    state_->grouped.deliver_to(sink);
    // What is there now, even where it comes in faster than it can be taken: whoever listens has a clock to keep.
    KernelRing& ring = state_->ring;
    std::size_t blocks = 0, taken = 1;
    for (; taken > 0 && blocks < ring.blocks(); blocks += taken) taken = state_->take(sink);
    if (ring.count_drops()) sink.on_own_loss_somewhere();
}

std::uint64_t LiveCapture::dropped() const { return state_->ring.dropped(); }

}  // namespace mastline
