#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Writes a plan of invented channels.

usage: make_plan.py CHANNELS [MEGABITS [rtp|udp [any-source|source-specific|ipv6]]]

Two channels share a card, ten a chassis. Every third channel is HEVC with AC-3.
"""
import sys

arguments = sys.argv[1:] + [""] * 4
count = int(arguments[0])
rate = float(arguments[1] or 4)
encapsulation = arguments[2] or "rtp"
kind = arguments[3] or "any-source"
source = "fd99::1" if kind == "ipv6" else "10.99.0.1"


def group(n):
    if kind == "ipv6":
        return f"ff15::db8:{n:x}"
    return f"{232 if kind == 'source-specific' else 239}.192.{10 + n // 200}.{n % 200 + 1}"


print('schema = "mastline-plan 1"\nvenue = "Rehearsal Hall"\nrevision = "test"\n')
for n in range(1, count + 1):
    third = n % 3 == 0
    print(f'''[[flow]]
channel = "{100 + n}"
name = "Channel {n}"
group = "{group(n)}"
port = 5004
source = "{source}"
source_specific = {"true" if kind == "source-specific" else "false"}
encapsulation = "{encapsulation}"
packets_per_datagram = 7
rate = "{rate} Mbit/s"
rate_low = "{rate * 0.95:.3f} Mbit/s"
rate_high = "{rate * 1.05:.3f} Mbit/s"
ttl = 8
dscp = 24
transport_stream_id = {n}
program_number = {n}
service_name = "Service {n}"
provider = "House"
pmt_pid = 256
pcr_pid = 257
parts = ["card:{(n - 1) // 2 + 1}", "chassis:{(n - 1) // 10 + 1}", "switch:core"]
[[flow.component]]
pid = 257
kind = "{"hevc" if third else "h264"}"
[[flow.component]]
pid = 258
kind = "{"ac3" if third else "mpeg1-audio"}"
language = "eng"
''')
