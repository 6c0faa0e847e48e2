// SPDX-License-Identifier: Apache-2.0
// Levels and margins as the pictures write them: dBm without the unit, which the sheet states once.
#pragma once

#include <span>
#include <string>

#include "mastline/signal/lists.hpp"
#include "planner/sheets/plan_index.hpp"

namespace mastline {

// "−26.0/−28.3" at the band edges of one signal, "−33.4…−30.1" over several, "light 5.0" where it
// is optical power; empty without any.
std::string level_pair(std::span<const PortLevel* const> levels);

// "trim", "slope", "pad", "tap".
std::string_view to_text(SettingKind kind);

// "margin 4.1", "margin 1.2 near", "margin −10.0 OUT"; empty without a window.
std::string margin_text(std::optional<Gain> margin);

// "lane west/1: −26.0 dBm at 950 MHz (worst −28.1 to −23.9), ..." for hovering.
std::string level_sentence(const PortLevel& level);

}  // namespace mastline
