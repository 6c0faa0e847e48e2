// SPDX-License-Identifier: Apache-2.0
// What a wrong command line prints. Includes the library of command lines: include it from a main.cpp.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include <CLI/CLI.hpp>

#include "mastline/text/did_you_mean.hpp"
#include "mastline/text/escape.hpp"

namespace mastline {

namespace usage {

inline std::vector<std::string> commands_of(const CLI::App& app) {
    std::vector<std::string> out;
    for (const auto* command : app.get_subcommands([](const CLI::App* a) { return !a->get_name().empty() && !a->get_group().empty(); }))
        out.push_back(command->get_name());
    return out;
}

inline std::vector<std::string> flags_of(const CLI::App& app) {
    std::vector<std::string> out;
    for (const auto* option : app.get_options())
        for (const auto& name : option->get_lnames()) out.push_back("--" + name);
    return out;
}

// "--otu=x" is the flag "--otu".
inline std::string flag_of(const std::string& word) { return word.substr(0, word.find('=')); }

inline std::string unknown(const std::string& what, const std::string& word, const std::vector<std::string>& known) {
    return "there is no " + what + " '" + plain_line(word) + "'; " + suggestion(word, known) + "\n";
}

}  // namespace usage

// The words that were not understood, each with the nearest right one; otherwise what the library says. A
// word after an unknown flag may be its value and is passed over.
inline std::string usage_advice(const CLI::App* app, const CLI::Error& error) {
    const auto chosen = app->get_subcommands();
    const CLI::App& at = chosen.empty() ? *app : *chosen.front();
    const bool wants_command = chosen.empty() && !usage::commands_of(at).empty();
    std::string flags, words;
    const int code = error.get_exit_code();
    const bool unknown = code == static_cast<int>(CLI::ExitCodes::ExtrasError) || code == static_cast<int>(CLI::ExitCodes::RequiredError);
    for (const auto& word : unknown ? app->remaining(true) : std::vector<std::string>{}) {
        if (word.size() > 1 && word.front() == '-') flags += usage::unknown("flag", usage::flag_of(word), usage::flags_of(at));
        else if (!wants_command) words += "'" + plain_line(word) + "' is one word too many\n";
        else if (words.empty()) words = usage::unknown("command", word, usage::commands_of(at));
    }
    std::string out = flags.empty() ? words : flags;
    if (out.empty()) out = wants_command && unknown ? "a command is needed; " + suggestion("", usage::commands_of(at)) + "\n" : plain_line(error.what()) + "\n";
    return out + "see " + app->get_name() + (chosen.empty() ? "" : " " + at.get_name()) + " --help\n";
}

}  // namespace mastline
