#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Writes FOLDER/made.pcap, plan.toml and truth.json: datagrams of null packets at known times, with two silences and
three lost datagrams, and what each quarter of a second of it holds.

usage: make_course.py FOLDER
"""
import json
import random
import struct
import sys

from scapy.all import IP, UDP, Ether, Raw

folder = sys.argv[1]
random.seed(7)
NULL = bytes([0x47, 0x1F, 0xFF, 0x10]) + bytes(184)
CELL = 250_000_000  # ns
START = 1_700_000_000_100_000_000

frames, sequence, at, last = [], 0, START, None
cells = {}
lost = {900, 901, 2000}
for n in range(4000):
    at += random.randrange(500, 4000) * 1000
    if n in (1500, 3000):
        at += 1_700_000_000
    packets = random.choice([1, 4, 7])
    if n not in lost:
        rtp = struct.pack(">BBHII", 0x80, 33, n & 0xFFFF, 0, 99)
        frames.append(Ether(src="02:00:00:00:00:01", dst="01:00:5e:40:01:01") / IP(src="10.0.0.1", dst="239.192.1.1", ttl=8)
                      / UDP(sport=5004, dport=5004) / Raw(rtp + NULL * packets))
        frames[-1].at = at
        cell = cells.setdefault(at // CELL, {"bytes": 0, "gap": 0, "loss": 0, "steady": 0})
        cell["bytes"] += 12 + 188 * packets
        if last is not None:
            cell["gap"] = max(cell["gap"], at - last)
            cell["steady"] += at - last > 1_000_000_000
        if n - 1 in lost:
            cell["loss"] += 1
        last = at

# Times in nanoseconds, which scapy's floats do not keep: the file is written by hand (libpcap's format).
with open(f"{folder}/made.pcap", "wb") as out:
    out.write(struct.pack("<IHHiIII", 0xA1B23C4D, 2, 4, 0, 0, 65535, 1))
    for frame in frames:
        data = bytes(frame)
        out.write(struct.pack("<IIII", frame.at // 10**9, frame.at % 10**9, len(data), len(data)))
        out.write(data)
with open(f"{folder}/plan.toml", "w") as out:
    out.write('''schema = "mastline-plan 1"
venue = "Made"
revision = "1"
[[flow]]
channel = "1"
name = "One"
group = "239.192.1.1"
port = 5004
source = "10.0.0.1"
encapsulation = "rtp"
packets_per_datagram = 7
rate = "3 Mbit/s"
rate_low = "1 Mbit/s"
rate_high = "9 Mbit/s"
ttl = 8
dscp = 24
transport_stream_id = 1
program_number = 1
service_name = "One"
pmt_pid = 256
pcr_pid = 257
parts = []
component = [{ pid = 257, kind = "h264" }]
''')

# RFC 4445 section 3.1: the virtual buffer of each second drains at the planned rate; a second ends with the first
# arrival that is no part of it.
RATE = 3_000_000 / 8
start, total, least, most = None, 0, 0.0, 0.0
factors = {}
for frame in frames:
    size = len(frame[Raw].load) - 12
    if start is None:
        start = frame.at
    if frame.at - start >= 10**9:
        factors[frame.at // CELL] = max(factors.get(frame.at // CELL, 0), (most - least) / RATE * 1000)
        start, total, least, most = frame.at, 0, 0.0, 0.0
    drained = RATE * (frame.at - start) / 10**9
    least, most = min(least, total - drained), max(most, total - drained)
    total += size
    least, most = min(least, total - drained), max(most, total - drained)

first, end = min(cells), max(cells) + 1
empty = {"bytes": 0, "gap": 0, "loss": 0, "steady": 0}
rows = [cells.get(n, empty) for n in range(first, end)]
json.dump({
    "start_ns": first * CELL,
    "cell_ms": 250.0,
    "bytes": [row["bytes"] for row in rows],
    "longest_gap_ms": [row["gap"] / 1e6 for row in rows],
    "delay_factor_ms": [factors.get(n) for n in range(first, end)],
    "faults": [{"cell": i, "count": row["loss"] + row["steady"], "checks": ["flow.loss"] * bool(row["loss"]) + ["flow.steady"] * bool(row["steady"])}
               for i, row in enumerate(rows) if row["loss"] + row["steady"]],
}, open(f"{folder}/truth.json", "w"))
