// SPDX-License-Identifier: Apache-2.0
// Which tables came, in which version, whole or not, and how often (ISO/IEC 13818-1, 2.4.4;
// EN 300 468, 5.1.4).
#pragma once

#include <bitset>
#include <cstdint>
#include <map>
#include <optional>
#include <tuple>
#include <vector>

#include "indicators.hpp"
#include "mastline/stream/observation.hpp"
#include "mastline/ts/section.hpp"

namespace mastline {

// What a section's coming means.
struct SectionNews {
    bool fresh = false;     // not had in this version, or other bytes under the same version
    bool new_version = false;
    std::optional<Duration> since_last;  // since a section of this sub-table ended
    std::optional<std::uint64_t> packets_since_last;
};

class TableRegister {
public:
    // A section whose CRC is right, that began in packet `began` and is whole at `at`.
    SectionNews add(Pid pid, const Section& section, std::uint32_t crc, std::uint64_t began,
                    const Moment& at);
    void add_crc_error(Pid pid, std::uint8_t table_id);

    std::vector<TableObservation> tables() const;
    std::vector<CrcErrorObservation> crc_errors() const;

private:
    // Schedules of many services make many sub-tables: beyond this they are not told apart.
    static constexpr std::size_t kMost = 8192;
    using Key = std::tuple<std::uint16_t, std::uint8_t, std::uint16_t>;
    struct Entry {
        TableObservation seen;
        std::bitset<256> had;
        std::uint8_t last_section = 0;
        std::uint32_t crc = 0;  // of the last section
        Moment ended;
    };

    std::map<Key, Entry> entries_;
    std::map<std::pair<std::uint16_t, std::uint8_t>, std::uint64_t> crc_errors_;
};

}  // namespace mastline
