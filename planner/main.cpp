// SPDX-License-Identifier: Apache-2.0
// Flags, then one command; every failure becomes an exit status here.
#include <cstdio>
#include <system_error>

#include "mastline/text/escape.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/usage_error.hpp"

namespace mastline {

namespace {

int complain(const std::exception& error, ExitStatus status) {
    std::fprintf(stderr, "mastline-planner: %s\n", plain_line(error.what()).c_str());
    return static_cast<int>(status);
}

int run(int argc, char** argv) {
    CLI::App app("Plans the video lineup of a venue: from its description to wiring, settings, "
                 "cards, groups and link loads.",
                 "mastline-planner");
    app.set_version_flag("--version", "mastline-planner " MASTLINE_VERSION);
    app.require_subcommand(1);
    Command chosen;
    add_check(app, chosen);
    add_build(app, chosen);
    add_compare(app, chosen);
    add_explain(app, chosen);
    add_readings(app, chosen);
    add_import(app, chosen);
    add_new(app, chosen);
    add_reference(app, chosen);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        const bool asked = error.get_exit_code() == 0;  // --help, --version
        app.exit(error);
        return static_cast<int>(asked ? ExitStatus::good : ExitStatus::bad_input);
    }
    return static_cast<int>(chosen());
}

}  // namespace

}  // namespace mastline

int main(int argc, char** argv) {
    using namespace mastline;
    try {
        return run(argc, argv);
    } catch (const UsageError& error) {
        return complain(error, ExitStatus::bad_input);
    } catch (const std::system_error& error) {
        return complain(error, ExitStatus::environment);
    } catch (const std::exception& error) {
        return complain(error, ExitStatus::environment);
    }
}
