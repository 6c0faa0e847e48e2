// SPDX-License-Identifier: Apache-2.0
// The commands of mastline-planner as data. main.cpp alone turns them into a command line, so that
// no command waits for the library of command lines to compile.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "mastline/exit_status.hpp"

namespace mastline {

// What follows a command: by place ("VENUE") or by name ("--json").
struct Argument {
    std::string_view name;
    std::string_view help;
    std::variant<std::string*, std::vector<std::string>*> value;  // where it goes; what it holds is the default
    bool required = false;
    std::string_view what = {};                      // that a named one takes: "FILE"
    std::vector<std::string> choices = {};           // empty: anything
    std::string_view needs = {};                     // another argument's name
};

struct Command {
    std::string_view name;
    std::string_view summary;
    std::vector<Argument> arguments;
    std::string_view footer;  // examples and exit status
    std::function<ExitStatus()> run;
};

Command check_command();
Command build_command();
Command compare_command();
Command explain_command();
Command readings_command();
Command import_command();
Command new_command();
Command serve_command();
Command reference_command();

}  // namespace mastline
