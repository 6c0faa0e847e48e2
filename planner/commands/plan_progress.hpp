// SPDX-License-Identifier: Apache-2.0
// Where the planning of a venue is and about how long it will still take, told on a terminal.
#pragma once

#include <atomic>
#include <optional>

#include "mastline/plan/plan.hpp"
#include "mastline/text/progress.hpp"

namespace mastline {

// A plan and, where files are written, what they are written of.
enum class PlanStage { levels, cards, addresses, loads, files };

// "[##......] cards, 3 s, about 9 s left", shorter than the width. How long is left is reckoned from how the
// time parts among the steps for a large venue; none is told while the first step lasts, or where a step
// takes longer than that. `begun`: when the step began, after the start.
std::string stage_line(PlanStage stage, Duration begun, Duration passed, bool writes_files, std::size_t width);

class PlanProgress {
public:
    // `writes_files`: they follow the plan.
    explicit PlanProgress(bool writes_files);
    PlanStepSink sink();
    void files();

private:
    void begin(PlanStage stage);

    std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
    bool writes_files_;
    std::mutex guard_;
    PlanStage stage_ = PlanStage::levels;
    Duration begun_{};
    ProgressTicker ticker_;  // the last: its thread uses the rest
};

}  // namespace mastline
