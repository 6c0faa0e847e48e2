// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/service_location.hpp"

namespace mastline {

namespace {

constexpr std::size_t kElementSize = 6;

Pid pid_at(ByteView bytes, std::size_t at) { return Pid(read_u16(bytes, at) & 0x1FFFU); }

}  // namespace

std::optional<ServiceLocation> service_location_of(const Descriptors& all) {
    const Descriptor* d = find_descriptor(all, 0xA1);
    if (d == nullptr || d->body.size() < 3) return std::nullopt;
    const ByteView body = d->body;
    const std::size_t count = read_u8(body, 2);
    if (body.size() < 3 + count * kElementSize) return std::nullopt;
    ServiceLocation out;
    if (const Pid pcr = pid_at(body, 0); pcr != kNullPid) out.pcr_pid = pcr;
    for (std::size_t at = 3; out.elements.size() < count; at += kElementSize)
        out.elements.push_back({{read_u8(body, at)}, pid_at(body, at + 1), language_code(body.subspan(at + 3, 3))});
    return out;
}

}  // namespace mastline
