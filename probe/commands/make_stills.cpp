// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/make_stills.hpp"

#include <algorithm>
#include <future>
#include <mutex>
#include <optional>
#include <stdexcept>
#include <thread>

#include "mastline/still/decode_still.hpp"
#include "mastline/text/progress.hpp"

namespace mastline {

void need_still_program() {
    if (still_program().empty())
        throw std::runtime_error("--stills: mastline-still is not installed; it is in the package mastline-stills, or built after tools/setup stills");
}

void want_stills(FlowSet& flows, const ExpectedLineup& plan) {
    for (const auto& e : plan.flows) flows.want_still(destination_of(e.flow), e.program_number);
}

std::vector<Still> make_stills(const FlowSet& flows, const std::vector<Verdict>& verdicts) {
    const std::string program = still_program();
    std::vector<Still> out(verdicts.size());
    std::mutex guard;
    std::size_t next = 0;
    PartProgress progress("stills");
    // Materials are taken one by one: they may be large.
    const auto take = [&](std::size_t& index) -> std::optional<StillMaterial> {
        const std::lock_guard lock(guard);
        if (next == out.size()) return std::nullopt;
        progress.done(static_cast<double>(next) / static_cast<double>(out.size()));
        index = next++;
        const Verdict& v = verdicts[index];
        return flows.still({v.flow.group.address(), v.flow.port, v.wire});
    };
    const auto work = [&] {
        std::size_t index = 0;
        while (const auto material = take(index)) out[index] = decode_still(*material, program);
    };
    std::vector<std::future<void>> workers;
    for (unsigned n = std::max(std::thread::hardware_concurrency(), 1U); n > 0; --n) workers.push_back(std::async(std::launch::async, work));
    for (auto& w : workers) w.get();
    return out;
}

}  // namespace mastline
