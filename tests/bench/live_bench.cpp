// SPDX-License-Identifier: Apache-2.0
// The two ends of the live figures (live.sh):
//
//   live_bench send STREAM INTERFACE GROUPS SECONDS RATE    RTP of STREAM to each group in turn, RATE
//       datagrams a second in all, 0: as fast as it goes; prints how many were sent, and in what time
//   live_bench receive WAY INTERFACE GROUPS SECONDS         WAY: ring, sockets, or unchecked (the ring,
//       its datagrams only counted); prints datagrams, those this machine dropped, user and kernel time
#include <arpa/inet.h>
#include <net/if.h>
#include <netinet/in.h>
#include <sys/resource.h>
#include <sys/socket.h>

#include <array>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <system_error>
#include <thread>

#include "bench.hpp"
#include "mastline/source/group_holder.hpp"
#include "mastline/source/live_capture.hpp"
#include "probe/commands/listening.hpp"
#include "support/stream_reading.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t kPayload = 7 * kTsPacketSize, kRtpHeader = 12;
constexpr unsigned kBatch = 8;  // larger ones fill the receiver's queue faster than it is emptied

std::uint32_t group_value(unsigned n) { return 0xEFC00000U + ((1 + n / 200) << 8) + 1 + n % 200; }

std::vector<WantedFlow> groups(unsigned count) {
    std::vector<WantedFlow> out;
    for (unsigned n = 0; n < count; ++n) out.push_back({{*Group::of(IpAddress::v4(group_value(n))), {5004}}, std::nullopt});
    return out;
}

[[noreturn]] void refuse(const char* what) { throw std::system_error(errno, std::generic_category(), what); }

// One datagram to each group, then the next to each.
class Sender {
public:
    Sender(Bytes stream, const std::string& interface, unsigned groups) : stream_(std::move(stream)) {
        ip_mreqn by{};
        by.imr_ifindex = static_cast<int>(::if_nametoindex(interface.c_str()));
        const int ttl = 16;
        if (socket_ < 0 || ::setsockopt(socket_, IPPROTO_IP, IP_MULTICAST_IF, &by, sizeof by) < 0 ||
            ::setsockopt(socket_, IPPROTO_IP, IP_MULTICAST_TTL, &ttl, sizeof ttl) < 0)
            refuse("sending");
        for (unsigned n = 0; n < groups; ++n) {
            sockaddr_in to{};
            to.sin_family = AF_INET;
            to.sin_port = htons(5004);
            to.sin_addr.s_addr = htonl(group_value(n));
            to_.push_back(to);
        }
    }

    // Returns how many left.
    std::uint64_t run(double seconds, double rate) {
        const auto begin = Clock::now();
        std::uint64_t sent = 0;
        for (;;) {
            const double passed = std::chrono::duration<double>(Clock::now() - begin).count();
            if (passed >= seconds) return sent;
            if (rate > 0 && static_cast<double>(sent) > passed * rate) continue;  // pauses are too long to sleep
            sent += send_batch();
        }
    }

private:
    unsigned send_batch() {
        std::array<mmsghdr, kBatch> messages{};
        std::array<std::array<iovec, 2>, kBatch> parts{};
        unsigned count = 0;
        for (; count < kBatch && group_ + count < to_.size(); ++count) {
            parts[count] = {{{header_.data(), kRtpHeader}, {stream_.data() + at_, kPayload}}};
            messages[count].msg_hdr = {&to_[group_ + count], sizeof(sockaddr_in), parts[count].data(), 2, nullptr, 0, 0};
        }
        const int left = ::sendmmsg(socket_, messages.data(), count, 0);
        if (left < 0) refuse("sending");
        group_ += static_cast<unsigned>(left);
        if (group_ == to_.size()) next_round();
        return static_cast<unsigned>(left);
    }
    // RFC 3550 section 5.1, RFC 2250 section 2: version 2, payload type 33, number, time stamp, SSRC.
    void next_round() {
        group_ = 0;
        ++number_;
        at_ += kPayload;
        if (at_ + kPayload > stream_.size()) at_ = 0;
        header_[2] = static_cast<std::byte>(number_ >> 8);
        header_[3] = static_cast<std::byte>(number_ & 0xFF);
    }

    Bytes stream_;
    std::vector<sockaddr_in> to_;
    int socket_ = ::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0);
    std::array<std::byte, kRtpHeader> header_{std::byte{0x80}, std::byte{33}};
    std::uint16_t number_ = 0;
    std::size_t at_ = 0;
    unsigned group_ = 0;
};

int send(char** arguments) {
    const Bytes once = file_bytes(arguments[0]);
    Sender sender(bench::repeated(once, 8 * once.size()), arguments[1], static_cast<unsigned>(std::atoi(arguments[2])));
    const auto begin = Clock::now();
    const auto sent = sender.run(std::atof(arguments[3]), std::atof(arguments[4]));
    std::printf("%llu %.6f\n", static_cast<unsigned long long>(sent), std::chrono::duration<double>(Clock::now() - begin).count());
    return 0;
}

struct Counting final : PacketSink {
    std::uint64_t datagrams = 0;
    void on_datagram(const Datagram&) override { ++datagrams; }
};

// The ring as listen_by_ring() and watch_live() use it.
std::pair<std::uint64_t, std::uint64_t> count_only(const std::string& interface, unsigned count, Duration length) {
    LiveCapture capture(interface, LiveCapture::Taking::everything);
    const GroupHolder holder(interface, groups(count));
    Counting sink;
    const auto begin = Clock::now();
    while (Clock::now() - begin < length) {
        const auto before = Clock::now();
        capture.poll(sink, std::chrono::milliseconds(100));
        std::this_thread::sleep_until(before + std::chrono::milliseconds(12));
    }
    return {sink.datagrams, capture.dropped()};
}

std::pair<std::uint64_t, std::uint64_t> check_all(const std::string& way, const std::string& interface, unsigned count, Duration length) {
    const auto listening = way == "ring" ? listen_by_ring(interface, groups(count)) : listen_by_sockets(interface, groups(count));
    WatchSink sink;
    watch_live(*listening, sink, length);
    return {sink.datagrams(), listening->own_drops()};
}

int receive(char** arguments) {
    const std::string way = arguments[0];
    const auto count = static_cast<unsigned>(std::atoi(arguments[2]));
    const auto length = std::chrono::milliseconds(static_cast<int>(1000 * std::atof(arguments[3])));
    const auto [datagrams, drops] = way == "unchecked" ? count_only(arguments[1], count, length) : check_all(way, arguments[1], count, length);
    rusage used{};
    ::getrusage(RUSAGE_SELF, &used);
    const auto seconds = [](const timeval& t) { return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) / 1e6; };
    std::printf("%llu %llu %.3f %.3f\n", static_cast<unsigned long long>(datagrams), static_cast<unsigned long long>(drops),
                seconds(used.ru_utime), seconds(used.ru_stime));
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    try {
        if (argc == 7 && std::string(argv[1]) == "send") return send(argv + 2);
        if (argc == 6 && std::string(argv[1]) == "receive") return receive(argv + 2);
    } catch (const std::system_error& error) {
        std::fprintf(stderr, "live_bench: %s\n", error.what());
        return 3;
    }
    std::fprintf(stderr, "usage: live_bench send STREAM INTERFACE GROUPS SECONDS RATE | receive WAY INTERFACE GROUPS SECONDS\n");
    return 2;
}
