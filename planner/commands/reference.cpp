// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/reference_page.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/output_files.hpp"

namespace mastline {

namespace {

ExitStatus run_reference() {
    print(reference_page());
    return ExitStatus::good;
}

}  // namespace

Command reference_command() {
    return {"reference",
        "Print every key of the venue files, in Markdown",
        {},
        "Examples:\n"
        "  mastline-planner reference | less\n"
        "  mastline-planner reference > REFERENCE.md",
        run_reference};
}

}  // namespace mastline
