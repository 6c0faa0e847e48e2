// SPDX-License-Identifier: Apache-2.0
// What is said of an input file that is not there.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "mastline/usage_error.hpp"

namespace mastline {

inline constexpr std::string_view kBuildWritesPlans = "mastline-planner build VENUE --out FOLDER writes FOLDER/plan.toml";
inline constexpr std::string_view kOpensslMakesTokens = "\"openssl rand -hex 16\" makes a token to write into it";

// `what` should be there; `cure` says how to get one.
[[noreturn]] inline void miss_input(std::string_view what, const std::filesystem::path& path, std::string_view cure) {
    throw UsageError("there is no " + std::string(what) + " at " + path.string() + "; " + std::string(cure));
}

// "-" is standard input, which is always there. Throws UsageError.
inline void need_input(std::string_view what, const std::filesystem::path& path, std::string_view cure) {
    std::error_code unknown;  // what cannot be looked at is told by whoever opens it
    if (path != "-" && std::filesystem::status(path, unknown).type() == std::filesystem::file_type::not_found)
        miss_input(what, path, cure);
}

// A plan may be named by the folder that it was built into.
inline std::filesystem::path plan_path(const std::filesystem::path& given) {
    std::error_code unknown;
    return std::filesystem::is_directory(given, unknown) ? given / "plan.toml" : given;
}

}  // namespace mastline
