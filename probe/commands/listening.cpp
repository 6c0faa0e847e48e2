// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/listening.hpp"

#include <system_error>
#include <thread>

#include "mastline/source/group_holder.hpp"
#include "mastline/source/live_capture.hpp"
#include "mastline/source/privileges.hpp"
#include "mastline/text/progress.hpp"
#include "mastline/units/unix_now.hpp"
#include "probe/commands/stop_signal.hpp"

namespace mastline {

namespace {

// Datagrams gather this long before they are taken: fewer wake-ups, several datagrams of each group at a
// time. The kernel has stamped them by then, and its buffers hold far more.
constexpr Duration kGather = std::chrono::milliseconds(12);

class Sockets final : public Listening {
public:
    // Membership first: the answers to our own joins are seen then.
    Sockets(const std::string& interface, const std::vector<WantedFlow>& flows)
        : flows_(flows.size()), membership_(watch_membership(interface)), listener_(interface, flows) {
        drop_privileges();  // not earlier: large receive buffers may need some
    }

    void poll(PacketSink& sink, Duration patience) override {
        listener_.poll(sink, patience);
        if (membership_) membership_->poll(sink, Duration{});
    }
    std::uint64_t own_drops() const override {
        std::uint64_t out = 0;
        for (const auto& d : listener_.drops()) out += d.datagrams;
        return out;
    }
    std::string blind_to_membership() const override { return blind_; }
    std::vector<Duration> joined() const override {
        std::vector<Duration> out;
        for (std::size_t i = 0; i < flows_; ++i) out.push_back(listener_.joined_at(i));
        return out;
    }

private:
    std::unique_ptr<LiveCapture> watch_membership(const std::string& interface) {
        try {
            return std::make_unique<LiveCapture>(interface, LiveCapture::Taking::membership);
        } catch (const std::system_error& error) {
            if (error.code().value() != EPERM) throw;
            blind_ = "this user may not capture (CAP_NET_RAW)";
            return nullptr;
        }
    }

    std::size_t flows_;
    std::string blind_;
    std::unique_ptr<LiveCapture> membership_;
    MulticastListener listener_;
};

class Ring final : public Listening {
public:
    Ring(const std::string& interface, const std::vector<WantedFlow>& flows)
        : capture_(interface), holder_(interface, flows) {}

    void poll(PacketSink& sink, Duration patience) override { capture_.ring.poll(sink, patience); }
    std::uint64_t own_drops() const override { return capture_.ring.dropped(); }
    std::vector<Duration> joined() const override { return holder_.joined(); }
    bool leave() override {
        holder_.leave();
        return true;
    }

private:
    // Nothing that follows the opening of the ring needs a privilege.
    struct Unprivileged {
        LiveCapture ring;
        explicit Unprivileged(const std::string& interface) : ring(interface, LiveCapture::Taking::everything) {
            drop_privileges();
        }
    };
    Unprivileged capture_;
    GroupHolder holder_;
};

}  // namespace

std::unique_ptr<Listening> listen_by_sockets(const std::string& interface,
                                             const std::vector<WantedFlow>& flows) {
    return std::make_unique<Sockets>(interface, flows);
}

std::unique_ptr<Listening> listen_by_ring(const std::string& interface,
                                          const std::vector<WantedFlow>& flows) {
    return std::make_unique<Ring>(interface, flows);
}

std::vector<WantedFlow> wanted_flows(const ExpectedLineup& plan) {
    std::vector<WantedFlow> out;
    for (const auto& e : plan.flows) out.push_back({e.flow, e.source_specific ? e.source : std::nullopt});
    for (const auto& e : plan.flows)  // after all others, which stand in the plan's order
        if (e.source_specific && e.standby_source) out.push_back({e.flow, e.standby_source});
    return out;
}

Watch watch_live(Listening& listening, WatchSink& sink, Duration length) {
    const StopSignal stop;
    ProgressLine progress;
    const Duration start = unix_now();
    Duration now = start;
    while (now - start < length && !StopSignal::came()) {
        const auto before = std::chrono::steady_clock::now();
        listening.poll(sink, std::min<Duration>(length - (now - start), std::chrono::milliseconds(100)));
        std::this_thread::sleep_until(before + kGather);
        now = unix_now();
        if (progress.due())
            progress.draw(time_line(now - start, length, std::to_string(sink.datagrams()) + " datagrams", progress.width()));
    }
    listening.poll(sink, Duration{});
    return {start, now};
}

std::optional<Aftermath> watch_leaving(Listening& listening, WatchSink& sink, Duration length) {
    Aftermath out;
    sink.leaving();
    out.left = unix_now();
    if (!listening.leave()) return std::nullopt;
    out.end = watch_live(listening, sink, length).end.value_or(out.left);
    out.last = sink.since_leaving();
    return out;
}

}  // namespace mastline
