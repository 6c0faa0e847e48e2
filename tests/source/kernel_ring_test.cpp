// SPDX-License-Identifier: Apache-2.0
// The kernel's own frames, over the loopback of a network namespace that the test makes itself.
#include "probe/source/kernel_ring.hpp"

#include <linux/if_ether.h>
#include <linux/if_packet.h>
#include <net/if.h>
#include <netinet/in.h>
#include <poll.h>
#include <sched.h>
#include <sys/ioctl.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstring>
#include <functional>

#include "mastline/source/link_layer.hpp"
#include "mastline/source/live_capture.hpp"

using namespace mastline;

namespace {

using Frame = std::vector<std::byte>;

// Runs `work` in a process with a loopback interface of its own; true when it did and says so.
bool in_private_network(const std::function<bool()>& work) {
    const pid_t child = ::fork();
    if (child == 0) {
        const int wanted = ::getuid() == 0 ? CLONE_NEWNET : CLONE_NEWUSER | CLONE_NEWNET;
        ifreq up{};
        std::memcpy(up.ifr_name, "lo", 3);
        up.ifr_flags = IFF_UP;
        bool done = ::unshare(wanted) == 0 &&
                    ::ioctl(::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0), SIOCSIFFLAGS, &up) == 0;
        try {
            done = done && work();
        } catch (const std::exception&) {
            done = false;
        }
        ::_exit(done ? 0 : 1);
    }
    int status = 0;
    return child > 0 && ::waitpid(child, &status, 0) == child && WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

bool send_raw(const FileDescriptor& socket, const Frame& frame) {
    sockaddr_ll to{};
    to.sll_family = AF_PACKET;
    to.sll_ifindex = static_cast<int>(::if_nametoindex("lo"));
    return ::sendto(socket.get(), frame.data(), frame.size(), 0, static_cast<const sockaddr*>(static_cast<const void*>(&to)),
                    sizeof to) == static_cast<ssize_t>(frame.size());
}

// What the ring gives of `sent`, one second at most. The ring has a block for each frame: on a busy
// machine each may stand in one of its own, as blocks are handed over by time.
std::vector<Frame> through_ring(const std::vector<Frame>& sent) {
    KernelRing ring("lo", {"ether multicast", "ip multicast"}, 4 * 1024 * 1024);
    const FileDescriptor socket(::socket(AF_PACKET, SOCK_RAW | SOCK_CLOEXEC, 0));
    for (const auto& frame : sent)
        if (!send_raw(socket, frame)) return {};
    std::vector<Frame> out;
    for (int i = 0; i < 100 && out.size() < sent.size(); ++i) {
        pollfd ready{ring.descriptor(), POLLIN, 0};
        ::poll(&ready, 1, 10);
        for (const auto& frame : ring.next_block()) out.emplace_back(frame.bytes.begin(), frame.bytes.end());
        ring.give_back();
    }
    return out;
}

// To 239.1.2.3 (01:00:5E:01:02:03), after the tags given, with a datagram of `payload` bytes.
Frame frame_with(const std::vector<std::uint32_t>& tags, std::size_t payload) {
    Frame out;
    const auto put = [&](std::initializer_list<unsigned> bytes) {
        for (const unsigned b : bytes) out.push_back(static_cast<std::byte>(b));
    };
    put({0x01, 0x00, 0x5E, 0x01, 0x02, 0x03, 0x02, 0, 0, 0, 0, 7});
    for (const std::uint32_t tag : tags) put({tag >> 24, tag >> 16 & 0xFF, tag >> 8 & 0xFF, tag & 0xFF});
    const auto total = static_cast<unsigned>(28 + payload), length = static_cast<unsigned>(8 + payload);
    put({0x08, 0x00, 0x45, 0, total >> 8, total & 0xFF, 0, 1, 0, 0, 8, 17, 0, 0, 10, 0, 0, 7, 239, 1, 2, 3});
    put({0x13, 0x8C, 0x13, 0x8C, length >> 8, length & 0xFF, 0, 0});
    for (std::size_t i = 0; i < payload; ++i) out.push_back(static_cast<std::byte>(i));
    return out;
}

// Sends datagrams that are numbered from 0, and takes them from a capture.
class Numbered final : public PacketSink {
public:
    void send(std::uint32_t count) {
        for (const std::uint32_t end = sent_ + count; sent_ < end; ++sent_) {
            for (std::size_t i = 0; i < 4; ++i) frame_[42 + i] = static_cast<std::byte>(sent_ >> (24 - 8 * i));
            failed_ = failed_ || !send_raw(socket_, frame_);
        }
    }
    void on_datagram(const Datagram& d) override {
        const std::uint32_t number = read_u32(d.payload, 0);
        if (number != next_) ++(told_ ? own_gaps : blamed_gaps);
        next_ = number + 1;
        told_ = false;
        ++taken;
        if (at_each) at_each(*this);
    }
    void on_own_loss_somewhere() override { told_ = true; }
    bool has_all() const { return !failed_ && next_ == sent_; }

    std::function<void(Numbered&)> at_each;
    std::uint32_t taken = 0, own_gaps = 0, blamed_gaps = 0;

private:
    FileDescriptor socket_{::socket(AF_PACKET, SOCK_RAW | SOCK_CLOEXEC, 0)};
    Frame frame_ = frame_with({}, 1316);
    std::uint32_t sent_ = 0, next_ = 0;
    bool told_ = false, failed_ = false;
};

}  // namespace

TEST_CASE("what a full ring drops is told between what was before and what is behind", "[live]") {
    CHECK(in_private_network([] {
        LiveCapture capture("lo", LiveCapture::Taking::everything);
        Numbered sink;
        // More than 64 MB, and more again while the first are taken.
        sink.at_each = [](Numbered& s) {
            if (s.taken % 10'000 == 0 && s.taken <= 60'000) s.send(20'000);
        };
        sink.send(60'000);
        for (int i = 0; i < 100 && (i < 10 || !sink.has_all()); ++i) capture.poll(sink, std::chrono::milliseconds(20));
        sink.at_each = nullptr;
        sink.send(1);  // behind the last loss
        for (int i = 0; i < 100 && !sink.has_all(); ++i) capture.poll(sink, std::chrono::milliseconds(20));
        return sink.has_all() && sink.own_gaps >= 1 && sink.blamed_gaps == 0 && capture.dropped() > 0;
    }));
}

TEST_CASE("a capture gives back control though frames come as fast as they are taken", "[live]") {
    CHECK(in_private_network([] {
        LiveCapture capture("lo", LiveCapture::Taking::everything);
        Numbered sink;
        constexpr std::uint32_t never = 400'000;
        sink.at_each = [](Numbered& s) {
            if (s.taken < never) s.send(1);
        };
        sink.send(2'000);
        capture.poll(sink, std::chrono::milliseconds(100));
        return sink.taken > 0 && sink.taken < never;
    }));
}

TEST_CASE("frames of the kernel's ring have the VLAN tags that they came with", "[live]") {
    // IEEE 802.1Q: type 0x8100, priority 5, VLAN 120; priority-tagged (VLAN 0); 802.1ad with 802.1Q in it.
    const std::vector<Frame> sent{frame_with({}, 1316),           frame_with({0x8100A078}, 1316),
                                  frame_with({0x81000000}, 100),  frame_with({0x88A80064, 0x8100A078}, 1316),
                                  frame_with({0x81000064, 0x8100A078}, 32), frame_with({}, 100)};
    CHECK(in_private_network([&] { return through_ring(sent) == sent; }));
    for (const auto& frame : sent) {
        const auto ip = ip_in_frame(kLinkEthernet, frame);
        REQUIRE(ip);
        CHECK(read_u32(ip->packet, 16) == 0xEF010203);
    }
}

TEST_CASE("a ring on an interface that is not there is refused by name", "[input]") {
    CHECK(in_private_network([] {
        try {
            const KernelRing ring("nowhere0", {"ip multicast", "ip multicast"}, 1024 * 1024);
        } catch (const std::system_error& error) {
            return std::string_view(error.what()).find("nowhere0") != std::string_view::npos;
        }
        return false;
    }));
}
