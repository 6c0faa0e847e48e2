// SPDX-License-Identifier: Apache-2.0
#include "pes_track.hpp"

#include <algorithm>

#include "mastline/ts/component_kind.hpp"
#include "mastline/ts/es_header.hpp"
#include "mastline/ts/pes_header.hpp"

namespace mastline {

namespace {

// ISO/IEC 13818-1, 2.7.4, and TR 101 290 no. 2.5.
constexpr Duration kLongestPtsInterval = std::chrono::milliseconds(700);
// A step back by more is another time base, not a wrong order.
constexpr PtsTicks kLongestStepBack = std::chrono::seconds(10);

// b - a on the 33-bit circle, between minus and plus half of it.
PtsTicks circular_difference(PtsTicks a, PtsTicks b) {
    PtsTicks d = b - a;
    if (d > kPtsWrap / 2) d -= kPtsWrap;
    if (d < -kPtsWrap / 2) d += kPtsWrap;
    return d;
}

}  // namespace

PesTrack::PesTrack(std::string kind) : kind_(std::move(kind)) {
    video_ = medium_of(kind_) == Medium::video;
    audio_ = medium_of(kind_) == Medium::audio;
    if (has_known_header(kind_)) gathered_.reserve(kGathered);
}

bool PesTrack::payload(ByteView payload, bool unit_start, bool discontinuity, const Moment& at,
                       IndicatorTally& tally) {
    if (unit_start) return start(payload, discontinuity, at, tally);
    if (!gathering_) return false;
    const std::size_t n = std::min(payload.size(), kGathered - gathered_.size());
    gathered_.insert(gathered_.end(), payload.begin(), payload.begin() + static_cast<std::ptrdiff_t>(n));
    look_for_format(gathered_.size() < kGathered);
    return false;
}

bool PesTrack::start(ByteView payload, bool discontinuity, const Moment& at, IndicatorTally& tally) {
    if (gathering_) look_for_format(false);
    gathering_ = false;
    const auto head = parse_pes_header(payload);
    if (!head || head->scrambling_control != 0) return false;
    if (head->pts) note_stamp(*head->pts, head->dts.value_or(*head->pts), discontinuity, at, tally);
    if (!video_ && !audio_) return false;
    const ByteView rest = payload.subspan(std::min(head->size, payload.size()));
    if (!has_format_ && has_known_header(kind_)) {
        gathered_.assign(rest.begin(), rest.end());
        gathering_ = true;
        look_for_format(true);
    }
    const bool access = begins_access_point(kind_, rest);
    if (access) ++access_points_;
    return access;
}

void PesTrack::look_for_format(bool more) {
    if (video_) video_format_ = find_video(kind_, gathered_);
    else audio_format_ = find_audio(kind_, gathered_, more);
    has_format_ = video_format_.has_value() || audio_format_.has_value();
    if (has_format_ || gathered_.size() >= kGathered) gathering_ = false;
}

// The interval is exceeded when both the stamps and the clock say so: a sender may deliver in
// bursts, and a step of the time base is not a missing stamp.
void PesTrack::note_stamp(PtsTicks shown, PtsTicks decoded, bool discontinuity, const Moment& at,
                          IndicatorTally& tally) {
    ++pts_.count;
    if (!pts_.first) pts_.first = shown;
    pts_.last = shown;
    const PtsTicks ahead = last_decoded_ ? circular_difference(*last_decoded_, decoded) : PtsTicks(0);
    if (ahead < PtsTicks(0) && ahead >= -kLongestStepBack && !discontinuity) ++pts_.order_errors;
    if (at.time && last_time_) {
        const Duration elapsed = *at.time - *last_time_;
        pts_.max_interval = std::max(pts_.max_interval.value_or(elapsed), elapsed);
        const bool stamps_agree = ahead < PtsTicks(0) || Duration(ahead.count() * 100000 / 9) > kLongestPtsInterval;
        if (must_stamp() && elapsed > kLongestPtsInterval && stamps_agree) tally.hit(Indicator::pts, at);
    }
    last_decoded_ = decoded;
    last_time_ = at.time;
}

void PesTrack::observe(ComponentObservation& into) const {
    into.video = video_format_;
    into.audio = audio_format_;
    into.pts = pts_;
    into.random_access_points = access_points_;
}

}  // namespace mastline
