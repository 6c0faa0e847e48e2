// SPDX-License-Identifier: Apache-2.0
// The first header of an elementary stream: what a picture or sound it carries. Each function looks
// through `bytes` (the start of a PES payload) and gives the first header that is whole and legal.
#pragma once

#include <optional>
#include <string_view>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/mpeg/audio_format.hpp"
#include "mastline/mpeg/video_format.hpp"

namespace mastline {

// MPEG-1 and MPEG-2: sequence_header and sequence_extension (ISO/IEC 13818-2, 6.2.2).
std::optional<VideoFormat> find_mpeg_video(ByteView bytes);
// AVC: sequence parameter set (ISO/IEC 14496-10, 7.3.2.1).
std::optional<VideoFormat> find_avc(ByteView bytes);
// HEVC: sequence parameter set (ISO/IEC 23008-2, 7.3.2.2).
std::optional<VideoFormat> find_hevc(ByteView bytes);

// MPEG-4 visual: video object layer (ISO/IEC 14496-2, 6.2.3).
std::optional<VideoFormat> find_mpeg4_video(ByteView bytes);
// AV1: sequence header (AV1 specification, 5.5), of units behind start codes or each with its size.
std::optional<VideoFormat> find_av1(ByteView bytes);
bool has_av1_sequence_header(ByteView bytes);
// JPEG 2000: the head of the access unit and the size of the codestream (ISO/IEC 13818-1, annex S; 15444-1, A.5.1).
std::optional<VideoFormat> find_jpeg2000(ByteView bytes);

// MPEG audio layers I to III (ISO/IEC 11172-3, 2.4.1.3; 13818-3).
std::optional<AudioFormat> find_mpeg_audio(ByteView bytes);
// AAC in ADTS (ISO/IEC 13818-7, 6.2).
std::optional<AudioFormat> find_adts(ByteView bytes);
// AAC in LATM: AudioSyncStream (ISO/IEC 14496-3, 1.7.2).
std::optional<AudioFormat> find_latm(ByteView bytes);
// AC-3 and E-AC-3 syncinfo and bsi (ETSI TS 102 366, clauses 4.3 and E.1.2). Dependent frames add
// channels to the one in front of them, so that what follows must be seen unless `more` cannot come.
std::optional<AudioFormat> find_ac3(ByteView bytes, bool more = false);
// DTS core frame (ETSI TS 102 114, 5.3).
std::optional<AudioFormat> find_dts(ByteView bytes);
// Uncompressed sound: the head of SMPTE ST 302, at the beginning of a PES payload.
std::optional<AudioFormat> find_smpte302(ByteView bytes);

// By the component's kind (as kind_of() names it); none for kinds without a header we know.
std::optional<VideoFormat> find_video(std::string_view kind, ByteView bytes);
// `more`: bytes of the same PES packet may follow.
std::optional<AudioFormat> find_audio(std::string_view kind, ByteView bytes, bool more = false);
// Whether one of these two ever gives something.
bool has_known_header(std::string_view kind);

// Whether a decoder can begin with the access unit that `bytes` (the start of a PES payload) begin
// with: a sequence header (MPEG video), an IDR picture or a sequence parameter set (AVC), an IRAP
// picture or a sequence parameter set (HEVC), a video object layer (MPEG-4 visual), a sequence header (AV1);
// any picture of JPEG 2000 or JPEG XS, any frame of audio.
bool begins_access_point(std::string_view kind, ByteView bytes);

}  // namespace mastline
