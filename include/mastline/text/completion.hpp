// SPDX-License-Identifier: Apache-2.0
// Shell completion from the command line itself: what --help tells is what the shells offer. Includes
// the library of command lines: include it from a main.cpp.
#pragma once

#include <functional>
#include <iostream>
#include <string>
#include <string_view>
#include <vector>

#include <CLI/CLI.hpp>

#include "mastline/text/joined.hpp"

namespace mastline {

namespace completion {

struct Flag {
    std::vector<std::string> names;    // "--json", "-h"
    std::string help;
    bool takes_value = false;
    std::vector<std::string> choices;  // of the value; empty: anything, files are offered
};

// Puts a backslash before each of the marks.
inline std::string guard(std::string_view text, std::string_view marks) {
    std::string out;
    for (const char c : text) {
        if (marks.find(c) != std::string_view::npos) out += '\\';
        out += c;
    }
    return out;
}

// For single quotes of bash and zsh, which know no escape inside.
inline std::string single_quoted(std::string_view text) {
    std::string out = "'";
    for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return out + "'";
}

// The library tells the choices of a value only within its type: "TEXT:{open,closed}".
inline std::vector<std::string> choices_of(const CLI::Option& option) {
    const std::string type = option.get_type_name();
    const auto from = type.find('{'), to = type.find('}', from);
    if (from == std::string::npos || to == std::string::npos) return {};
    return CLI::detail::split(type.substr(from + 1, to - from - 1), ',');
}

inline std::vector<Flag> flags_of(const CLI::App& app) {
    std::vector<Flag> out;
    for (const auto* option : app.get_options([](const CLI::Option* o) { return !o->get_positional() || !o->get_lnames().empty(); })) {
        Flag flag{{}, option->get_description(), option->get_items_expected_max() > 0, choices_of(*option)};
        for (const auto& name : option->get_lnames()) flag.names.push_back("--" + name);
        for (const auto& name : option->get_snames()) flag.names.push_back("-" + name);
        out.push_back(std::move(flag));
    }
    return out;
}

inline std::vector<const CLI::App*> commands_of(const CLI::App& app) {
    return app.get_subcommands([](const CLI::App*) { return true; });
}

inline std::string function_name(const CLI::App& app) {
    std::string out = "_" + app.get_name();
    for (char& c : out)
        if (c == '-') c = '_';
    return out;
}

// ---- bash: words by place; an empty answer leaves file names to the shell

inline std::string bash_words(const CLI::App& app) {
    std::vector<std::string> words;
    for (const auto& flag : flags_of(app)) words.insert(words.end(), flag.names.begin(), flag.names.end());
    return joined(words, " ");
}

inline std::string bash_values(const std::string& command, const CLI::App& app) {
    std::string out;
    for (const auto& flag : flags_of(app)) {
        if (!flag.takes_value) continue;
        for (const auto& name : flag.names)
            out += "        " + single_quoted(command + " " + name) + ") COMPREPLY=($(compgen -W " +
                   single_quoted(joined(flag.choices, " ")) + " -- \"$word\")); return ;;\n";
    }
    return out;
}

inline std::string bash(const CLI::App& app) {
    std::vector<std::string> names;
    std::string words, values = bash_values("", app);
    for (const auto* command : commands_of(app)) {
        names.push_back(command->get_name());
        words += "        " + command->get_name() + ") words=" + single_quoted(bash_words(*command)) + " ;;\n";
        values += bash_values(command->get_name(), *command);
    }
    const std::string at = function_name(app);
    return at + "() {\n    local word=${COMP_WORDS[COMP_CWORD]} command= words= i\n" +
           (names.empty() ? ""
                          : "    for ((i = 1; i < COMP_CWORD; ++i)); do\n        case ${COMP_WORDS[i]} in\n            " +
                                joined(names, "|") + ") command=${COMP_WORDS[i]}; break ;;\n        esac\n    done\n") +
           "    COMPREPLY=()\n    case \"$command ${COMP_WORDS[COMP_CWORD-1]}\" in\n" + values +
           "    esac\n    case $command in\n        '') words=" + single_quoted(joined(names, " ") + " " + bash_words(app)) +
           " ;;\n" + words + "    esac\n    if [[ $word == -* || ( -z $command && -n " + single_quoted(joined(names, " ")) +
           " ) ]]; then\n        COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n    fi\n}\ncomplete -o default -F " + at +
           " " + app.get_name() + "\n";
}

// ---- zsh

inline std::string zsh_arguments(const CLI::App& app, std::string_view indent) {
    std::string out;
    for (const auto& flag : flags_of(app))
        for (const auto& name : flag.names) {
            const std::string value = !flag.takes_value      ? ""
                                      : flag.choices.empty() ? ":value:_files"
                                                             : ":value:(" + joined(flag.choices, " ") + ")";
            out += " \\\n" + std::string(indent) + single_quoted(name + "[" + guard(flag.help, "[]:\\") + "]" + value);
        }
    return out;
}

inline std::string zsh(const CLI::App& app) {
    const std::string at = function_name(app);
    const std::string head = "#compdef " + app.get_name() + "\n" + at + "() {\n";
    const std::string tail = "}\n" + at + " \"$@\"\n";
    const auto commands = commands_of(app);
    if (commands.empty())
        return head + "    _arguments" + zsh_arguments(app, "        ") + " \\\n        '*:file:_files'\n" + tail;
    std::string names, cases;
    for (const auto* command : commands) {
        names += " \\\n            " + single_quoted(guard(command->get_name(), ":") + ":" + command->get_description());
        cases += "            " + command->get_name() + ") _arguments" + zsh_arguments(*command, "                ") +
                 " \\\n                '*:file:_files' ;;\n";
    }
    return head + "    local line state\n    _arguments -C" + zsh_arguments(app, "        ") +
           " \\\n        '1:command:->command' '*::argument:->argument'\n    case $state in\n"
           "        command)\n            local -a commands\n            commands=(" + names +
           ")\n            _describe command commands ;;\n        argument)\n            case $line[1] in\n" + cases +
           "            esac ;;\n    esac\n" + tail;
}

// ---- fish

inline std::string fish_flags(const CLI::App& app, const std::string& start) {
    std::string out;
    for (const auto& flag : flags_of(app)) {
        out += start;
        for (const auto& name : flag.names)
            out += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
        if (!flag.choices.empty()) out += " -x -a '" + guard(joined(flag.choices, " "), "\\'") + "'";
        else if (flag.takes_value) out += " -r";
        out += " -d '" + guard(flag.help, "\\'") + "'\n";
    }
    return out;
}

inline std::string fish(const CLI::App& app) {
    const std::string start = "complete -c " + app.get_name();
    const auto commands = commands_of(app);
    if (commands.empty()) return fish_flags(app, start);
    std::string out = fish_flags(app, start + " -n __fish_use_subcommand");
    for (const auto* command : commands) {
        out += start + " -n __fish_use_subcommand -f -a " + command->get_name() + " -d '" +
               guard(command->get_description(), "\\'") + "'\n";
        out += fish_flags(*command, start + " -n '__fish_seen_subcommand_from " + command->get_name() + "'");
    }
    return out;
}

}  // namespace completion

// Adds --completion SHELL, which prints the script for bash, zsh or fish and ends with status 0.
// REQUIRES: app has its name; app outlives the parsing.
inline void add_completion(CLI::App& app) {
    const auto print = [&app](const std::string& shell) {
        std::cout << (shell == "bash" ? completion::bash(app) : shell == "zsh" ? completion::zsh(app) : completion::fish(app));
        throw CLI::Success();
    };
    app.add_option_function<std::string>("--completion", print, "Print the completion script of a shell")
        ->type_name("SHELL")
        ->check(CLI::IsMember({"bash", "zsh", "fish"}));
}

}  // namespace mastline
