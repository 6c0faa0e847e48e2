// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/terminal.hpp"
#include "probe/report/terminal_text.hpp"

namespace mastline {

namespace {

std::string megabits(BitRate r) {
    return fixed_text(static_cast<double>(r.bits_per_second()) / 1e6, 3) + " Mbit/s";
}

std::string seconds_text(Duration d) {
    return fixed_text(static_cast<double>(d.count()) / 1e9, 3) + " s";
}

std::string kilohertz(Frequency f) {
    return number_text(static_cast<double>(f.hertz()) / 1e3, 3) + " kHz";
}

std::string video_text(const VideoFormat& v) {
    std::string out = std::to_string(v.width) + "x" + std::to_string(v.height) + (v.interlaced ? " interlaced" : "") + " " + v.profile;
    if (v.frame_rate && v.frame_rate->denominator > 0)
        out += ", " + number_text(static_cast<double>(v.frame_rate->numerator) / v.frame_rate->denominator, 3) + " frames/s";
    return out;
}

class FileText {
public:
    explicit FileText(const TerminalStyle& style) : style_(style) {}

    void file(const FileReport& r) {
        if (r.ts) ts_file(r.name, *r.ts);
        if (r.capture) capture(r.name, *r.capture);
    }
    std::string take() { return std::move(out_); }

private:
    void line(std::size_t indent, const std::string& text) {
        out_ += wrapped(shown(text, style_), indent, indent + 4, style_);
    }

    void ts_file(const std::string& name, const FileReport::TsFile& f) {
        std::string text = name + ": transport stream, packets of " +
                           std::to_string(f.summary.packet_size) + " bytes";
        if (f.summary.leading_bytes > 0)
            text += ", " + std::to_string(f.summary.leading_bytes) + " bytes before the first";
        if (f.summary.skipped_bytes > 0)
            text += ", " + std::to_string(f.summary.skipped_bytes) + " bytes between packets";
        line(0, text);
        if (!f.summary.damage.empty()) line(2, "note: " + f.summary.damage);
        stream(f.stream);
    }

    void capture(const std::string& name, const FileReport::Capture& c) {
        line(0, name + ": capture, " + std::to_string(c.summary.frames) + " frames, " +
                    std::to_string(c.counts.datagrams + c.counts.reassembled) + " datagrams, " +
                    std::to_string(c.flows.size()) + " flows with transport streams, " +
                    std::to_string(c.other_flows) + " others");
        if (!c.summary.damage.empty()) line(2, "note: " + c.summary.damage);
        for (const auto link : c.summary.unknown_links)
            line(2, "note: frames of link type " + std::to_string(link.value) + " were passed over");
        if (c.summary.dropped_by_capture > 0)
            line(2, "note: " + std::to_string(c.summary.dropped_by_capture) +
                        " frames were dropped by the capturing machine");
        for (const auto& q : c.membership.queriers)
            line(2, "querier " + to_text(q.address) + (q.ip == IpVersion::v4 ? ", IGMPv" : ", MLDv") +
                        std::to_string(q.version) + ", " + std::to_string(q.queries) + " queries" +
                        (q.interface.empty() ? "" : " on " + q.interface));
        for (const auto& f : c.flows) flow(f);
    }

    void flow(const FlowObservation& f) {
        if (f.fec != FecRole::none) {
            line(2, heard_text(f) + ": SMPTE 2022-1 " +
                        (f.fec == FecRole::row ? "row" : "column") + " FEC, " +
                        std::to_string(f.datagrams) + " datagrams");
            return;
        }
        std::string text = heard_text(f) + ": ";
        const auto kind = f.encapsulation();
        text += !kind ? "other" : *kind == Encapsulation::rtp ? "RTP" : "UDP";
        for (const auto& s : f.sources)
            text += (&s == &f.sources.front() ? " from " : ", ") + to_text(s.address);
        text += ", " + std::to_string(f.datagrams) + " datagrams";
        if (f.first && f.last) text += " in " + seconds_text(*f.last - *f.first);
        if (f.ttl) text += ", TTL " + std::to_string(f.ttl->least);
        if (f.dscp) text += ", DSCP " + std::to_string(f.dscp->least);
        if (f.packet_size != kTsPacketSize) text += ", packets of " + std::to_string(f.packet_size) + " bytes";
        for (const auto& v : f.vlans)
            if (v.tags.count > 0) text += ", " + to_text(v.tags);
        line(2, text);
        if (f.rtp)
            line(4, "RTP: " + std::to_string(f.rtp->lost) + " lost, " + std::to_string(f.rtp->reordered) +
                        " out of order, " + std::to_string(f.rtp->duplicates) + " repeated, " +
                        std::to_string(f.rtp->ssrc_changes) + " changes of SSRC");
        if (f.truncated_datagrams > 0)
            line(4, "the capture kept parts of " + std::to_string(f.truncated_datagrams) +
                        " datagrams only: what it holds is judged, what it does not hold is no loss");
        if (f.repair) repair(*f.repair);
        if (f.repeated_datagrams > 0)
            line(4, std::to_string(f.repeated_datagrams) + " datagrams came again, with " +
                        std::to_string(f.repeats_continuity_errors) +
                        " of the continuity errors: a loop in the network, or a sender that sends twice");
        if (f.delivery_index)
            line(4, "Media Delivery Index " +
                        fixed_text(static_cast<double>(f.delivery_index->max_delay_factor.count()) / 1e6, 2) +
                        ":" + std::to_string(f.delivery_index->max_media_loss_rate) + " at worst");
        if (f.stream) stream(*f.stream);
    }

    void repair(const RepairObservation& r) {
        line(4, "FEC of " + repair_shape(r) + ": " + std::to_string(r.by_both) + " of " + std::to_string(r.lost) +
                    " lost datagrams recoverable (" + std::to_string(r.by_column) + " by columns alone, " +
                    std::to_string(r.by_row) + " by rows alone)");
        if (r.untold > 0) line(4, std::to_string(r.untold) + " lost at the edge of what was watched: not told");
        if (r.contradicting > 0)
            line(4, std::to_string(r.contradicting) + " of " + std::to_string(r.compared) +
                        " repair packets contradict the media");
    }

    void stream(const StreamObservation& s) {
        std::string text = std::to_string(s.packets) + " packets";
        if (const auto rate = s.rate ? s.rate : s.arrival_rate) text += ", " + megabits(*rate);
        text += ", " + std::to_string(s.null_packets) + " null, " +
                std::to_string(s.continuity_errors) + " continuity errors";
        if (s.transport_stream_id) text += ", transport_stream_id " + std::to_string(*s.transport_stream_id);
        line(4, text);
        for (const auto& p : s.programmes) programme(p);
        for (const auto& i : s.indicators)
            if (i.judged && i.found.count > 0)
                line(4, "TR 101 290 no. " + std::string(i.number) + " " + std::string(i.name) + ": " +
                            std::to_string(i.found.count));
    }

    void programme(const ProgrammeObservation& p) {
        std::string text = "programme " + std::to_string(p.program_number.value);
        if (p.service) text += " \"" + p.service->name + "\"";
        if (p.service && !p.service->provider.empty()) text += " of \"" + p.service->provider + "\"";
        if (p.pmt_pid) text += ", PMT PID " + std::to_string(p.pmt_pid->value());
        if (p.pcr_pid) text += ", PCR PID " + std::to_string(p.pcr_pid->value());
        if (!p.pmt_seen) text += ", no PMT";
        if (p.scrambled) text += ", scrambled";
        line(4, text);
        for (const auto& c : p.components) component(c);
    }

    void component(const ComponentObservation& c) {
        std::string text = "PID " + std::to_string(c.pid.value()) + " " + c.kind;
        if (c.kind == "unknown") text += " (stream_type " + std::to_string(c.stream_type.value) + ")";
        for (const auto& l : c.languages) text += " " + l;
        if (c.video) text += ", " + video_text(*c.video);
        if (c.audio) {
            text += ", " + c.audio->profile + " " + kilohertz(c.audio->sample_rate);
            if (c.audio->channels > 0) text += ", " + std::to_string(c.audio->channels) + (c.audio->channels == 1 ? " channel" : " channels");
        }
        text += ", " + std::to_string(c.packets) + " packets";
        line(6, text);
    }

    const TerminalStyle& style_;
    std::string out_;
};

}  // namespace

std::string terminal_file(const FileReport& report, const TerminalStyle& style) {
    FileText text(style);
    text.file(report);
    return text.take();
}

}  // namespace mastline
