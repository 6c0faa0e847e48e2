// SPDX-License-Identifier: Apache-2.0
// Runs the programs in the rehearsal network: private namespaces, made and taken down by tools/lab.
#pragma once

#include <string>

#include <nlohmann/json.hpp>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

namespace mastline::test {

class Lab {
public:
    // A plan as make_plan.py writes it.
    explicit Lab(const std::string& plan_arguments) {
        const auto made = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/commands/make_plan.py " +
                                      plan_arguments + " > " + plan());
        if (made.status != 0) throw std::runtime_error("no plan");
    }
    std::string plan() const { return folder_.file("plan.toml"); }
    std::string file(const std::string& name) const { return folder_.file(name); }

    // Runs a bash script in the lab; in it, $PROBE, $REHEARSE, $PLAN and $DIR are set.
    CommandResult run(const std::string& script) const {
        write_text(folder_.file("script"),
                   "PROBE=" MASTLINE_BINARY_DIR "/probe/mastline-probe\n"
                   "REHEARSE=" MASTLINE_BINARY_DIR "/tools/rehearse/mastline-rehearse\n"
                   "PLAN=" + plan() + "\nDIR=" + folder_.path().string() + "\n" + script);
        return run_command("timeout 100 " MASTLINE_SOURCE_DIR "/tools/lab run bash " + folder_.file("script") + " 2>&1");
    }
    nlohmann::json json(const std::string& name) const {
        return nlohmann::json::parse(read_text(folder_.file(name)));
    }

private:
    TempFolder folder_;
};

}  // namespace mastline::test
