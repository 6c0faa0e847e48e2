// SPDX-License-Identifier: Apache-2.0
// Streams that FFmpeg and GStreamer make, read by us, by ffprobe and by libdvbpsi: all must agree, and nothing may be
// found wrong with them.
#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include <nlohmann/json.hpp>

#include "mastline/stream/stream.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/stream_reading.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

using Json = nlohmann::json;

// ffprobe's codec names for our kinds.
std::string codec_of(const std::string& kind) {
    static const std::map<std::string, std::string> names{
        {"mpeg1-video", "mpeg1video"}, {"mpeg2-video", "mpeg2video"}, {"h264", "h264"}, {"hevc", "hevc"},
        {"aac", "aac"}, {"aac-latm", "aac_latm"}, {"ac3", "ac3"}, {"ac3-atsc", "ac3"},
        {"eac3", "eac3"}, {"eac3-atsc", "eac3"}, {"mpeg4-video", "mpeg4"}, {"smpte302m", "s302m"},
        {"scte35", "scte_35"}, {"subtitles", "dvb_subtitle"}};
    const auto found = names.find(kind);
    return found == names.end() ? kind : found->second;
}

std::string text(const Json& object, const char* key) {
    return object.contains(key) ? object[key].get<std::string>() : "";
}

void compare_video(const VideoFormat& v, const Json& stream) {
    CHECK(v.width == stream["width"]);
    CHECK(v.height == stream["height"]);
    const std::string codec = stream["codec_name"];
    // ffprobe counts the pictures of HEVC, which are fields there.
    const std::uint32_t pictures = codec == "hevc" && v.interlaced ? 2 : 1;
    if (v.frame_rate) {
        const std::string rate = text(stream, "r_frame_rate");
        const auto bar = rate.find('/');
        CHECK(std::stoull(rate) * v.frame_rate->denominator ==
              std::stoull(rate.substr(bar + 1)) * v.frame_rate->numerator * pictures);
    }
    if (codec == "h264" || codec == "hevc") CHECK(v.profile == text(stream, "profile"));
    if (codec == "mpeg4") CHECK(v.profile + " Profile" == text(stream, "profile"));
    if (codec == "mpeg2video") CHECK(v.profile == text(stream, "profile"));
    // ffprobe guesses a field order where fields were coded
    if (codec == "mpeg2video") CHECK(v.interlaced == (text(stream, "field_order") != "progressive"));
}

void compare_audio(const AudioFormat& a, const Json& stream) {
    CHECK(std::to_string(a.sample_rate.hertz()) == text(stream, "sample_rate"));
    CHECK(a.channels == stream["channels"]);
    if (stream["codec_name"] == "aac" || stream["codec_name"] == "aac_latm") CHECK(a.profile == text(stream, "profile"));
}

void compare_component(const ComponentObservation& c, const Json& stream) {
    CAPTURE(c.pid.value());
    const std::string codec = codec_of(c.kind), theirs = stream["codec_name"];
    // An MPEG audio stream_type does not tell the layer.
    if (theirs == "mp2" || theirs == "mp3") CHECK((codec == "mpeg1-audio" || codec == "mpeg2-audio"));
    else if (theirs == "mpeg1video") CHECK((codec == theirs || (codec == "mpeg2video" && c.video && c.video->profile.empty())));
    else CHECK(codec == theirs);
    // The tag is the registered format, where there is one, else the stream_type.
    std::uint32_t tag = c.stream_type.value;
    if (!c.registration.empty()) tag = 0;
    for (std::size_t i = c.registration.size(); i-- > 0;)
        tag = (tag << 8) | static_cast<unsigned char>(c.registration[i]);
    if (c.stream_type.value != 0x06 && theirs != "scte_35") CHECK(std::stoul(text(stream, "codec_tag"), nullptr, 16) == tag);
    const std::string language = stream.contains("tags") ? text(stream["tags"], "language") : "";
    CHECK((c.languages.empty() ? "" : c.languages[0]) == language);
    if (stream["codec_type"] == "video") {
        REQUIRE(c.video);
        compare_video(*c.video, stream);
        CHECK(c.random_access_points > 0);
    } else if (stream["codec_type"] == "audio") {
        REQUIRE(c.audio);
        compare_audio(*c.audio, stream);
    }
}

void compare_programmes(const StreamObservation& o, const Json& facts) {
    REQUIRE(o.programmes.size() == facts["programs"].size());
    for (const auto& theirs : facts["programs"]) {
        const auto ours = std::find_if(o.programmes.begin(), o.programmes.end(), [&](const auto& p) {
            return p.program_number.value == theirs["program_num"];
        });
        REQUIRE(ours != o.programmes.end());
        CHECK(ours->pmt_pid->value() == theirs["pmt_pid"]);
        CHECK(ours->pcr_pid->value() == theirs["pcr_pid"]);
        CHECK(ours->service.has_value() == theirs.contains("tags"));
        if (ours->service) {
            CHECK(ours->service->name == text(theirs["tags"], "service_name"));
            CHECK(ours->service->provider == text(theirs["tags"], "service_provider"));
        }
        CHECK(ours->first_access.has_value());
        REQUIRE(ours->components.size() == theirs["streams"].size());
        for (const auto& stream : theirs["streams"]) {
            const auto pid = std::stoul(stream["id"].get<std::string>(), nullptr, 16);
            const auto c = std::find_if(ours->components.begin(), ours->components.end(),
                                        [&](const auto& x) { return x.pid.value() == pid; });
            REQUIRE(c != ours->components.end());
            compare_component(*c, stream);
        }
    }
}

void compare_counts(const StreamObservation& o, const Json& facts) {
    std::map<std::string, std::uint64_t> packets, pcrs;
    for (const auto& p : o.pids) {
        packets[std::to_string(p.pid.value())] = p.packets;
        if (p.pcr_count > 0) pcrs[std::to_string(p.pid.value())] = p.pcr_count;
    }
    CHECK(Json(packets) == facts["packets"]);
    CHECK(Json(pcrs) == facts["pcrs"]);
}

// What an intact stream must not have; empty when nothing is found.
std::string findings_of(const StreamObservation& o) {
    std::string out;
    for (const auto& i : o.indicators)
        if (i.found.count > 0) out += std::string(i.name) + " " + std::to_string(i.found.count) + "; ";
    if (o.bytes_skipped > 0 || !o.in_sync) out += "sync; ";
    for (const auto& p : o.programmes)
        for (const auto& c : p.components)
            if (c.pts.order_errors > 0) out += "PTS order; ";
    return out;
}

std::set<std::string> lines_of(const StreamObservation& o) {
    std::set<std::string> out;
    const auto n = [](std::uint32_t v) { return std::to_string(v); };
    for (const auto& t : o.tables)
        if (t.table_id == 0) out.insert("pat " + n(t.extension) + " version " + n(t.version));
    for (const auto& p : o.programmes) {
        const std::string number = n(p.program_number.value);
        out.insert("programme " + number + " pid " + n(p.pmt_pid->value()));
        out.insert("pmt " + number + " version " + n(p.pmt_version) + " pcr " + n(p.pcr_pid->value()));
        for (const auto& c : p.components)
            out.insert("component " + number + " pid " + n(c.pid.value()) + " type " + n(c.stream_type.value));
        if (p.service) out.insert("service " + number + " type " + n(p.service->service_type) + " provider " +
                   p.service->provider + " name " + p.service->name);
    }
    if (o.network_pid) out.insert("programme 0 pid " + n(o.network_pid->value()));
    return out;
}

std::set<std::string> dvbpsi_lines(const std::filesystem::path& file) {
    const auto run = run_command(MASTLINE_BINARY_DIR "/tests/stream/dvbpsi_tables " + file.string());
    REQUIRE(run.status == 0);
    std::set<std::string> out;
    std::istringstream in(run.output);
    // libdvbpsi leaves the byte that says "UTF-8" in front of a name.
    for (std::string line; std::getline(in, line);) {
        line.erase(std::remove(line.begin(), line.end(), '\x15'), line.end());
        out.insert(line);
    }
    return out;
}

}  // namespace

namespace {

void compare_streams_of(const std::string& maker, std::size_t at_least) {
    const TempFolder folder;
    const auto made = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/stream/make_streams.py " + maker +
                                  " " + folder.path().string() + " 2>&1");
    CAPTURE(made.output);
    REQUIRE(made.status == 0);
    const Json names = Json::parse(std::ifstream(folder.path() / "streams.json"));
    REQUIRE(names.size() >= at_least);
    for (const std::string name : names) {
        CAPTURE(name);
        const auto file = folder.path() / (name + ".ts");
        const auto facts = Json::parse(std::ifstream(folder.path() / (name + ".json")));
        const auto observed = observe_file(file);
        CHECK(findings_of(observed) == "");
        compare_programmes(observed, facts);
        compare_counts(observed, facts);
        CHECK(lines_of(observed) == dvbpsi_lines(file));
    }
}

}  // namespace

TEST_CASE("streams made by FFmpeg are read as ffprobe and libdvbpsi read them, and are found intact", "[outside]") {
    compare_streams_of("ffmpeg", 60);
}

TEST_CASE("streams made by GStreamer are read as ffprobe and libdvbpsi read them, and are found intact", "[outside]") {
    compare_streams_of("gstreamer", 19);
}
