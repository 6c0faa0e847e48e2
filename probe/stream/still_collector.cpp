// SPDX-License-Identifier: Apache-2.0
#include "mastline/stream/still_collector.hpp"

#include <algorithm>
#include <array>

#include "mastline/ts/adaptation_field.hpp"
#include "mastline/ts/component_kind.hpp"
#include "mastline/ts/es_header.hpp"
#include "mastline/ts/pat.hpp"
#include "mastline/ts/pes_header.hpp"
#include "mastline/ts/pmt.hpp"
#include "mastline/ts/section_assembler.hpp"
#include "packet_framer.hpp"

namespace mastline {

namespace {

// PES packets that are kept from the access point on: a picture may be two fields, each in its own.
constexpr int kPesPackets = 2;

std::optional<std::uint8_t> next_counter(std::optional<std::uint8_t> last) {
    return last ? std::optional(static_cast<std::uint8_t>((*last + 1U) & 15U)) : std::nullopt;
}

// The kinds of video that mastline-still decodes.
bool has_decoder(std::string_view kind) {
    static constexpr std::array<std::string_view, 5> kinds{"h264", "hevc", "mpeg2-video", "mpeg1-video", "mpeg4-video"};
    return std::ranges::find(kinds, kind) != kinds.end();
}

}  // namespace

class StillCollector::State {
public:
    explicit State(ProgramNumber programme) : wanted_(programme), programme_(programme) {}

    void packets(ByteView bytes, std::optional<Duration> arrival) {
        arrival_ = arrival;
        arrived_ = true;
        framer_.feed(bytes, [&](ByteView run) { take(run); }, [&] { begin_anew(); });
    }
    void lost() {
        framer_.drop_partial();
        begin_anew();
    }
    bool done() const { return done_; }
    StillMaterial material() const {
        if (done_) return {kind_, at_, bytes_, {}};
        return {kind_, std::nullopt, {}, lack()};
    }

private:
    void take(ByteView run) {
        for (std::size_t at = 0; at < run.size() && !done_; at += kTsPacketSize)
            packet(TsPacket(run.data() + at, kTsPacketSize));
    }

    void packet(TsPacket packet) {
        const auto header = parse_packet_header(packet);
        if (!header || header->transport_error_indicator) return;
        const bool video = video_ && header->pid == *video_;
        if (!video && header->pid != kPatPid && header->pid != pmt_pid_) return;
        std::optional<AdaptationField> field;
        if (header->has_adaptation_field && !(field = parse_adaptation_field(packet))) return;
        if (!header->has_payload) return;
        const ByteView payload = ByteView(packet).subspan(field ? 5 + field->length : 4);
        if (video) return picture(*header, payload);
        if (header->transport_scrambling_control != 0) return;
        if (header->pid == kPatPid) feed(pat_, *header, payload);
        else feed(pmt_, *header, payload);
    }

    void feed(SectionAssembler& sections, const PacketHeader& header, ByteView payload) {
        sections.feed(payload, header.payload_unit_start_indicator, [&](ByteView whole) { section(whole); }, [](ByteView) {});
    }

    void section(ByteView bytes) {
        if (!section_crc_is_right(bytes)) return;
        const auto section = parse_section(bytes);
        if (!section || !section->current_next_indicator) return;
        if (section->table_id == 0x00) use_pat(*section);
        else if (section->table_id == 0x02 && section->table_id_extension == programme_.value) use_pmt(*section);
    }

    void use_pat(const Section& section) {
        const auto pat = parse_pat(section);
        if (!pat) return;
        tables_ = true;
        if (pat->programmes.empty()) return;
        auto found = std::ranges::find(pat->programmes, wanted_, &Pat::Entry::program_number);
        // Where another programme was sent, its picture tells more than none.
        if (found == pat->programmes.end()) found = pat->programmes.begin();
        programme_ = found->program_number;
        pmt_pid_ = found->program_map_pid;
    }

    void use_pmt(const Section& section) {
        const auto pmt = parse_pmt(section);
        if (!pmt) return;
        described_ = true;
        const auto kind = [&](const Pmt::Component& c) { return kind_of(c, pmt->descriptors); };
        const auto found = std::ranges::find_if(pmt->components, [&](const auto& c) { return medium_of(kind(c)) == Medium::video; });
        const auto pid = found == pmt->components.end() ? std::nullopt : std::optional(found->elementary_pid);
        const std::string named = pid ? kind(*found) : std::string();
        if (pid == video_ && named == kind_) return;
        begin_anew();
        video_ = pid;
        kind_ = named;
    }

    // A packet of the video with a payload.
    void picture(const PacketHeader& header, ByteView payload) {
        if (!has_decoder(kind_)) return;
        const auto awaited = next_counter(counter_);
        const bool repeated = counter_ == header.continuity_counter;
        counter_ = header.continuity_counter;
        if (repeated) return;
        if (awaited && *awaited != header.continuity_counter) forget();
        if (header.transport_scrambling_control != 0) {
            scrambled_ = true;
            return forget();
        }
        if (header.payload_unit_start_indicator) return unit_start(payload);
        if (begun_ > 0) keep(payload);
    }

    void unit_start(ByteView payload) {
        if (begun_ == kPesPackets) {
            done_ = true;
            return;
        }
        const auto head = parse_pes_header(payload);
        if (!head) return forget();
        if (head->scrambling_control != 0) {
            scrambled_ = true;
            return forget();
        }
        const ByteView rest = payload.subspan(std::min(head->size, payload.size()));
        if (begun_ == 0 && !begins_access_point(kind_, rest)) return;
        if (begun_ == 0) at_ = arrival_;
        ++begun_;
        head_left_ = head->size;
        keep(payload);
    }

    // Without what is left of the PES packet's head.
    void keep(ByteView payload) {
        const std::size_t head = std::min(head_left_, payload.size());
        head_left_ -= head;
        const ByteView more = payload.subspan(head);
        if (bytes_.size() + more.size() > kMostBytes) {
            too_large_ = true;
            return forget();
        }
        bytes_.insert(bytes_.end(), more.begin(), more.end());
    }

    void forget() {
        begun_ = 0;
        bytes_.clear();
    }
    void begin_anew() {
        if (done_) return;  // what comes behind it, in the same call
        forget();
        counter_.reset();
        pat_.interrupt();
        pmt_.interrupt();
    }

    std::string lack() const {
        if (!arrived_) return "nothing arrived";
        if (!tables_) return "its tables have not come";
        if (!pmt_pid_ || !described_) return "its programme is not described";
        if (!video_) return "it has no video";
        if (!has_decoder(kind_)) return "no stills are made of its kind of video, " + kind_;
        if (scrambled_) return "scrambled";
        if (too_large_) return "its pictures take more than 2 MiB";
        return "no whole picture that a decoder can begin with has come";
    }

    ProgramNumber wanted_, programme_;  // programme_: the one that is looked at
    PacketFramer framer_;
    std::optional<Duration> arrival_;
    SectionAssembler pat_, pmt_;
    bool arrived_ = false, tables_ = false, described_ = false, scrambled_ = false, too_large_ = false, done_ = false;
    std::optional<Pid> pmt_pid_, video_;
    std::string kind_;
    std::optional<std::uint8_t> counter_;  // of the video, last
    int begun_ = 0;                        // PES packets that are kept, the last under way
    std::size_t head_left_ = 0;            // of the PES packet under way
    std::optional<Duration> at_;
    std::vector<std::byte> bytes_;
};

StillCollector::StillCollector(ProgramNumber programme) : state_(std::make_unique<State>(programme)) {}
StillCollector::StillCollector(StillCollector&&) noexcept = default;
StillCollector& StillCollector::operator=(StillCollector&&) noexcept = default;
StillCollector::~StillCollector() = default;

void StillCollector::packets(ByteView ts_bytes, std::optional<Duration> arrival) {
    if (!state_->done()) state_->packets(ts_bytes, arrival);
}
void StillCollector::lost() {
    if (!state_->done()) state_->lost();
}
bool StillCollector::done() const { return state_->done(); }
StillMaterial StillCollector::material() const { return state_->material(); }

}  // namespace mastline
