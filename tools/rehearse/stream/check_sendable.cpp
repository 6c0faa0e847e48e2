// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/stream/check_sendable.hpp"

#include <map>

#include <fmt/format.h>

#include "tools/rehearse/stream/channel_stream.hpp"
#include "tools/rehearse/ts/descriptors.hpp"

namespace mastline {

namespace {

constexpr std::uint16_t kFirstFreePid = 0x20;  // below: EN 300 468 table 1
constexpr std::size_t kMostServiceText = 250;  // 255 of the descriptor less its own five bytes
constexpr std::size_t kMostSection = 1024;     // ISO/IEC 13818-1, 2.4.4

class FlowCheck {
public:
    FlowCheck(const Expectation& flow, const std::string& file, Findings& findings)
        : flow_(flow), file_(file), findings_(findings) {}

    void run() {
        const std::size_t before = findings_.size();
        check_pids();
        check_texts();
        if (findings_.size() == before) check_sizes();
    }

private:
    void fault(std::string id, std::string what, std::string amount, std::string cure) {
        findings_.push_back({Severity::error,
                             std::move(id),
                             channel_text(flow_),
                             std::move(what),
                             std::move(amount),
                             std::move(cure),
                             {file_, 0, 0}});
    }

    void check_pids() {
        std::map<Pid, std::string> used;
        const auto take = [&](Pid pid, const std::string& what) {
            if (pid.value() < kFirstFreePid)
                fault("rehearsal.reserved-pid", fmt::format("{} is on PID {}", what, pid.value()),
                      "", "PIDs below 32 are kept for tables; take one from 32 to 8190");
            const auto [at, fresh] = used.emplace(pid, what);
            if (!fresh)
                fault("rehearsal.pid-used-twice",
                      fmt::format("{} and {} are both on PID {}", at->second, what, pid.value()),
                      "", "give each its own PID");
        };
        take(flow_.pmt_pid, "the PMT");
        for (const auto& component : flow_.components)
            take(component.pid, "a component (" + component.kind + ")");
        if (!used.contains(flow_.pcr_pid) || flow_.pcr_pid == flow_.pmt_pid)
            take(flow_.pcr_pid, "the PCR");
    }

    void check_texts() {
        const std::size_t size =
            dvb_text(flow_.service_name).size() + dvb_text(flow_.provider).size();
        if (size > kMostServiceText)
            fault("rehearsal.text-too-long",
                  "service and provider name do not fit a service descriptor",
                  fmt::format("{} bytes", size),
                  fmt::format("at most {} bytes together", kMostServiceText));
        for (const auto& component : flow_.components)
            if (!component.language.empty() && component.language.size() != 3)
                fault("rehearsal.bad-language",
                      fmt::format("the language of PID {} is \"{}\"", component.pid.value(),
                                  component.language),
                      "", "ISO 639-2 codes have three letters: \"eng\"");
    }

    void check_sizes() {
        const std::size_t size = pmt_section(flow_).size();
        if (size > kMostSection) {
            fault("rehearsal.section-too-long", "the PMT does not fit one section",
                  fmt::format("{} bytes", size), "at most 1024 bytes: fewer components");
            return;
        }
        const BitRate least = ChannelStream::least_rate(flow_);
        if (flow_.rate < least)
            fault("rehearsal.rate-too-low",
                  "the planned rate does not hold the tables and components", to_text(flow_.rate),
                  "at least " + to_text(least));
    }

    const Expectation& flow_;
    const std::string& file_;
    Findings& findings_;
};

}  // namespace

std::string channel_text(const Expectation& expectation) {
    return "channel " + expectation.channel +
           (expectation.copy > 1 ? fmt::format(" copy {}", expectation.copy) : "");
}

Findings check_sendable(const ExpectedLineup& lineup, const std::string& plan_file) {
    Findings findings;
    for (const auto& flow : lineup.flows) FlowCheck(flow, plan_file, findings).run();
    return findings;
}

}  // namespace mastline
