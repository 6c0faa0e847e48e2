// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace {

struct Program {
    std::string path;                   // of the program, in the build; its manual page stands beside
    std::vector<std::string> commands;  // "" where the program has none
    std::string page() const { return MASTLINE_BINARY_DIR "/" + path + ".1"; }
};

const std::vector<Program>& programs() {
    static const std::vector<Program> all{
        {"planner/mastline-planner", {"", "check", "build", "compare", "explain", "import", "readings", "serve", "new", "reference"}},
        {"probe/mastline-probe", {"", "read", "verify", "watch", "survey", "compare"}},
        {"tools/rehearse/mastline-rehearse", {""}}};
    return all;
}

}  // namespace

TEST_CASE("every manual page is set without a warning", "[outside]") {
    for (const auto& program : programs()) {
        INFO(program.path);
        const auto result = run_command("LC_ALL=C.UTF-8 man --warnings -E UTF-8 -l " + program.page() + " 2>&1 >/dev/null");
        CHECK(result.status == 0);
        CHECK(result.output.empty());
        const auto lint = run_command("mandoc -T lint -W warning " + program.page() + " 2>&1");
        INFO(lint.output);
        CHECK(lint.status == 0);
    }
}

TEST_CASE("a manual page is what the program prints, and shows each example of the help as it is typed", "[outside]") {
    for (const auto& program : programs()) {
        INFO(program.path);
        const std::string run = MASTLINE_BINARY_DIR "/" + program.path + " ";
        CHECK(run_command(run + "--manual").output == read_text(program.page()));
        const auto shown = run_command("LC_ALL=C.UTF-8 MANWIDTH=200 man -E UTF-8 -l " + program.page() + " | col -bx").output;
        std::size_t examples = 0;
        for (const auto& command : program.commands) {
            const auto help = run_command(run + command + " --help").output;
            const std::string line = "\n  mastline-";
            for (auto at = help.find(line); at != std::string::npos; at = help.find(line, at + 1), ++examples) {
                const auto example = help.substr(at + 3, help.find('\n', at + 3) - at - 3);
                INFO(example);
                CHECK(shown.find(example) != std::string::npos);
            }
        }
        CHECK(examples >= 2 * (program.commands.size() - 1));
    }
}

TEST_CASE("a manual page names every command and option of its program's help", "[unit]") {
    for (const auto& program : programs()) {
        std::string page = read_text(program.page());
        std::erase(page, '\\');
        for (const auto& command : program.commands) {
            INFO(program.path << " " << command);
            CHECK(page.find(command) != std::string::npos);
            const auto help = run_command(MASTLINE_BINARY_DIR "/" + program.path + " " + command + " --help");
            CHECK(help.status == 0);
            std::size_t options = 0;
            for (auto at = help.output.find("  --"); at != std::string::npos;
                 at = help.output.find("  --", at + 1), ++options) {
                const auto end = help.output.find_first_of(" ,=:\n", at + 2);
                const auto option = help.output.substr(at + 2, end - at - 2);
                INFO(option);
                CHECK(page.find(option) != std::string::npos);
            }
            CHECK((options > 0 || command.empty() || command == "new" || command == "reference"));
        }
    }
}
