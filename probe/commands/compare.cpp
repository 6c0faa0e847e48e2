// SPDX-License-Identifier: Apache-2.0
#include <unistd.h>

#include <iostream>
#include <memory>

#include <nlohmann/json.hpp>

#include "mastline/missing_input.hpp"
#include "mastline/report/comparison.hpp"
#include "mastline/report/lineup_json.hpp"
#include "mastline/text/escape.hpp"
#include "probe/commands/commands.hpp"
#include "probe/commands/output.hpp"

namespace mastline {

namespace {

struct CompareOptions {
    std::string before, after, json, html;
};

// The fault goes to standard error.
std::optional<nlohmann::json> open_verification(const std::string& path) {
    need_input("verification", path, "mastline-probe verify --json FILE writes one");
    std::string fault;
    try {
        auto document = nlohmann::json::parse(read_file(path));
        fault = comparison_fault(document);
        if (fault.empty()) return document;
    } catch (const nlohmann::json::parse_error& error) {
        fault = std::string("is no JSON: ") + error.what();  // names line and column
    }
    std::cerr << plain_line(path) << ": error: comparison.input: " << plain_line(fault) << "\n";
    return std::nullopt;
}

ExitStatus run_compare(const CompareOptions& options) {
    for (const auto& path : {options.json, options.html}) need_writable(path);
    const auto before = open_verification(options.before), after = open_verification(options.after);
    if (!before || !after) return ExitStatus::bad_input;
    const Comparison result = compare_verifications(*before, *after);
    if (options.json != "-") std::cout << terminal_comparison(result, terminal_style(STDOUT_FILENO)) << std::flush;
    if (!options.json.empty()) write_output(options.json, json_text(comparison_json(result)));
    if (!options.html.empty()) write_output(options.html, comparison_page(result));
    return result.worse() ? ExitStatus::findings : ExitStatus::good;
}

}  // namespace

void add_compare_command(CLI::App& app, ExitStatus& status) {
    auto options = std::make_shared<CompareOptions>();
    auto* command = app.add_subcommand("compare", "Says what two verifications, before and after a change, differ in.");
    command->add_option("BEFORE", options->before, "Verification before, as JSON")->required();
    command->add_option("AFTER", options->after, "Verification after, as JSON")->required();
    command->add_option("--json", options->json, "Write everything as JSON; - is standard output")->type_name("FILE");
    command->add_option("--html", options->html, "Write a page for screen and paper")->type_name("FILE");
    command->footer("Exit status 1: a channel fails that did not fail before, or one has gone.\n\nExamples:\n"
                    "  mastline-probe compare monday.json tuesday.json\n"
                    "  mastline-probe compare before.json after.json --json difference.json --html difference.html");
    command->callback([options, &status] { status = run_compare(*options); });
}

}  // namespace mastline
