// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/live_capture.hpp"

#include <netpacket/packet.h>
#include <pcap/pcap.h>
#include <poll.h>
#include <sys/socket.h>

#include <cerrno>
#include <span>
#include <system_error>

#include "probe/source/group_socket.hpp"

namespace mastline {

namespace {

// 50 ms of a full gigabit would be 6 MB; the ring also has to bridge the pauses of a busy machine.
constexpr int kRing = 64 * 1024 * 1024;
constexpr int kSmallRing = 1024 * 1024;
constexpr int kSnapLength = 65'535;
constexpr int kBlockTimeout = 10;  // ms; a block is handed over when full or this old

// IGMP is IP protocol 2; MLD stands behind a hop-by-hop header, which "icmp6" does not look past.
constexpr const char* kMembership = "igmp or (ip6 and ip6[6] == 0) or icmp6";
constexpr const char* kEverything = "ether multicast or ip multicast or ip6 multicast";

// Frames of groups that nobody joined too: an interface passes over them in hardware otherwise, and
// neither a flood nor what comes after a leave would be seen. Where it cannot, it stays as it is.
void take_all_multicast(int descriptor, unsigned interface) {
    packet_mreq request{};
    request.mr_ifindex = static_cast<int>(interface);
    request.mr_type = PACKET_MR_ALLMULTI;
    ::setsockopt(descriptor, SOL_PACKET, PACKET_ADD_MEMBERSHIP, &request, sizeof request);
}

[[noreturn]] void refuse(int error, const std::string& what) {
    throw std::system_error(error, std::generic_category(), what);
}

struct Close {
    void operator()(pcap_t* p) const { pcap_close(p); }
};

// libpcap's byte is unsigned char; the frame goes on as std::byte, copied nowhere.
ByteView as_bytes(const unsigned char* data, std::size_t size) {
    return std::as_bytes(std::span(data, size));
}

}  // namespace

struct LiveCapture::State {
    std::unique_ptr<pcap_t, Close> ring;
    LinkType link;
    int descriptor = -1;
    FrameDecoder* decoder = nullptr;
    std::size_t taken = 0;

    void open(const std::string& interface, Taking taking);
    void filter(const std::string& interface, const char* expression);

    static void on_frame(unsigned char* user, const pcap_pkthdr* header, const unsigned char* data) {
        auto& self = *static_cast<State*>(static_cast<void*>(user));
        const auto& at = header->ts;  // nanoseconds in tv_usec, as asked for
        ++self.taken;
        self.decoder->add({as_bytes(data, header->caplen),
                           std::chrono::seconds(at.tv_sec) + Duration(at.tv_usec), true, self.link});
    }
};

void LiveCapture::State::filter(const std::string& interface, const char* expression) {
    bpf_program program{};
    if (pcap_compile(ring.get(), &program, expression, 1, PCAP_NETMASK_UNKNOWN) != 0)
        refuse(EINVAL, interface + ": " + pcap_geterr(ring.get()));
    const int result = pcap_setfilter(ring.get(), &program);
    pcap_freecode(&program);
    if (result != 0) refuse(EIO, interface + ": " + pcap_geterr(ring.get()));
}

void LiveCapture::State::open(const std::string& interface, Taking taking) {
    const unsigned index = interface_index(interface);
    char error[PCAP_ERRBUF_SIZE] = {};
    ring.reset(pcap_create(interface.c_str(), error));
    if (!ring) refuse(EIO, interface + ": " + error);
    pcap_t* p = ring.get();
    pcap_set_snaplen(p, kSnapLength);
    pcap_set_promisc(p, 0);
    pcap_set_timeout(p, kBlockTimeout);
    pcap_set_buffer_size(p, taking == Taking::everything ? kRing : kSmallRing);
    pcap_set_tstamp_precision(p, PCAP_TSTAMP_PRECISION_NANO);
    const int status = pcap_activate(p);
    if (status == PCAP_ERROR_PERM_DENIED || status == PCAP_ERROR_PROMISC_PERM_DENIED)
        refuse(EPERM, "capturing on " + interface);
    if (status < 0) refuse(EIO, interface + ": " + pcap_geterr(p));
    filter(interface, taking == Taking::everything ? kEverything : kMembership);
    if (pcap_setnonblock(p, 1, error) != 0) refuse(EIO, interface + ": " + error);
    link = {static_cast<std::uint32_t>(pcap_datalink(p))};
    descriptor = pcap_get_selectable_fd(p);
    if (taking == Taking::everything) take_all_multicast(pcap_fileno(p), index);
}

LiveCapture::LiveCapture(const std::string& interface, Taking taking)
    : state_(std::make_unique<State>()) {
    state_->open(interface, taking);
}

LiveCapture::~LiveCapture() = default;

std::size_t LiveCapture::poll(FrameDecoder& decoder, Duration patience) {
    pollfd waited{state_->descriptor, POLLIN, 0};
    const auto wait = std::chrono::ceil<std::chrono::milliseconds>(patience).count();
    if (wait > 0) ::poll(&waited, 1, static_cast<int>(wait));
    state_->decoder = &decoder;
    state_->taken = 0;
    auto* user = static_cast<unsigned char*>(static_cast<void*>(state_.get()));
    if (pcap_dispatch(state_->ring.get(), -1, State::on_frame, user) < 0)
        refuse(EIO, pcap_geterr(state_->ring.get()));
    return state_->taken;
}

std::uint64_t LiveCapture::dropped() const {
    pcap_stat stats{};
    return pcap_stats(state_->ring.get(), &stats) == 0 ? stats.ps_drop : 0;
}

}  // namespace mastline
