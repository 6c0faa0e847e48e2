// SPDX-License-Identifier: Apache-2.0
// One component's PES packets: time stamps, the first headers of its elementary stream, access points.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "indicators.hpp"
#include "mastline/bytes/byte_reader.hpp"
#include "mastline/stream/component_observation.hpp"

namespace mastline {

class PesTrack {
public:
    explicit PesTrack(std::string kind);

    const std::string& kind() const { return kind_; }
    bool is_video() const { return video_; }
    bool is_audio() const { return audio_; }

    // Whether its descriptors say that there may be still pictures: no rule says how often these come (TR 101 290
    // table 5.0b, note 3).
    void may_stand_still(bool announced) { stills_ = announced; }

    // A payload of the PID in the clear. Returns whether an access point begins in this packet.
    bool payload(ByteView payload, bool unit_start, bool discontinuity, const Moment& at,
                 IndicatorTally& tally);
    // A packet of the PID was lost: the headers under way cannot be completed.
    void interrupt() { gathering_ = false; }
    // Something is scrambled, or was lost by us: whether stamps came in time cannot be told across it.
    void not_seen() {
        interrupt();
        last_time_.reset();
    }
    // When the last stamp came, while the next is due within 700 ms; none where no rule applies.
    std::optional<Duration> stamp_awaited_since() const {
        return must_stamp() ? last_time_ : std::nullopt;
    }
    // Whether payloads that begin no PES packet are of use now.
    bool wants_every_payload() const { return gathering_; }

    void observe(ComponentObservation& into) const;

private:
    static constexpr std::size_t kGathered = 2048;  // of each PES packet, while its format is unknown

    bool must_stamp() const { return (video_ || audio_) && !stills_; }
    bool start(ByteView payload, bool discontinuity, const Moment& at, IndicatorTally& tally);
    void note_stamp(PtsTicks shown, PtsTicks decoded, bool discontinuity, const Moment& at,
                    IndicatorTally& tally);
    void look_for_format(bool more);

    std::string kind_;
    bool video_ = false, audio_ = false, stills_ = false, has_format_ = false;
    bool gathering_ = false;
    std::vector<std::byte> gathered_;
    std::optional<VideoFormat> video_format_;
    std::optional<AudioFormat> audio_format_;
    PtsObservation pts_;
    std::optional<PtsTicks> last_decoded_;
    std::optional<Duration> last_time_;
    std::uint64_t access_points_ = 0;
};

}  // namespace mastline
