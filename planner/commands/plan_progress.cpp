// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/plan_progress.hpp"

#include <array>

namespace mastline {

namespace {

// Parts of the time, in percent, of a venue of 600 channels and 1,100 links (levels, cards, addresses, loads, files).
constexpr std::array<int, 5> kParts{4, 13, 1, 7, 75};
constexpr std::array<std::string_view, 5> kNames{"levels", "cards", "addresses", "network load", "sheets and lists"};

double part_before(std::size_t step, bool writes_files) {
    int before = 0, all = 0;
    for (std::size_t i = 0; i < kParts.size() - (writes_files ? 0 : 1); ++i) {
        all += kParts[i];
        if (i < step) before += kParts[i];
    }
    return static_cast<double>(before) / all;
}

}  // namespace

std::string stage_line(PlanStage stage, Duration begun, Duration passed, bool writes_files, std::size_t width) {
    const auto step = static_cast<std::size_t>(stage);
    return part_line(kNames[step], part_before(step, writes_files), begun, passed, part_before(step + 1, writes_files), width);
}

PlanProgress::PlanProgress(bool writes_files)
    : writes_files_(writes_files), ticker_([this](Duration passed, std::size_t width) {
          const std::lock_guard lock(guard_);
          return stage_line(stage_, begun_, passed, writes_files_, width);
      }) {}

PlanStepSink PlanProgress::sink() {
    return [this](PlanStep step) { begin(static_cast<PlanStage>(step)); };
}

void PlanProgress::files() { begin(PlanStage::files); }

void PlanProgress::begin(PlanStage stage) {
    const std::lock_guard lock(guard_);
    stage_ = stage;
    begun_ = std::chrono::steady_clock::now() - start_;
}

}  // namespace mastline
