// SPDX-License-Identifier: Apache-2.0
// Any bytes taken for a channel list, and for the file it goes into: merged or refused, and what is
// merged can be read again.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "mastline/venue/toml_file.hpp"
#include "planner/intake/merge_channels.hpp"

using namespace mastline;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view all(reinterpret_cast<const char*>(data), size);
    const auto cut = all.find('\0');  // the list, then the file
    const auto toml = cut == std::string_view::npos ? std::string_view{} : all.substr(cut + 1);
    Findings findings;
    const auto list = read_channel_list(all.substr(0, cut), "list.csv", findings);
    for (const auto same : {SameBy::number, SameBy::name, SameBy::group}) {
        Findings faults = findings;
        const auto merged = merge_channels(toml, "channels.toml", list, same, faults);
        if (has_errors(faults)) continue;
        Findings again;
        if (!read_toml(merged.text, "channels.toml", again)) std::abort();
    }
    return 0;
}
