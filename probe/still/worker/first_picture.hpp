// SPDX-License-Identifier: Apache-2.0
// The first picture of a video elementary stream, by FFmpeg.
#pragma once

#include <memory>
#include <string_view>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"

struct AVCodecContext;
struct AVCodecParserContext;
struct AVFrame;

namespace mastline {

struct SmallPicture {
    unsigned width = 0, height = 0;
    std::vector<std::byte> rgb;  // three bytes for each pixel, row by row
};

// One decoder; made before the sandbox is entered, so that what it needs of the system is there.
class FirstPicture {
public:
    // `kind`: "h264". Not good(): there is no decoder of that kind.
    explicit FirstPicture(std::string_view kind);
    ~FirstPicture();
    FirstPicture(const FirstPicture&) = delete;
    FirstPicture& operator=(const FirstPicture&) = delete;
    bool good() const { return decoder_ != nullptr; }

    // The first whole picture in these bytes, with square pixels, as large as the bounds let it be. No
    // width: none can be decoded.
    SmallPicture of(ByteView stream, unsigned most_width, unsigned most_height);

private:
    bool decode(ByteView packet);
    bool next_frame();

    AVCodecContext* decoder_ = nullptr;
    AVCodecParserContext* parser_ = nullptr;
    AVFrame* frame_ = nullptr;
};

}  // namespace mastline
