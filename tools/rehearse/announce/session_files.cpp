// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/announce/session_files.hpp"

#include <filesystem>
#include <system_error>

#include "tools/rehearse/files.hpp"

namespace mastline {

namespace {

bool tells_of(const std::string& description, const IpAddress& group) {
    const std::string line =
        std::string("\nc=IN ") + (group.is_v4() ? "IP4 " : "IP6 ") + to_text(group);
    const auto at = description.find(line);
    if (at == std::string::npos || at + line.size() >= description.size()) return false;
    const char next = description[at + line.size()];
    return next == '/' || next == '\r' || next == '\n';
}

void refuse(const std::string& file, std::string what, Findings& findings) {
    findings.push_back({Severity::error, "rehearse.no-session", file, std::move(what), {},
                        "build the plan again; --announce sends the descriptions of its sdp folder",
                        {}});
}

}  // namespace

std::vector<std::string> session_files(const std::string& plan, const ExpectedLineup& lineup,
                                       Findings& findings) {
    const auto folder = std::filesystem::path(plan).parent_path() / "sdp";
    std::vector<std::string> out;
    for (const auto& flow : lineup.flows) {
        const std::string name = flow.channel + (flow.copy > 1 ? "-" + std::to_string(flow.copy) : "");
        const std::string file = (folder / (name + ".sdp")).string();
        out.emplace_back();
        if (name.find('/') != std::string::npos) {
            refuse(name, "the channel's number makes no file name", findings);
            continue;
        }
        try {
            out.back() = read_file(file);
        } catch (const std::system_error& error) {
            refuse(file, error.what(), findings);
            continue;
        }
        if (!tells_of(out.back(), flow.flow.group.address()))
            refuse(file, "it does not describe " + to_text(flow.flow.group), findings);
    }
    return out;
}

}  // namespace mastline
