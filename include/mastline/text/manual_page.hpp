// SPDX-License-Identifier: Apache-2.0
// The manual page from the command line itself: commands, arguments, choices, defaults and examples are
// those of --help; what a page says beyond that comes as a Manual. Includes the library of command lines:
// include it from a main.cpp.
#pragma once

#include <iostream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/text/completion.hpp"

namespace mastline {

// More about a command ("build"), an option of one ("verify --evidence"), or one of a program without
// commands ("--announce"); in roff, as man(7) has it.
struct ManualDetail {
    std::string_view of;
    std::string_view text;
};

// What a page says that no help does; texts in roff.
struct Manual {
    std::string_view purpose;      // "plan the video lineup of a venue"
    std::string_view description;
    std::vector<ManualDetail> details;
    std::string sections;          // each begins with .SH; exit status and environment among them
};

namespace manual_page {

// A footer of a help text: paragraphs, one of them headed "Examples:".
struct Footer {
    std::vector<std::string> paragraphs;
    std::string examples;  // lines
};

inline Footer footer_of(const CLI::App& app) {
    Footer out;
    const std::string whole = app.get_footer();
    std::string_view rest = whole;
    while (!rest.empty()) {
        const auto end = rest.find("\n\n");
        const auto one = rest.substr(0, end);
        rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 2);
        constexpr std::string_view head = "Examples:\n";
        if (one.starts_with(head)) out.examples = one.substr(head.size());
        else out.paragraphs.emplace_back(one);
    }
    return out;
}

// Text as roff shows it again: hyphens that can be copied, no accidental requests.
inline std::string roff(std::string_view text) {
    std::string out;
    bool at_start = true;
    for (const char c : text) {
        if (at_start && (c == '.' || c == '\'')) out += "\\&";
        if (c == '\\') out += "\\e";
        else if (c == '-') out += "\\-";
        else out += c;
        at_start = c == '\n';
    }
    return out;
}

inline std::string bold(std::string_view text) { return "\\fB" + roff(text) + "\\fR"; }
inline std::string italic(std::string_view text) { return "\\fI" + roff(text) + "\\fR"; }

// What stands for the value: "FILE", "sockets|ring"; empty for a flag.
inline std::string value_text(const CLI::Option& option) {
    if (option.get_items_expected_max() == 0) return {};
    const auto choices = completion::choices_of(option);
    std::string type = option.get_type_name();
    if (type.find(' ') != std::string::npos) type.resize(type.find(':'));  // "N:UINT in [1 - 64]": how it is checked
    return (choices.empty() ? italic(type) : bold(joined(choices, "|"))) +
           (option.get_items_expected_max() > 1 ? "..." : "");
}

inline bool is_positional(const CLI::Option& option) { return option.get_positional() && option.get_lnames().empty(); }

inline std::vector<const CLI::Option*> options_of(const CLI::App& app) {
    return app.get_options([](const CLI::Option*) { return true; });
}

// "\fB--json\fR \fIFILE\fR"
inline std::string option_text(const CLI::Option& option) {
    if (is_positional(option)) return italic(option.get_single_name()) + (option.get_items_expected_max() > 1 ? "..." : "");
    std::vector<std::string> names;
    for (const auto& name : option.get_snames()) names.push_back(bold("-" + name));
    for (const auto& name : option.get_lnames()) names.push_back(bold("--" + name));
    const auto value = value_text(option);
    return joined(names, ", ") + (value.empty() ? "" : " " + value);
}

inline bool is_help(const CLI::Option& option) { return option.check_lname("help"); }

inline std::string synopsis(const std::string& name, const CLI::App& app) {
    std::string line = bold(name);
    for (const bool positional : {true, false})
        for (const auto* option : options_of(app)) {
            if (is_positional(*option) != positional || is_help(*option)) continue;
            const auto text = option_text(*option);
            line += option->get_required() ? " " + text : " [" + text + "]";
        }
    return line + "\n";
}

inline std::string sentence(std::string text) {
    if (!text.empty() && text.back() != '.') text += '.';
    return roff(text) + "\n";
}

inline std::string facts(const CLI::Option& option) {
    std::string out;
    if (const auto value = option.get_default_str(); !value.empty()) out += "Default: " + bold(value) + ".\n";
    for (const auto* needed : option.get_needs()) out += "Needs " + bold(needed->get_name()) + ".\n";
    return out;
}

// Gives each detail once, and knows which are left.
class Details {
public:
    explicit Details(const std::vector<ManualDetail>& all) : left_(all) {}
    std::string take(const std::string& of) {
        for (auto it = left_.begin(); it != left_.end(); ++it) {
            if (it->of != of) continue;
            const std::string out = std::string(it->text) + "\n";
            left_.erase(it);
            return out;
        }
        return {};
    }
    const std::vector<ManualDetail>& left() const { return left_; }

private:
    std::vector<ManualDetail> left_;
};

inline std::string options_text(const CLI::App& app, const std::string& command, Details& details) {
    std::string out;
    for (const bool positional : {true, false})
        for (const auto* option : options_of(app)) {
            if (is_positional(*option) != positional || (is_help(*option) && !command.empty())) continue;
            out += ".TP\n" + option_text(*option) + "\n" + sentence(option->get_description()) + facts(*option) +
                   details.take(command.empty() ? option->get_name() : command + " " + option->get_name());
        }
    return out;
}

inline std::string examples_text(const std::string& lines) {
    return lines.empty() ? "" : ".PP\n.EX\n" + roff(lines) + "\n.EE\n";
}

// The status at the end stands last.
inline std::string paragraphs_text(const Footer& footer, const std::string& detail) {
    std::string out, status;
    for (const auto& paragraph : footer.paragraphs)
        (paragraph.starts_with("Exit status") ? status : out) += ".PP\n" + roff(paragraph) + "\n";
    return out + (detail.empty() ? "" : ".PP\n" + detail) + status;
}

inline std::string command_text(const CLI::App& command, Details& details) {
    const auto footer = footer_of(command);
    const auto& name = command.get_name();
    return ".SS " + name + "\n" + sentence(command.get_description()) + paragraphs_text(footer, details.take(name)) +
           options_text(command, name, details) + examples_text(footer.examples);
}

// Throws std::logic_error for a detail of something that the command line does not have.
inline std::string page(const CLI::App& app, const Manual& manual, std::string_view date) {
    const auto& name = app.get_name();
    std::string title = name, uses, commands;
    for (char& c : title) c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    Details details(manual.details);
    for (const auto* command : completion::commands_of(app)) {
        uses += (uses.empty() ? "" : ".br\n") + synopsis(name + " " + command->get_name(), *command);
        commands += command_text(*command, details);
    }
    const auto footer = footer_of(app);
    const auto options = options_text(app, "", details);
    if (!details.left().empty()) throw std::logic_error("the manual tells of an unknown " + std::string(details.left().front().of));
    std::string out = ".TH " + title + " 1 " + std::string(date) + " Mastline \"User commands\"\n.SH NAME\n" + roff(name) + " \\- " +
                      std::string(manual.purpose) + "\n.SH SYNOPSIS\n.nh\n" + (uses.empty() ? synopsis(name, app) : uses) +
                      ".hy\n.SH DESCRIPTION\n" + std::string(manual.description);
    if (!commands.empty()) out += ".SH COMMANDS\n" + commands;
    out += ".SH OPTIONS\n" + options + manual.sections;
    if (!footer.examples.empty()) out += ".SH EXAMPLES\n" + examples_text(footer.examples).substr(4);
    std::string others;
    for (const std::string other : {"mastline-planner", "mastline-probe", "mastline-rehearse"})
        if (other != name) others += ".BR " + roff(other) + (others.empty() ? " (1),\n" : " (1)\n");
    return out + ".SH SEE ALSO\n" + others;
}

}  // namespace manual_page

// Adds --manual, which prints the page and ends with status 0. `date` is that of the release: 2026-03-01.
// REQUIRES: app has its name; app and what `manual` points to outlive the parsing.
inline void add_manual(CLI::App& app, Manual manual, std::string_view date) {
    const auto print = [&app, manual = std::move(manual), date](std::int64_t) {
        std::cout << manual_page::page(app, manual, date);
        throw CLI::Success();
    };
    app.add_flag_function("--manual", print, "Print the manual page, for man -l -");
}

}  // namespace mastline
