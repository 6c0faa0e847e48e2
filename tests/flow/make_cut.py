#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Writes FOLDER/KIND-SNAPLEN.pcap for kinds udp and rtp: one stream of FFmpeg in datagrams of seven packets at a steady
pace, as captures that keep SNAPLEN bytes of each frame hold it; lossy-SNAPLEN.pcap is rtp without ten datagrams.
The truth goes to truth.json.

usage: make_cut.py FOLDER STREAM.ts SNAPLEN...
"""
import json
import struct
import sys

folder, stream, snaplens = sys.argv[1], open(sys.argv[2], "rb").read(), [int(s) for s in sys.argv[3:]]
stream = stream[: len(stream) // 1316 * 1316]
count = len(stream) // 1316
lost = set(range(100, 105)) | set(range(200, 205))
STEP = 3_000_000  # ns


def frame(payload):
    udp = struct.pack(">HHHH", 5004, 5004, 8 + len(payload), 0) + payload
    ip = struct.pack(">BBHHHBBH4s4s", 0x45, 0x60, 20 + len(udp), 0, 0x4000, 8, 17, 0, bytes([10, 0, 0, 1]), bytes([239, 192, 1, 1]))
    return bytes.fromhex("01005e400101020000000001") + b"\x08\x00" + ip + udp


for kind in ("udp", "rtp", "lossy"):
    for snaplen in snaplens:
        with open(f"{folder}/{kind}-{snaplen}.pcap", "wb") as out:
            out.write(struct.pack("<IHHiIII", 0xA1B23C4D, 2, 4, 0, 0, snaplen, 1))
            for n in range(count):
                if kind == "lossy" and n in lost:
                    continue
                at = 1_700_000_000_000_000_000 + n * STEP
                head = b"" if kind == "udp" else struct.pack(">BBHII", 0x80, 33, (65500 + n) & 0xFFFF, n * 270, 7)
                data = frame(head + stream[n * 1316:(n + 1) * 1316])
                out.write(struct.pack("<IIII", at // 10**9, at % 10**9, min(snaplen, len(data)), len(data)))
                out.write(data[:snaplen])
json.dump({
    "datagrams": count,
    "bits_per_second": 1316 * 8 * 10**9 / STEP,
    "lost": len(lost),
    "packets": {kind: {s: count * max(0, (s - 42 - (0 if kind == "udp" else 12)) // 188) for s in snaplens} for kind in ("udp", "rtp")},
}, open(f"{folder}/truth.json", "w"))
