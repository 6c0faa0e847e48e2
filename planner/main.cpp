// SPDX-License-Identifier: Apache-2.0
// Flags, then one command; every failure becomes an exit status here.
#include <cstdio>
#include <vector>

#include <CLI/CLI.hpp>

#include "mastline/text/completion.hpp"
#include "mastline/text/manual_page.hpp"
#include "mastline/text/refusal_text.hpp"
#include "mastline/text/usage_advice.hpp"
#include "mastline/usage_error.hpp"
#include "planner/commands/command.hpp"
#include "planner/manual.hpp"
#include "version_text.hpp"

namespace mastline {

namespace {

int complain(const std::exception& error, ExitStatus status) {
    std::fprintf(stderr, "mastline-planner: %s\n", refusal_text(error).c_str());
    return static_cast<int>(status);
}

// Which of the commands was asked for.
using Chosen = const Command*;

void add_argument(CLI::App& to, const Argument& argument) {
    const auto add = [&](auto* value) { return to.add_option(std::string(argument.name), *value, std::string(argument.help)); };
    auto* option = std::visit(add, argument.value);
    if (argument.required) option->required();
    if (!argument.what.empty()) option->type_name(std::string(argument.what));
    if (!argument.choices.empty()) option->check(CLI::IsMember(argument.choices))->capture_default_str();
    if (!argument.needs.empty()) option->needs(to.get_option(std::string(argument.needs)));
}

void add_command(CLI::App& app, const Command& command, Chosen& chosen) {
    auto* to = app.add_subcommand(std::string(command.name), std::string(command.summary));
    for (const auto& argument : command.arguments) add_argument(*to, argument);
    to->footer(std::string(command.footer));
    to->callback([&command, &chosen] { chosen = &command; });
}

int run(int argc, char** argv) {
    CLI::App app("Plans the video lineup of a venue: from its description to wiring, settings, "
                 "cards, groups and link loads.",
                 "mastline-planner");
    app.set_version_flag("--version", kVersionText);
    app.require_subcommand(1);
    app.failure_message(usage_advice);
    add_completion(app);
    add_manual(app, manual(), kReleaseDate);
    const std::vector<Command> commands{check_command(),    build_command(),  compare_command(), explain_command(),
                                        readings_command(), serve_command(),  import_command(),  new_command(),
                                        reference_command()};
    Chosen chosen = nullptr;
    for (const auto& command : commands) add_command(app, command, chosen);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        const bool asked = error.get_exit_code() == 0;  // --help, --version
        app.exit(error);
        return static_cast<int>(asked ? ExitStatus::good : ExitStatus::bad_input);
    }
    return static_cast<int>(chosen->run());
}

}  // namespace

}  // namespace mastline

int main(int argc, char** argv) {
    using namespace mastline;
    try {
        return run(argc, argv);
    } catch (const UsageError& error) {
        return complain(error, ExitStatus::bad_input);
    } catch (const std::exception& error) {
        return complain(error, ExitStatus::environment);
    }
}
