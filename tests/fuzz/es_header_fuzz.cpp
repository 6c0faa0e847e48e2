// SPDX-License-Identifier: Apache-2.0
// Any bytes taken for a PES packet and its elementary stream are read or refused, never more. The first
// byte chooses the kind.
#include <array>
#include <cstddef>
#include <cstdint>

#include "mastline/mpeg/stream_kind.hpp"
#include "mastline/ts/es_header.hpp"
#include "mastline/ts/pes_header.hpp"

using namespace mastline;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const ByteView bytes = std::as_bytes(std::span(data, size)).subspan(1);
    static constexpr std::array<std::string_view, 5> others{"mpeg4-video", "dts", "smpte302m", "av1", "jpeg2000"};
    const std::size_t chosen = data[0] % (kStreamKinds.size() + others.size());
    const auto kind = chosen < kStreamKinds.size() ? kStreamKinds[chosen].name : others[chosen - kStreamKinds.size()];
    (void)parse_pes_header(bytes);
    (void)find_video(kind, bytes);
    (void)find_audio(kind, bytes);
    (void)find_audio(kind, bytes, true);
    (void)begins_access_point(kind, bytes);
    return 0;
}
