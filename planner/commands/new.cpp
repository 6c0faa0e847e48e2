// SPDX-License-Identifier: Apache-2.0
#include <memory>
#include <system_error>

#include "mastline/text/escape.hpp"
#include "mastline/usage_error.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/output_files.hpp"
#include "planner/commands/starter.hpp"

namespace mastline {

namespace {

namespace fs = std::filesystem;

void refuse_unless_empty(const fs::path& folder) {
    std::error_code error;
    const auto status = fs::status(folder, error);
    if (status.type() == fs::file_type::not_found) return;
    if (error) throw std::system_error(error, folder.string());
    if (!fs::is_directory(status)) throw UsageError(folder.string() + " is no folder");
    if (!fs::is_empty(folder))
        throw UsageError(folder.string() + " is not empty; name a new folder");
}

ExitStatus run_new(const std::string& folder) {
    refuse_unless_empty(folder);
    std::vector<OutputFile> files;
    for (const auto& file : kStarterFiles)
        files.push_back({fs::path(folder) / file.name, std::string(file.text)});
    write_files(files);
    std::string said;
    for (const auto& file : files) said += plain_line("wrote " + file.path.string()) + "\n";
    print(said + plain_line("next: mastline-planner check " + folder) + "\n");
    return ExitStatus::good;
}

}  // namespace

Command new_command() {
    const auto folder = std::make_shared<std::string>();
    return {"new",
        "Write a small commented venue to start from",
        {{"FOLDER", "Folder to make; may be there but must be empty", folder.get(), true}},
        "Examples:\n"
        "  mastline-planner new arena\n"
        "  mastline-planner new arena && mastline-planner check arena",
        [folder] { return run_new(*folder); }};
}

}  // namespace mastline
