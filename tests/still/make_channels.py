#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Writes FOLDER/channels.pcap and plan.toml: one channel for each transport stream, bare in UDP, all at the same
steady pace; the stream named - is silent.

usage: make_channels.py FOLDER NAME=STREAM.ts...
"""
import struct
import sys

folder, channels = sys.argv[1], [a.split("=", 1) for a in sys.argv[2:]]
STEP = 2_000_000  # ns between two datagrams of a channel
START = 1_700_000_000_000_000_000


def frame(n, payload):
    udp = struct.pack(">HHHH", 5004, 5004, 8 + len(payload), 0) + payload
    ip = struct.pack(">BBHHHBBH4s4s", 0x45, 0x60, 20 + len(udp), 0, 0x4000, 8, 17, 0, bytes([10, 0, 0, 1]), bytes([239, 192, 1, n]))
    return bytes.fromhex("01005e4001%02x020000000001" % n) + b"\x08\x00" + ip + udp


frames = []
for n, (name, stream) in enumerate(channels, 1):
    data = b"" if stream == "-" else open(stream, "rb").read()
    frames += [(START + i * STEP + n * 1000, frame(n, data[i * 1316:(i + 1) * 1316])) for i in range(len(data) // 1316)]
with open(f"{folder}/channels.pcap", "wb") as out:
    out.write(struct.pack("<IHHiIII", 0xA1B23C4D, 2, 4, 0, 0, 65535, 1))
    for at, data in sorted(frames):
        out.write(struct.pack("<IIII", at // 10**9, at % 10**9, len(data), len(data)) + data)
with open(f"{folder}/plan.toml", "w") as out:
    out.write('schema = "mastline-plan 1"\nvenue = "Still Life"\nrevision = "1"\n')
    for n, (name, stream) in enumerate(channels, 1):
        out.write(f'''[[flow]]
channel = "{n}"
name = "{name}"
group = "239.192.1.{n}"
port = 5004
source = "10.0.0.1"
encapsulation = "udp"
packets_per_datagram = 7
rate = "5 Mbit/s"
rate_low = "1 Mbit/s"
rate_high = "9 Mbit/s"
ttl = 8
dscp = 24
transport_stream_id = 1
program_number = 1
service_name = "Service01"
pmt_pid = 4096
pcr_pid = 256
parts = []
component = [{{ pid = 256, kind = "h264" }}]
''')
