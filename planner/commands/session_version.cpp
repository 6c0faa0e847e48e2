// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/session_version.hpp"

#include <charconv>
#include <limits>
#include <string_view>

namespace mastline {

namespace {

// The third word of "o=- ID VERSION IN ...".
std::optional<std::uint64_t> version_in(std::string_view sdp) {
    const auto line = sdp.find("\no=- ");
    if (line == std::string_view::npos) return std::nullopt;
    const auto id_end = sdp.find(' ', line + 5);
    if (id_end == std::string_view::npos) return std::nullopt;
    std::uint64_t version = 0;
    const char* const end = sdp.data() + sdp.size();
    const auto [rest, error] = std::from_chars(sdp.data() + id_end + 1, end, version);
    if (error != std::errc{} || rest == end || *rest != ' ') return std::nullopt;
    if (version == std::numeric_limits<std::uint64_t>::max()) return std::nullopt;
    return version;
}

}  // namespace

std::uint64_t session_version(const std::optional<std::string>& before,
                              const std::function<std::string(std::uint64_t)>& written) {
    const auto version = before ? version_in(*before) : std::nullopt;
    if (!version) return 1;
    return written(*version) == *before ? *version : *version + 1;
}

}  // namespace mastline
