// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/datagram_batch.hpp"

namespace mastline {

DatagramBatch::DatagramBatch() { bytes_.reserve(kBytes); }

bool DatagramBatch::add(const Datagram& d) {
    // The payload is part of the frame where that is told.
    const ByteView all = d.frame.bytes.empty() ? d.payload : d.frame.bytes;
    if (!empty() && bytes_.size() + all.size() > kBytes) return false;
    const auto at = d.frame.bytes.empty() ? 0 : static_cast<std::size_t>(d.payload.data() - d.frame.bytes.data());
    entries_.push_back({d, bytes_.size(), d.frame.bytes.size(), at, d.payload.size()});
    bytes_.insert(bytes_.end(), all.begin(), all.end());
    return true;
}

void DatagramBatch::clear() {
    bytes_.clear();
    entries_.clear();
}

}  // namespace mastline
