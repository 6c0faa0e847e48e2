// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/toml_file.hpp"

#include "mastline/text/toml_tree.hpp"

namespace mastline {

std::optional<tree::Table> read_toml(std::string_view text, const std::string& file,
                                     Findings& findings) {
    return parse_toml(text, file, findings);
}

}  // namespace mastline
