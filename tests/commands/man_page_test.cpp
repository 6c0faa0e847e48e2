// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace {

struct Program {
    std::string path;                   // of the program, in the build
    std::string page;                   // of its manual page, in the sources
    std::vector<std::string> commands;  // "" where the program has none
};

const std::vector<Program>& programs() {
    static const std::vector<Program> all{
        {"planner/mastline-planner", "planner/mastline-planner.1", {"", "check", "build", "compare", "explain", "import", "readings", "serve", "new", "reference"}},
        {"probe/mastline-probe", "probe/mastline-probe.1", {"", "read", "verify", "watch", "survey", "compare"}},
        {"tools/rehearse/mastline-rehearse", "tools/rehearse/mastline-rehearse.1", {""}}};
    return all;
}

}  // namespace

TEST_CASE("every manual page is set without a warning", "[outside]") {
    for (const auto& program : programs()) {
        INFO(program.page);
        const auto result = run_command("LC_ALL=C.UTF-8 man --warnings -E UTF-8 -l " MASTLINE_SOURCE_DIR
                                        "/" + program.page + " 2>&1 >/dev/null");
        CHECK(result.status == 0);
        CHECK(result.output.empty());
    }
}

TEST_CASE("a manual page names every command and option of its program's help", "[unit]") {
    for (const auto& program : programs()) {
        std::string page = read_text(MASTLINE_SOURCE_DIR "/" + program.page);
        std::erase(page, '\\');
        for (const auto& command : program.commands) {
            INFO(program.page << " " << command);
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
