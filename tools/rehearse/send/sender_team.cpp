// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/sender_team.hpp"

#include <algorithm>
#include <exception>
#include <thread>

namespace mastline {

namespace {
constexpr std::int64_t kDatagramsPerThread = 100'000;  // per second
}

unsigned sender_threads(const ExpectedLineup& lineup, unsigned processors) {
    std::int64_t datagrams = 0;
    for (const auto& flow : lineup.flows)
        datagrams += flow.rate.bits_per_second() / (std::int64_t{8 * kTsPacketSize} * flow.packets_per_datagram);
    const auto wanted = static_cast<unsigned>(1 + datagrams / kDatagramsPerThread);
    return std::clamp(wanted, 1U, std::max(processors, 1U));
}

SenderTeam::SenderTeam(std::vector<Transmission> transmissions, const ExpectedLineup& lineup,
                       const Interface& interface, unsigned threads) {
    std::vector<std::vector<Transmission>> parts(std::max(threads, 1U));
    for (auto& t : transmissions) parts[t.route().flow % parts.size()].push_back(std::move(t));
    for (auto& part : parts)
        members_.push_back(
            std::unique_ptr<Member>(new Member{Schedule(std::move(part)), SocketOutlet(lineup, interface)}));
}

Punctuality SenderTeam::run(PcrTicks end, const std::atomic<bool>& stop) {
    std::vector<Punctuality> results(members_.size());
    std::vector<std::exception_ptr> faults(members_.size());
    const auto start = monotonic_now();
    const auto send = [&](std::size_t i) {
        try {
            results[i] = run_live(members_[i]->schedule, members_[i]->outlet, start, end, stop);
        } catch (...) {
            faults[i] = std::current_exception();
        }
    };
    std::vector<std::thread> threads;
    for (std::size_t i = 1; i < members_.size(); ++i) threads.emplace_back(send, i);
    send(0);
    for (auto& thread : threads) thread.join();
    Punctuality out;
    for (std::size_t i = 0; i < members_.size(); ++i) {
        if (faults[i]) std::rethrow_exception(faults[i]);
        out.late += results[i].late;
        out.worst = std::max(out.worst, results[i].worst);
    }
    return out;
}

std::vector<const Schedule*> SenderTeam::schedules() const {
    std::vector<const Schedule*> out;
    for (const auto& m : members_) out.push_back(&m->schedule);
    return out;
}

SocketOutlet::Errors SenderTeam::errors() const {
    SocketOutlet::Errors out;
    for (const auto& m : members_) {
        out.count += m->outlet.errors().count;
        if (!m->outlet.errors().last.empty()) out.last = m->outlet.errors().last;
    }
    return out;
}

}  // namespace mastline
