// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/reference_page.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/output_files.hpp"

namespace mastline {

namespace {

ExitStatus run() {
    print(reference_page());
    return ExitStatus::good;
}

}  // namespace

void add_reference(CLI::App& app, Command& chosen) {
    auto* command = app.add_subcommand("reference", "Print every key of the venue files, in Markdown");
    command->footer(
        "Examples:\n"
        "  mastline-planner reference | less\n"
        "  mastline-planner reference > REFERENCE.md");
    command->callback([&chosen] { chosen = run; });
}

}  // namespace mastline
