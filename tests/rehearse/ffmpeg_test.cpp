// SPDX-License-Identifier: Apache-2.0
// FFmpeg's view of the streams that the rehearsal makes.
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "plan_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

// FFmpeg's name of each kind; empty: FFmpeg has none.
const std::map<std::string, std::string> kCodecNames{{"mpeg1-video", "mpeg1video"},
                                                     {"mpeg2-video", "mpeg2video"},
                                                     {"h264", "h264"},
                                                     {"hevc", "hevc"},
                                                     {"mpeg1-audio", "mp2"},
                                                     {"mpeg2-audio", "mp2"},
                                                     {"aac", "aac"},
                                                     {"aac-latm", "aac_latm"},
                                                     {"ac3", "ac3"},
                                                     {"eac3", "eac3"},
                                                     {"ac3-atsc", "ac3"},
                                                     {"eac3-atsc", "eac3"},
                                                     {"teletext", "dvb_teletext"},
                                                     {"subtitles", "dvb_subtitle"},
                                                     {"scte35", "scte_35"},
                                                     {"private-data", "bin_data"},
                                                     {"private-sections", "unknown"}};

nlohmann::json probe(const std::string& file) {
    const auto result =
        run_command("ffprobe -v quiet -of json -show_programs -show_format '" + file + "'");
    REQUIRE(result.status == 0);
    return nlohmann::json::parse(result.output);
}

// Both a demuxer's and the decoders' complaints.
std::string complaints(const std::string& file) {
    return run_command("ffmpeg -v warning -ignore_unknown -i '" + file +
                       "' -map 0 -c copy -f null - 2>&1")
               .output +
           run_command("ffmpeg -v warning -i '" + file + "' -f null - 2>&1").output;
}

}  // namespace

TEST_CASE("FFmpeg reads the planned programmes, PIDs, codecs, languages and names", "[outside]") {
    const TempFolder folder;
    write_text(folder.file("plan.toml"), plan_text(every_kind()));
    REQUIRE(
        run_rehearse(folder.file("plan.toml") + " --for 6s --write " + folder.file("out")).status ==
        0);
    for (const auto& flow : every_kind()) {
        const auto seen = probe(folder.file("out/" + flow.channel + ".ts"));
        REQUIRE(seen["programs"].size() == 1);
        const auto& programme = seen["programs"][0];
        CHECK(programme["program_num"] == flow.program_number.value);
        CHECK(programme["pmt_pid"] == flow.pmt_pid.value());
        CHECK(programme["pcr_pid"] == flow.pcr_pid.value());
        CHECK(programme["tags"]["service_name"] == flow.service_name);
        CHECK(programme["tags"]["service_provider"] == flow.provider);
        REQUIRE(programme["streams"].size() == flow.components.size());
        for (std::size_t i = 0; i < flow.components.size(); ++i) {
            const auto& stream = programme["streams"][i];
            INFO("channel " << flow.channel << ", " << flow.components[i].kind);
            CHECK(stream["id"] == fmt::format("{:#x}", flow.components[i].pid.value()));
            CHECK(stream.value("codec_name", "unknown") == kCodecNames.at(flow.components[i].kind));
            const auto tags = stream.value("tags", nlohmann::json::object());
            CHECK(tags.value("language", "") == flow.components[i].language);
        }
    }
}

TEST_CASE("FFmpeg demuxes and decodes the streams without a complaint", "[outside]") {
    std::vector<Expectation> flows = every_kind();
    flows[4].components.pop_back();  // of private sections FFmpeg says that it does not know them
    const TempFolder folder;
    write_text(folder.file("plan.toml"), plan_text(flows));
    REQUIRE(
        run_rehearse(folder.file("plan.toml") + " --for 6s --write " + folder.file("out")).status ==
        0);
    for (const auto& flow : flows) {
        INFO("channel " << flow.channel);
        CHECK(complaints(folder.file("out/" + flow.channel + ".ts")) == "");
    }
}

TEST_CASE("FFmpeg hears of each continuity break", "[outside]") {
    const TempFolder folder;
    write_text(folder.file("plan.toml"), plan_text({television()}));
    REQUIRE(run_rehearse(folder.file("plan.toml") + " --for 4s --fault 101:continuity@1s --write " +
                         folder.file("out"))
                .status == 0);
    const auto said = run_command(
        "ffmpeg -v debug -probesize 200000 -i '" + folder.file("out/101.ts") +
        "' -map 0 -c copy -f null - 2>&1 | grep -c 'Continuity check failed for pid 257'");
    CHECK(said.output == "3\n");
}

TEST_CASE("a played file is read by FFmpeg over its loops without a complaint", "[outside]") {
    const TempFolder folder;
    const std::string file = folder.file("own.ts");
    // Five seconds, constant rate; ends between access units as a made stream does.
    write_text(folder.file("plan.toml"), plan_text({television()}));
    REQUIRE(
        run_rehearse(folder.file("plan.toml") + " --for 5s --write " + folder.file("one")).status ==
        0);
    std::filesystem::rename(folder.file("one/101.ts"), file);
    // 20 s of it: the last pass ends with the file, so that nothing is cut off.
    REQUIRE(run_rehearse(folder.file("plan.toml") + " --for 20s --play 101=" + file + " --write " +
                         folder.file("out"))
                .status == 0);
    CHECK(complaints(folder.file("out/101.ts")) == "");
    const double length_s =
        std::stod(probe(folder.file("out/101.ts"))["format"]["duration"].get<std::string>());
    CHECK(length_s == Approx(20.0).margin(0.2));
}
