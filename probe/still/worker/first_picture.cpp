// SPDX-License-Identifier: Apache-2.0
#include "first_picture.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavutil/frame.h>
#include <libavutil/log.h>
#include <libavutil/mem.h>
#include <libswscale/swscale.h>
}

namespace mastline {

namespace {

constexpr std::int64_t kMostPixels = 4096 * 2304;
constexpr std::size_t kMostAllocation = std::size_t{256} << 20;

AVCodecID codec_of(std::string_view kind) {
    if (kind == "h264") return AV_CODEC_ID_H264;
    if (kind == "hevc") return AV_CODEC_ID_HEVC;
    if (kind == "mpeg2-video" || kind == "mpeg1-video") return AV_CODEC_ID_MPEG2VIDEO;
    if (kind == "mpeg4-video") return AV_CODEC_ID_MPEG4;
    return AV_CODEC_ID_NONE;
}

struct Size {
    int width, height;
};

// Square pixels, within the bounds. A pixel that is told to be absurdly wide or high is taken for square.
Size shown_size(const AVFrame& frame, double most_width, double most_height) {
    const AVRational told = frame.sample_aspect_ratio;
    double pixel = told.num > 0 && told.den > 0 ? av_q2d(told) : 1;
    if (pixel < 0.25 || pixel > 4) pixel = 1;
    const double width = frame.width * pixel, height = frame.height;
    const double scale = std::min({most_width / width, most_height / height, 1.0});
    const auto whole = [&](double length, double most) { return static_cast<int>(std::clamp(std::round(length * scale), 1.0, most)); };
    return {whole(width, most_width), whole(height, most_height)};
}

// Where the stream does not tell, as displays take it (common practice): ITU-R BT.709 from 720 lines on.
int matrix_of(const AVFrame& frame) {
    if (frame.colorspace != AVCOL_SPC_UNSPECIFIED && frame.colorspace != AVCOL_SPC_RGB) return frame.colorspace;
    return frame.height >= 720 ? SWS_CS_ITU709 : SWS_CS_ITU601;
}

SmallPicture scaled(const AVFrame& frame, unsigned most_width, unsigned most_height) {
    const Size size = shown_size(frame, most_width, most_height);
    SwsContext* scaler = sws_getContext(frame.width, frame.height, static_cast<AVPixelFormat>(frame.format), size.width, size.height,
                                        AV_PIX_FMT_RGB24, SWS_AREA | SWS_ACCURATE_RND | SWS_FULL_CHR_H_INT, nullptr, nullptr, nullptr);
    if (scaler == nullptr) return {};
    constexpr int one = 1 << 16;  // contrast and saturation as they are
    sws_setColorspaceDetails(scaler, sws_getCoefficients(matrix_of(frame)), frame.color_range == AVCOL_RANGE_JPEG ? 1 : 0,
                             sws_getCoefficients(SWS_CS_DEFAULT), 1, 0, one, one);
    // Vector code writes behind a row's end: rows of its own, wide enough.
    const int stride = (size.width * 3 + 63) / 64 * 64;
    std::vector<std::uint8_t> rows(static_cast<std::size_t>(stride) * static_cast<std::size_t>(size.height) + 64);
    std::uint8_t* const to[4] = {rows.data()};
    const int strides[4] = {stride};
    const int lines = sws_scale(scaler, frame.data, frame.linesize, 0, frame.height, to, strides);
    sws_freeContext(scaler);
    if (lines != size.height) return {};
    SmallPicture out{static_cast<unsigned>(size.width), static_cast<unsigned>(size.height), {}};
    for (int y = 0; y < size.height; ++y) {
        const auto* row = reinterpret_cast<const std::byte*>(rows.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(stride));
        out.rgb.insert(out.rgb.end(), row, row + static_cast<std::ptrdiff_t>(size.width) * 3);
    }
    return out;
}

}  // namespace

FirstPicture::FirstPicture(std::string_view kind) {
    av_log_set_level(AV_LOG_QUIET);
    av_max_alloc(kMostAllocation);
    const AVCodecID id = codec_of(kind);
    const AVCodec* codec = avcodec_find_decoder(id);
    if (codec == nullptr) return;
    parser_ = av_parser_init(id);
    frame_ = av_frame_alloc();
    AVCodecContext* context = avcodec_alloc_context3(codec);
    if (context == nullptr) return;
    context->thread_count = 1;
    context->max_pixels = kMostPixels;
    const bool opened = avcodec_open2(context, codec, nullptr) == 0;
    if (opened && parser_ != nullptr && frame_ != nullptr) decoder_ = context;
    else avcodec_free_context(&context);
}

FirstPicture::~FirstPicture() {
    avcodec_free_context(&decoder_);
    av_parser_close(parser_);
    av_frame_free(&frame_);
}

// Whether frame_ holds a picture without damage now.
bool FirstPicture::next_frame() {
    while (avcodec_receive_frame(decoder_, frame_) == 0)
        if (frame_->decode_error_flags == 0 && (frame_->flags & AV_FRAME_FLAG_CORRUPT) == 0) return true;
    return false;
}

// Nothing: there is no more to come.
bool FirstPicture::decode(ByteView packet) {
    AVPacket* carrier = av_packet_alloc();
    if (carrier == nullptr) return false;
    // The parser's bytes have the padding that decoders ask for, or are the caller's, who gave it.
    carrier->data = const_cast<std::uint8_t*>(reinterpret_cast<const std::uint8_t*>(packet.data()));
    carrier->size = static_cast<int>(packet.size());
    avcodec_send_packet(decoder_, packet.empty() ? nullptr : carrier);
    av_packet_free(&carrier);
    return next_frame();
}

SmallPicture FirstPicture::of(ByteView stream, unsigned most_width, unsigned most_height) {
    std::vector<std::byte> padded(stream.begin(), stream.end());
    padded.resize(stream.size() + AV_INPUT_BUFFER_PADDING_SIZE);
    ByteView rest = ByteView(padded).first(stream.size());
    bool found = false, ended = false;
    while (!found && !ended) {
        ended = rest.empty();
        std::uint8_t* packet = nullptr;
        int size = 0;
        const int used = av_parser_parse2(parser_, decoder_, &packet, &size, reinterpret_cast<const std::uint8_t*>(rest.data()),
                                          static_cast<int>(rest.size()), AV_NOPTS_VALUE, AV_NOPTS_VALUE, 0);
        if (used < 0) break;
        rest = rest.subspan(std::min(static_cast<std::size_t>(used), rest.size()));
        if (size > 0) found = decode({reinterpret_cast<const std::byte*>(packet), static_cast<std::size_t>(size)});
    }
    found = found || decode({});
    return found ? scaled(*frame_, most_width, most_height) : SmallPicture{};
}

}  // namespace mastline
