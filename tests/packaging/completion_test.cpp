// SPDX-License-Identifier: Apache-2.0
// What bash, zsh and fish complete, asked of the shells themselves.
#include <catch2/catch.hpp>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace {

const std::string kPlanner = MASTLINE_BINARY_DIR "/planner/mastline-planner";
const std::string kProbe = MASTLINE_BINARY_DIR "/probe/mastline-probe";
const std::string kRehearse = MASTLINE_BINARY_DIR "/tools/rehearse/mastline-rehearse";

// Words that bash offers for the last of the words, a line each.
std::string offered(const std::string& program, const std::string& words) {
    const TempFolder folder;
    write_text(folder.file("ask"), "source <(" + program + " --completion bash)\nCOMP_WORDS=(" + words +
                                       ")\nCOMP_CWORD=$((${#COMP_WORDS[@]} - 1))\n"
                                       "$(complete -p ${COMP_WORDS[0]} | sed 's/.*-F \\([^ ]*\\).*/\\1/')\n"
                                       "printf '%s\\n' \"${COMPREPLY[@]}\"\n");
    const auto answer = run_command("bash --norc " + folder.file("ask") + " 2>&1");
    return answer.output;
}

}  // namespace

TEST_CASE("bash completes commands, options of the command at hand, and choices", "[unit]") {
    CHECK(offered(kPlanner, "mastline-planner bu") == "build\n");
    CHECK(offered(kPlanner, "mastline-planner build --ke") == "--keep\n");
    CHECK(offered(kPlanner, "mastline-planner check --ke") == "\n");
    CHECK(offered(kPlanner, "mastline-planner build ''") == "\n");  // file names are the shell's own
    CHECK(offered(kPlanner, "mastline-planner --completion f") == "fish\n");
    CHECK(offered(kProbe, "mastline-probe wa") == "watch\n");
    CHECK(offered(kProbe, "mastline-probe verify --interf") == "--interface\n");
    CHECK(offered(kRehearse, "mastline-rehearse --annou") == "--announce\n");
}

TEST_CASE("zsh reads its completion script, and fish completes from its own", "[unit]") {
    const TempFolder folder;
    for (const auto& program : {kPlanner, kProbe, kRehearse}) {
        INFO(program);
        const auto script = folder.file("script");
        REQUIRE(run_command(program + " --completion zsh >" + script).status == 0);
        const auto read = run_command("zsh -f -n " + script + " 2>&1");
        CHECK(read.output.empty());
        CHECK(read.status == 0);
    }
    const auto ask = [&](const std::string& program, const std::string& line) {
        return run_command("HOME=" + folder.path().string() + " fish --no-config -c '" + program +
                           " --completion fish | source; complete -C \"" + line + "\"' 2>&1").output;
    };
    CHECK(ask(kPlanner, "mastline-planner comp").starts_with("compare\t"));
    CHECK(ask(kPlanner, "mastline-planner build --kee").starts_with("--keep\t"));
    CHECK(ask(kProbe, "mastline-probe watch --list").starts_with("--listen\t"));
    CHECK(ask(kRehearse, "mastline-rehearse --list-f").starts_with("--list-faults\t"));
}

TEST_CASE("an unknown shell is told, with those that there are", "[input]") {
    const auto refused = run_command(kPlanner + " --completion tcsh 2>&1");
    CHECK(refused.status == 2);
    CHECK(refused.output.find("{bash,zsh,fish}") != std::string::npos);
}
