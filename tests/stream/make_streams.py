#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Makes transport streams with FFmpeg, and beside each what ffprobe and a bare count say of it.

    make_streams.py DIRECTORY    writes NAME.ts and NAME.json for each, and streams.json (the names)
"""
import json
import pathlib
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
    "pcr_period": (M2 + MP2 + ["-muxrate", "3M", "-pcr_period", "40"], {}),
}


def count_packets(path):
    data = path.read_bytes()
    packets, pcrs = {}, {}
    for at in range(0, len(data), 188):
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
    probe = subprocess.run(
        ["ffprobe", "-v", "error", "-show_programs", "-show_streams", "-of", "json", str(path)],
        check=True, capture_output=True)
    facts = json.loads(probe.stdout)
    facts.update(count_packets(path))
    (folder / f"{title}.json").write_text(json.dumps(facts))


def main():
    folder = pathlib.Path(sys.argv[1])
    for title, (options, differs) in STREAMS.items():
        make(folder, title, options, differs)
    (folder / "streams.json").write_text(json.dumps(list(STREAMS)))


if __name__ == "__main__":
    main()
