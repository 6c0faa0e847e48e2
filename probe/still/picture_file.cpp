// SPDX-License-Identifier: Apache-2.0
#include "probe/still/picture_file.hpp"

#include <turbojpeg.h>

#include <memory>
#include <stdexcept>

namespace mastline {

std::string jpeg_of(const StillPixels& pixels) {
    constexpr int quality = 80;
    const std::unique_ptr<void, int (*)(tjhandle)> encoder(tjInitCompress(), tjDestroy);
    unsigned char* made = nullptr;
    unsigned long size = 0;
    const auto* rgb = reinterpret_cast<const unsigned char*>(pixels.rgb.data());
    const int failed = encoder == nullptr || tjCompress2(encoder.get(), rgb, static_cast<int>(pixels.width), 0, static_cast<int>(pixels.height),
                                                         TJPF_RGB, &made, &size, TJSAMP_420, quality, 0) != 0;
    const std::unique_ptr<unsigned char, void (*)(unsigned char*)> owner(made, tjFree);
    if (failed) throw std::runtime_error("a still could not be written as JPEG");
    return {reinterpret_cast<const char*>(made), size};
}

}  // namespace mastline
