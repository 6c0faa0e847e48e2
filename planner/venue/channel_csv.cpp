// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/channel_csv.hpp"

#include "mastline/venue/csv_tables.hpp"
#include "planner/venue/channel_keys.hpp"

namespace mastline {

std::vector<tree::Table> read_channel_csv(std::string_view text, const std::string& file,
                                          Findings& findings) {
    return read_csv_tables(text, file, {"the channel list", "number,name,service,..."}, kChannelKeys,
                           findings);
}

}  // namespace mastline
