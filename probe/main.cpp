// SPDX-License-Identifier: Apache-2.0
#include <iostream>

#include "mastline/text/completion.hpp"
#include "mastline/text/manual_page.hpp"
#include "mastline/text/refusal_text.hpp"
#include "mastline/text/usage_advice.hpp"
#include "mastline/usage_error.hpp"
#include "probe/commands/commands.hpp"
#include "probe/manual.hpp"
#include "version_text.hpp"

namespace {

int complain(const std::exception& error, mastline::ExitStatus status) {
    std::cerr << "mastline-probe: " << mastline::refusal_text(error) << "\n";
    return static_cast<int>(status);
}

}  // namespace

int main(int argc, char** argv) {
    using mastline::ExitStatus;
    CLI::App app{"Watches the transport streams of a multicast network and judges them by its plan."};
    app.name("mastline-probe");
    app.set_version_flag("--version", mastline::kVersionText);
    app.require_subcommand(1);
    app.failure_message(mastline::usage_advice);
    mastline::add_completion(app);
    mastline::add_manual(app, mastline::manual(), mastline::kReleaseDate);
    app.footer("Exit status: 0 all good; 1 faults or a failed verdict; 2 unusable input or usage; "
               "3 the machine refused.");
    ExitStatus status = ExitStatus::good;
    mastline::add_read_command(app, status);
    mastline::add_verify_command(app, status);
    mastline::add_watch_command(app, status);
    mastline::add_survey_command(app, status);
    mastline::add_compare_command(app, status);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return app.exit(error) == 0 ? 0 : static_cast<int>(ExitStatus::bad_input);
    } catch (const mastline::UsageError& error) {
        return complain(error, ExitStatus::bad_input);
    } catch (const std::exception& error) {
        return complain(error, ExitStatus::environment);
    }
    return static_cast<int>(status);
}
