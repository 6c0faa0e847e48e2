// SPDX-License-Identifier: Apache-2.0
// The exit statuses of all programs.
#pragma once

namespace mastline {

enum class ExitStatus : int {
    good = 0,         // all good
    findings = 1,     // findings of severity error, or a failed verdict
    bad_input = 2,    // unusable input or usage
    environment = 3,  // the machine refused: permission, interface, disk
};

}  // namespace mastline
