#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Makes transport streams with FFmpeg and GStreamer, and beside each what ffprobe and a bare count say of it.

    make_streams.py ffmpeg|gstreamer DIRECTORY    writes NAME.ts and NAME.json for each, and streams.json (the names)
"""
import concurrent.futures
import json
import pathlib
import shlex
import subprocess
import sys

VIDEO = ["-f", "lavfi", "-i", "testsrc2=size={size}:rate={rate}:duration={seconds}"]
AUDIO = ["-f", "lavfi", "-i", "sine=frequency=440:sample_rate={hertz}:duration={seconds}"]
M2, AVC, HEVC = ["-c:v", "mpeg2video"], ["-c:v", "libx264", "-preset", "ultrafast"], [
    "-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=none:repeat-headers=1"]
MP2, AAC, AC3, EAC3 = ["-c:a", "mp2"], ["-c:a", "aac"], ["-c:a", "ac3"], ["-c:a", "eac3"]


def name(text):
    return ["-metadata", "service_name=" + text, "-metadata", "service_provider=House"]


def programmes(count):
    out = []
    for _ in range(count):
        out += ["-map", "0", "-map", "1"]
    for n in range(count):
        out += ["-program", f"title=Channel {n + 1}:program_num={n + 11}:st={2 * n}:st={2 * n + 1}"]
    return out


# name: codecs and muxer options, then what differs of the sources
STREAMS = {
    "mpeg2_mp2": (M2 + MP2 + name("Arena"), {}),
    "mpeg2_b_frames": (M2 + ["-bf", "2"] + MP2, {}),
    "mpeg2_interlaced": (M2 + ["-flags", "+ildct+ilme", "-top", "1"] + MP2, {"size": "720x576"}),
    "mpeg2_422": (M2 + ["-pix_fmt", "yuv422p"] + MP2, {}),
    "mpeg1_mp2": (["-c:v", "mpeg1video"] + MP2, {}),
    "avc_aac": (AVC + AAC, {}),
    "avc_main_b_frames": (["-c:v", "libx264", "-profile:v", "main", "-bf", "3"] + AAC, {}),
    "avc_high_cropped": (["-c:v", "libx264", "-profile:v", "high"] + AAC, {"size": "360x202"}),
    "avc_interlaced": (["-c:v", "libx264", "-x264opts", "tff=1"] + MP2, {"size": "720x576"}),
    "avc_10_bit": (["-c:v", "libx264", "-pix_fmt", "yuv420p10le"] + AAC, {}),
    "avc_720p50": (AVC + AAC, {"size": "1280x720", "rate": "50", "seconds": "1"}),
    "avc_1080p": (AVC + AC3, {"size": "1920x1080", "rate": "30000/1001", "seconds": "1"}),
    "hevc_aac": (HEVC + AAC, {}),
    "hevc_main_10": (HEVC + ["-pix_fmt", "yuv420p10le"] + AC3, {}),
    "hevc_cropped": (HEVC + EAC3, {"size": "360x202", "rate": "60000/1001"}),
    "rate_24": (M2 + MP2, {"rate": "24"}),
    "rate_2997": (M2 + MP2, {"rate": "30000/1001"}),
    "rate_50": (AVC + MP2, {"rate": "50"}),
    "mp3": (M2 + ["-c:a", "libmp3lame"], {}),
    "ac3": (M2 + AC3, {"hertz": "48000"}),
    "ac3_5_1": (M2 + AC3 + ["-ac", "6"], {"hertz": "48000"}),
    "eac3_5_1": (AVC + EAC3 + ["-ac", "6"], {"hertz": "48000"}),
    "ac3_dvb": (M2 + AC3 + ["-mpegts_flags", "system_b"], {}),
    "eac3_dvb": (M2 + EAC3 + ["-mpegts_flags", "system_b"], {}),
    "aac_5_1": (AVC + AAC + ["-ac", "6"], {"hertz": "48000"}),
    "aac_latm": (AVC + AAC + ["-mpegts_flags", "latm"], {}),
    "stereo_32_khz": (M2 + MP2 + ["-ac", "2"], {"hertz": "32000"}),
    "sound_24_khz": (M2 + MP2, {"hertz": "24000"}),
    "opus": (M2 + ["-c:a", "libopus"], {"hertz": "48000"}),
    "video_alone": (M2 + ["-an"], {}),
    "sound_alone": (["-vn"] + MP2, {}),
    "radio_type": (["-vn"] + MP2 + ["-mpegts_service_type", "digital_radio"], {}),
    "muxrate_2": (M2 + ["-b:v", "800k"] + MP2 + ["-muxrate", "2M"], {}),
    "muxrate_4_avc": (AVC + ["-b:v", "1M"] + AAC + ["-muxrate", "4M"], {}),
    "muxrate_10": (M2 + ["-b:v", "3M"] + MP2 + ["-muxrate", "10M"], {}),
    "muxrate_38": (M2 + MP2 + ["-muxrate", "38014706"], {}),
    "two_programmes": (programmes(2) + M2 + MP2 + ["-muxrate", "6M"], {}),
    "four_programmes": (programmes(4) + M2 + MP2 + ["-muxrate", "12M"], {}),
    "four_programmes_free": (programmes(4) + AVC + AAC, {}),
    "pids": (M2 + MP2 + ["-mpegts_start_pid", "0x1F0", "-mpegts_pmt_start_pid", "0x50"], {}),
    "ids": (M2 + MP2 + ["-mpegts_service_id", "0x65", "-mpegts_transport_stream_id", "0x1234",
                        "-mpegts_original_network_id", "0x22"], {}),
    "languages": (["-map", "0", "-map", "1", "-map", "1", "-metadata:s:a:0", "language=eng",
                   "-metadata:s:a:1", "language=nor"] + M2 + MP2, {}),
    "name_latin": (M2 + MP2 + name("Ärena Søndag"), {}),
    "name_greek": (M2 + MP2 + name("Κανάλι Ένα"), {}),
    "name_cyrillic": (M2 + MP2 + name("Канал 1"), {}),
    "name_chinese": (M2 + MP2 + name("体育场"), {}),
    "nit": (M2 + MP2 + ["-mpegts_flags", "nit"], {}),
    "disc": (AVC + AC3 + ["-mpegts_m2ts_mode", "1"], {"hertz": "48000"}),
    "mpeg4_video": (["-c:v", "mpeg4"] + MP2, {}),
    "mpeg4_interlaced": (["-c:v", "mpeg4", "-flags", "+ildct+ilme"] + MP2, {"size": "720x576"}),
    "dts": (AVC + ["-c:a", "dca", "-strict", "-2", "-ac", "6"], {"hertz": "48000"}),
    "dts_mono": (M2 + ["-c:a", "dca", "-strict", "-2"], {"hertz": "44100"}),
    "dts_quad": (M2 + ["-c:a", "dca", "-strict", "-2", "-channel_layout", "quad(side)"], {"hertz": "32000"}),
    "disc_eac3": (AVC + EAC3 + ["-mpegts_m2ts_mode", "1"], {"hertz": "48000"}),
    "aac_ltp": (AVC + AAC + ["-profile:a", "aac_ltp", "-strict", "-2"], {"hertz": "48000"}),
    "sound_302": (AVC + ["-c:a", "s302m", "-strict", "-2", "-ac", "4"], {"hertz": "48000"}),
    "opus_5_1": (M2 + ["-c:a", "libopus", "-ac", "6"], {"hertz": "48000"}),
    "aac_in_the_block": (AVC + AAC + ["-channel_layout", "hexagonal"], {"hertz": "48000"}),
    "latm_5_1": (AVC + AAC + ["-ac", "6", "-mpegts_flags", "latm"], {"hertz": "48000"}),
    "latm_in_the_block": (AVC + AAC + ["-channel_layout", "hexagonal", "-mpegts_flags", "latm"], {"hertz": "32000"}),
    "mp3_16_khz": (M2 + ["-c:a", "libmp3lame"], {"hertz": "16000"}),
    "mp3_8_khz": (M2 + ["-c:a", "libmp3lame"], {"hertz": "8000"}),
    "ac3_3_1": (M2 + AC3 + ["-channel_layout", "4.0"], {"hertz": "32000"}),
    "ac3_2_1": (M2 + AC3 + ["-channel_layout", "2.1"], {"hertz": "44100"}),
    "avc_422": (["-c:v", "libx264", "-pix_fmt", "yuv422p"] + AAC, {}),
    "avc_444": (["-c:v", "libx264", "-pix_fmt", "yuv444p"] + AAC, {"size": "330x250"}),
    "avc_1080_interlaced": (["-c:v", "libx264", "-preset", "ultrafast", "-x264opts", "bff=1"] + AC3,
                            {"size": "1920x1080", "seconds": "1"}),
    "hevc_422": (HEVC + ["-pix_fmt", "yuv422p10le"] + AAC, {}),
    "hevc_fields": (HEVC[:-1] + [HEVC[-1] + ":interlace=tff"] + AAC, {"size": "720x576"}),
    "mpeg2_wide": (M2 + MP2, {"size": "4992x128", "seconds": "1"}),
    "version_5": (M2 + MP2 + ["-tables_version", "5"], {}),
    "rare_tables": (M2 + MP2 + ["-pat_period", "0.4", "-sdt_period", "1.5"], {}),
    "clock_wraps": (M2 + MP2 + ["-muxrate", "2M", "-output_ts_offset", "95442.2"], {}),
    "pcr_period": (M2 + MP2 + ["-muxrate", "3M", "-pcr_period", "40"], {}),
}


# Elementary streams for GStreamer, whose own encoders cannot be used for them with Debian's FFmpeg.
ELEMENTARY = {
    "video.m2v": M2,
    "video.m1v": ["-c:v", "mpeg1video"],
    "sound.mp2": ["-c:a", "mp2", "-ac", "2", "-ar", "48000"],
    "sound_24.mp2": ["-c:a", "mp2", "-ar", "24000"],
    "sound.dts": ["-c:a", "dca", "-strict", "-2", "-ac", "6", "-ar", "48000"],
}
GST_M2 = "filesrc location={folder}/video.m2v ! mpegvideoparse"
GST_MP2 = "filesrc location={folder}/sound.mp2 ! mpegaudioparse"
GST_AVC = ("videotestsrc num-buffers=50 ! video/x-raw,format=I420,width=352,height=288,framerate=25/1 ! "
           "x264enc speed-preset=ultrafast key-int-max=25 bitrate=800 ! h264parse")
GST_HEVC = ("videotestsrc num-buffers=60 ! video/x-raw,format=I420,width=640,height=360,framerate=30000/1001 ! "
            "x265enc speed-preset=ultrafast key-int-max=30 bitrate=800 ! h265parse")
GST_SOUND = "audiotestsrc num-buffers=94 ! audio/x-raw,rate=48000,channels={channels} ! audioconvert ! "
GST_AAC = GST_SOUND + "avenc_aac ! aacparse"
GST_AC3 = GST_SOUND + "avenc_ac3 ! ac3parse"
GST_MP3 = GST_SOUND + "lamemp3enc ! mpegaudioparse"
GST_OPUS = GST_SOUND + "opusenc"

# name: options of the multiplexer, elements in front of each of its inputs, then what differs
GSTREAMER = {
    "gst_mpeg2_mp2": ("", [GST_M2, GST_MP2], {}),
    "gst_mpeg1_mp2": ("", ["filesrc location={folder}/video.m1v ! mpegvideoparse", GST_MP2], {}),
    "gst_mpeg4_video": ("", ["videotestsrc num-buffers=50 ! video/x-raw,width=352,height=288,framerate=25/1 ! "
                             "avenc_mpeg4 ! mpeg4videoparse config-interval=-1"], {}),
    "gst_avc_aac": ("", [GST_AVC, GST_AAC], {}),
    "gst_avc_aac_5_1": ("", [GST_AVC, GST_AAC], {"channels": 6}),
    "gst_hevc_ac3": ("", [GST_HEVC, GST_AC3], {}),
    "gst_hevc_ac3_5_1": ("", [GST_HEVC, GST_AC3], {"channels": 6}),
    "gst_mp3": ("", [GST_M2, GST_MP3], {}),
    "gst_sound_24_khz": ("", ["filesrc location={folder}/sound_24.mp2 ! mpegaudioparse"], {}),
    "gst_opus": ("", [GST_AVC, GST_OPUS], {}),
    "gst_opus_5_1": ("", [GST_AVC, GST_OPUS], {"channels": 6}),
    "gst_dts": ("", [GST_AVC, "filesrc location={folder}/sound.dts ! dcaparse"], {}),
    "gst_constant_rate": ("bitrate=4000000", [GST_AVC, GST_AAC], {}),
    "gst_intervals": ("bitrate=3000000 pcr-interval=1800 pat-interval=4500 pmt-interval=4500 si-interval=4500",
                      [GST_M2, GST_MP2], {}),
    "gst_cues": ("scte-35-pid=500 scte-35-null-interval=45000", [GST_AVC, GST_AAC], {}),
    "gst_subtitles": ("", [GST_AVC, "videotestsrc num-buffers=20 pattern=solid-color foreground-color=0x80ffffff ! "
                           "video/x-raw,format=AYUV,width=320,height=240,framerate=10/1 ! dvbsubenc"], {}),
    "gst_two_programmes": (
        'prog-map="program_map,sink_300=11,sink_301=11,sink_400=12,sink_401=12,PMT_11=256,PMT_12=288"',
        [("sink_300", GST_M2), ("sink_301", GST_MP2), ("sink_400", GST_AVC), ("sink_401", GST_AC3)], {}),
    "gst_atsc": ("", [GST_M2, GST_AC3], {"muxer": "atscmux"}),
    "gst_192_bytes": ("m2ts-mode=true", [GST_AVC, GST_AC3], {}),
}


def count_packets(path):
    data = path.read_bytes()
    packets, pcrs = {}, {}
    first = 0 if data[0] == 0x47 else 4  # 192 bytes: a stamp in front of each packet
    for at in range(first, len(data), 188 + first):
        assert data[at] == 0x47
        pid = (data[at + 1] << 8 | data[at + 2]) & 0x1FFF
        packets[pid] = packets.get(pid, 0) + 1
        if data[at + 3] & 0x20 and data[at + 4] and data[at + 5] & 0x10:
            pcrs[pid] = pcrs.get(pid, 0) + 1
    return {"packets": packets, "pcrs": pcrs}


def make(folder, title, options, differs):
    source = {"size": "352x288", "rate": "25", "hertz": "44100", "seconds": "2", **differs}
    path = folder / f"{title}.ts"
    command = ["ffmpeg", "-nostdin", "-loglevel", "error", "-y", "-threads", "1"]
    command += [part.format(**source) for part in VIDEO + AUDIO]
    # A constant key-frame distance, so that there are several access points.
    command += ["-g", "25"] + options + ["-f", "mpegts", str(path)]
    subprocess.run(command, check=True, stderr=subprocess.DEVNULL)
    write_facts(path)


def make_with_gstreamer(folder, title, options, inputs, differs):
    path = folder / f"{title}.ts"
    given = {"folder": folder, "channels": 2, "muxer": "mpegtsmux", **differs}
    command = f"gst-launch-1.0 -q {given['muxer']} name=mux {options} ! filesink location={path}"
    for each in inputs:
        pad, elements = each if isinstance(each, tuple) else ("", each)
        command += f" {elements.format(**given)} ! queue ! mux.{pad}"
    made = subprocess.run(shlex.split(command), capture_output=True, text=True)
    if made.returncode != 0:
        raise SystemExit(f"{title}: {made.stdout}{made.stderr}")
    write_facts(path)


def write_facts(path):
    probe = subprocess.run(
        ["ffprobe", "-v", "error", "-show_programs", "-show_streams", "-of", "json", str(path)],
        check=True, capture_output=True)
    facts = json.loads(probe.stdout)
    facts.update(count_packets(path))
    path.with_suffix(".json").write_text(json.dumps(facts))


def make_elementary(folder):
    sources = [part.format(size="352x288", rate="25", hertz="48000", seconds="2") for part in VIDEO + AUDIO]
    for title, options in ELEMENTARY.items():
        subprocess.run(["ffmpeg", "-nostdin", "-loglevel", "error", "-y"] + sources + ["-g", "25"] + options +
                       [str(folder / title)], check=True)


def main():
    maker, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    workers = concurrent.futures.ThreadPoolExecutor(2)
    if maker == "ffmpeg":
        made = [workers.submit(make, folder, title, *rest) for title, rest in STREAMS.items()]
    else:
        make_elementary(folder)
        made = [workers.submit(make_with_gstreamer, folder, title, *rest) for title, rest in GSTREAMER.items()]
    for each in made:
        each.result()
    (folder / "streams.json").write_text(json.dumps(list(STREAMS if maker == "ffmpeg" else GSTREAMER)))


if __name__ == "__main__":
    main()
