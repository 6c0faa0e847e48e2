#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes recorded_units.hpp: the access units that the rehearsal repeats.

Each is one grey picture of 176x144 or one silent audio frame, encoded by FFmpeg. They are kept in
the repository so that a build needs no encoder; run this again only to change them.
"""
import pathlib
import re
import subprocess

PICTURE = ["-f", "lavfi", "-i", "color=c=gray:s=176x144:r=25", "-frames:v", "2", "-pix_fmt",
           "yuv420p"]
SILENCE = ["-f", "lavfi", "-i", "anullsrc=r=48000:cl=stereo", "-t", "0.5"]
SILENCE_24K = ["-f", "lavfi", "-i", "anullsrc=r=24000:cl=stereo", "-t", "0.5"]


def encode(*options):
    command = ["ffmpeg", "-loglevel", "error", "-bitexact", *options, "-"]
    return subprocess.run(command, check=True, stdout=subprocess.PIPE).stdout


def nal_units(stream):
    return [n for n in re.split(rb"\x00\x00\x00\x01|\x00\x00\x01", stream) if n]


def pictures(stream, delimiter, unwanted):
    """Byte-stream access units, each opened by its delimiter; without the unwanted kinds of NAL."""
    units = []
    for nal in nal_units(stream):
        kind = nal[0]
        if kind == delimiter:
            units.append(b"")
        if kind not in unwanted:
            units[-1] += b"\x00\x00\x00\x01" + nal
    return units


def avc():
    stream = encode(*PICTURE, "-c:v", "libx264", "-profile:v", "main", "-level", "4.0",
                    "-x264-params", "keyint=1:aud=1:repeat-headers=1", "-f", "h264")
    return pictures(stream, 0x09, {0x06})  # SEI names the encoder


def hevc():
    stream = encode(*PICTURE, "-c:v", "libx265", "-x265-params",
                    "keyint=1:aud=1:repeat-headers=1:info=0:level-idc=4.1:log-level=error",
                    "-f", "hevc")
    return pictures(stream, 0x46, set())


def sequence_parts(stream):
    """MPEG-1 and MPEG-2 video: one sequence header, one picture."""
    starts = [m.start() for m in re.finditer(rb"\x00\x00\x01\xb3", stream)]
    return bytearray(stream[:starts[1]])


def mpeg2_video():
    unit = sequence_parts(encode(*PICTURE, "-c:v", "mpeg2video", "-g", "1", "-qscale:v", "2",
                                 "-f", "mpeg2video"))
    # Main profile at high level, its greatest bit_rate (80 Mbit/s in units of 400 bit/s) and
    # vbv_buffer_size (9,781,248 bits in units of 16,384): any planned rate is within them.
    bit_rate, vbv = 200_000, 597
    word = (bit_rate << 14) | (1 << 13) | (vbv << 3)
    unit[8:12] = word.to_bytes(4, "big")
    at = unit.index(b"\x00\x00\x01\xb5\x14\x8a")
    unit[at + 5] = 0x4A  # profile_and_level_indication 0x44, progressive_sequence, chroma 4:2:0
    return bytes(unit)


def mpeg1_video():
    return bytes(sequence_parts(encode(*PICTURE, "-c:v", "mpeg1video", "-g", "1", "-qscale:v", "2",
                                       "-f", "mpeg1video")))


def frame(stream, index, marker):
    """The index-th frame of a stream whose frames start with a marker."""
    starts = [m.start() for m in re.finditer(re.escape(marker), stream)]
    return stream[starts[index]:starts[index + 1]]


def units():
    h264 = avc()
    yield "kAvcPictureA", h264[0]
    yield "kAvcPictureB", h264[1]  # differs in idr_pic_id, as two IDR pictures in a row must
    yield "kHevcPicture", hevc()[0]
    yield "kMpeg2Picture", mpeg2_video()
    yield "kMpeg1Picture", mpeg1_video()
    yield "kLayer2Frame", frame(encode(*SILENCE, "-c:a", "mp2", "-b:a", "64k", "-f", "mp2"),
                                4, b"\xff\xfd")
    yield "kLayer2HalfRateFrame", frame(
        encode(*SILENCE_24K, "-c:a", "mp2", "-b:a", "64k", "-f", "mp2"), 4, b"\xff\xf5")
    yield "kAdtsFrame", frame(encode(*SILENCE, "-c:a", "aac", "-b:a", "64k", "-f", "adts"),
                              4, b"\xff\xf1")
    yield "kLatmFrame", frame(encode(*SILENCE, "-c:a", "aac", "-b:a", "64k", "-smc-interval", "1",
                                     "-f", "latm"), 4, b"\x56\xe0")
    yield "kAc3Frame", frame(encode(*SILENCE, "-c:a", "ac3", "-b:a", "96k", "-f", "ac3"),
                             4, b"\x0b\x77")
    yield "kEac3Frame", frame(encode(*SILENCE, "-c:a", "eac3", "-b:a", "96k", "-f", "eac3"),
                              4, b"\x0b\x77")


def array(name, data):
    lines = [f"inline constexpr std::array<std::uint8_t, {len(data)}> {name}{{{{"]
    for at in range(0, len(data), 16):
        lines.append("    " + " ".join(f"0x{b:02X}," for b in data[at:at + 16]))
    return "\n".join(lines) + "\n}};\n"


def main():
    text = ("// SPDX-License-Identifier: Apache-2.0\n"
            "// Written by record_units.py; do not edit. One grey picture or silent frame each.\n"
            "#pragma once\n\n#include <array>\n#include <cstdint>\n\nnamespace mastline {\n\n")
    text += "\n".join(array(name, data) for name, data in units())
    text += "\n}  // namespace mastline\n"
    (pathlib.Path(__file__).parent / "recorded_units.hpp").write_text(text)


main()
