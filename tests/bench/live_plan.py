#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes a plan of many like flows: live_plan.py COUNT RATE, the rate in Mbit/s, to standard output."""
import sys

FLOW = """
[[flow]]
channel = "{channel}"
name = "Channel {channel}"
group = "239.192.{high}.{low}"
port = 5004
source = "10.99.0.1"
encapsulation = "rtp"
packets_per_datagram = 7
rate = "{rate} Mbit/s"
rate_low = "{rate_low} Mbit/s"
rate_high = "{rate_high} Mbit/s"
ttl = 16
dscp = 34
transport_stream_id = {channel}
program_number = 1
service_name = "Channel {channel}"
pmt_pid = 256
pcr_pid = 257
component = [{{pid = 257, kind = "h264"}}, {{pid = 258, kind = "aac", language = "eng"}}]
parts = []
"""

count, rate = int(sys.argv[1]), float(sys.argv[2])
print('schema = "mastline-plan 1"\nvenue = "Bench"\nrevision = "bench"')
for n in range(count):
    print(FLOW.format(channel=n + 1, high=1 + n // 200, low=1 + n % 200, rate=rate,
                      rate_low=0.9 * rate, rate_high=1.1 * rate))
