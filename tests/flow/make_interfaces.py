#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Writes captures in which one stream is heard on two interfaces: on the second half a millisecond later, and there
two datagrams of their own and both fragments of a third are lost. Frames are scapy's.

usage: make_interfaces.py FOLDER STREAM.ts

named.pcapng        Ethernet, interfaces eth0 and eth1; each has a querier of the same address, and a member
cooked.pcap         Linux cooked v2 of all interfaces of a machine: the frames name interfaces 2 and 3
first.pcap, second.pcap   what each interface hears; mergecap makes one file of them in the test
truth.json          for each interface: datagrams, RTP packets lost, bits per second of transport packets
"""
import json
import struct
import sys

from scapy.all import CookedLinuxV2, Ether, IP, Raw, UDP, fragment
from scapy.contrib.igmp import IGMP
from scapy.contrib.igmpv3 import IGMPv3, IGMPv3mq
from scapy.utils import PcapWriter

folder, stream = sys.argv[1], open(sys.argv[2], "rb").read()
count = len(stream) // 1316
START, STEP, LATER = 1_700_000_000_000_000_000, 3_000_000, 500_000  # ns


def is_busy(n):
    """Whether datagram n holds more than null packets."""
    packets = [stream[at:at + 188] for at in range(n * 1316, n * 1316 + 1316, 188)]
    return any(p[1:3] != b"\x1f\xff" for p in packets)


busy = [n for n in range(count) if is_busy(n)]
LOST = {busy[30], busy[31], next(n for n in busy[60:] if n % 10 == 0)}
ether = Ether(src="02:00:00:00:00:01", dst="01:00:5e:40:0a:02")


def packets(n):
    """The IP packets of datagram n; every tenth goes in two fragments."""
    rtp = struct.pack(">BBHII", 0x80, 33, (65500 + n) & 0xFFFF, n * 270, 7)
    whole = (IP(src="10.99.0.1", dst="239.192.10.2", ttl=8, tos=24 << 2, id=n)
             / UDP(sport=5004, dport=5004) / Raw(rtp + stream[n * 1316:(n + 1) * 1316]))
    return fragment(whole, fragsize=800) if n % 10 == 0 else [whole]


def membership(second):
    """Queries of one querier, every 125 s on each interface, and a report of a member of that interface's own."""
    out = []
    for n in range(2):
        query = IP(src="10.99.0.254", dst="224.0.0.1", ttl=1) / IGMPv3(type=0x11, mrcode=100) / IGMPv3mq(qrv=2, qqic=125)
        out.append((START + n * 125 * 10**9 + (10**9 if second else 0), query))
    report = IP(src="10.99.0.22" if second else "10.99.0.21", dst="239.192.10.2", ttl=1) / IGMP(type=0x16, gaddr="239.192.10.2")
    return out + [(START, report)]


def heard(second, with_membership):
    out = membership(second) if with_membership else []
    for n in range(count):
        if second and n in LOST:
            continue
        out += [(START + n * STEP + (LATER if second else 0) + i * 100_000, p) for i, p in enumerate(packets(n))]
    return out


both = sorted([(at, 0, p) for at, p in heard(False, True)] + [(at, 1, p) for at, p in heard(True, True)], key=lambda e: e[:2])


def block(kind, body):
    body += b"\0" * (-len(body) % 4)
    return struct.pack("<II", kind, 12 + len(body)) + body + struct.pack("<I", 12 + len(body))


def option(code, value):
    return struct.pack("<HH", code, len(value)) + value + b"\0" * (-len(value) % 4)


with open(f"{folder}/named.pcapng", "wb") as out:
    out.write(block(0x0A0D0D0A, struct.pack("<IHHq", 0x1A2B3C4D, 1, 0, -1)))
    for name in (b"eth0", b"eth1"):
        out.write(block(1, struct.pack("<HHI", 1, 0, 0) + option(2, name) + option(9, b"\x09") + struct.pack("<HH", 0, 0)))
    for at, index, packet in both:
        data = bytes(ether / packet)
        out.write(block(6, struct.pack("<IIIII", index, at >> 32, at & 0xFFFFFFFF, len(data), len(data)) + data))

with PcapWriter(f"{folder}/cooked.pcap", linktype=276, nano=True) as out:
    out.write_header(None)
    for at, index, packet in both:
        out._write_packet(bytes(CookedLinuxV2(proto=0x0800, ifindex=2 + index) / packet), sec=at // 10**9, usec=at % 10**9)

for second, name in ((False, "first"), (True, "second")):
    with PcapWriter(f"{folder}/{name}.pcap", linktype=1, nano=True) as out:
        out.write_header(None)
        for at, packet in heard(second, False):
            out._write_packet(bytes(ether / packet), sec=at // 10**9, usec=at % 10**9)

json.dump([{"datagrams": count, "lost": 0, "bits_per_second": 1316 * 8 * 10**9 / STEP},
           {"datagrams": count - len(LOST), "lost": len(LOST), "bits_per_second": 1316 * 8 * 10**9 / STEP}],
          open(f"{folder}/truth.json", "w"))
