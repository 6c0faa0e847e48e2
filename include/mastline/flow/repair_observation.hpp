// SPDX-License-Identifier: Apache-2.0
// What forward error correction (SMPTE ST 2022-1) would have recovered of a flow.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace mastline {

// One stream of repair packets beside the media.
struct RepairStream {
    std::uint64_t datagrams = 0;
    std::uint64_t unusable = 0;  // header damaged, of another kind, or far from all media seen
    unsigned step = 0;           // last seen; columns: L, rows: 1
    unsigned count = 0;          // protected by one, last seen; columns: D, rows: L
    bool operator==(const RepairStream&) const = default;
};

// Media datagrams that are missing and whose repair packets had time to come. Own losses are no part.
struct RepairObservation {
    std::optional<RepairStream> column, row;
    std::uint64_t lost = 0;
    std::uint64_t by_column = 0;      // recoverable with the column packets alone
    std::uint64_t by_row = 0;         // with the row packets alone
    std::uint64_t by_both = 0;        // with both, one making another possible
    std::uint64_t unrecoverable = 0;
    std::uint64_t untold = 0;  // protected together with what came before, after or past the watch
    std::uint64_t compared = 0;       // repair packets all of whose media arrived since the first
    std::uint64_t contradicting = 0;  // of these: length, payload type, time stamp or payload differ
    bool operator==(const RepairObservation&) const = default;
};

// "5 columns x 10 rows", "5 columns x 10 rows, columns alone", "rows of 5"; as last seen.
inline std::string repair_shape(const RepairObservation& r) {
    if (!r.column) return "rows of " + std::to_string(r.row ? r.row->count : 0);
    return std::to_string(r.column->step) + " columns x " + std::to_string(r.column->count) + " rows" +
           (r.row ? "" : ", columns alone");
}

}  // namespace mastline
