#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Writes captures of every link layer and oddity into a folder, with the truth beside each.

usage: make_captures.py FOLDER

NAME.pcap or NAME.pcapng, and NAME.json: the datagrams in it, in order, as scapy was told to make
them. Nothing here shares code with the readers under test.
"""
import gzip
import json
import pathlib
import struct
import sys

from scapy.all import (AH, CookedLinux, CookedLinuxV2, Dot1AD, Dot1Q, Ether, IP, IPOption_Router_Alert,
                       IPv6, IPv6ExtHdrDestOpt, IPv6ExtHdrFragment, IPv6ExtHdrHopByHop,
                       IPv6ExtHdrRouting, LLC, Loopback, PadN, PPP, PPPoE, PPPoED, Raw, RouterAlert, SNAP, UDP, fragment,
                       fragment6)
from scapy.contrib.igmp import IGMP
from scapy.contrib.mpls import MPLS
from scapy.utils import PcapNgWriter, PcapWriter

OUT = pathlib.Path(sys.argv[1])
START = 1_700_000_000_123_456_789  # ns


def payload(number, packets=7):
    return b"".join(bytes([0x47, 0x01, number & 0xFF, 0x10]) + bytes(184) for _ in range(packets))


def v4(number, ttl=8, dscp=24, options=(), group="239.192.10.20", size=7):
    return (IP(src="10.20.0.11", dst=group, ttl=ttl, tos=dscp << 2, options=list(options), id=number)
            / UDP(sport=40000, dport=5004) / Raw(payload(number, size)))


def v6(number, chain=None, hlim=9, dscp=34):
    head = IPv6(src="2001:db8::11", dst="ff15::db8:1234", hlim=hlim, tc=dscp << 2)
    if chain is not None:
        head = head / chain
    return head / UDP(sport=40000, dport=5006) / Raw(payload(number))


def truth(packet, arrival):
    ip = packet[IPv6] if IPv6 in packet else packet[IP]
    six = IPv6 in packet
    return {"source": ip.src, "destination": ip.dst, "ttl": ip.hlim if six else ip.ttl,
            "dscp": (ip.tc if six else ip.tos) >> 2, "source_port": packet[UDP].sport,
            "port": packet[UDP].dport, "vlans": [tag.vlan for tag in packet.iterpayloads() if isinstance(tag, Dot1Q)],
            "payload_hex": bytes(packet[UDP].payload).hex(),
            "arrival_ns": arrival}


def save_truth(name, datagrams):
    (OUT / f"{name}.json").write_text(json.dumps(datagrams))


def pcap(name, frames, datagrams=None, linktype=None, nano=True, endianness="<"):
    """frames: bytes or scapy packets, 1 ms apart."""
    step = 1_000_000
    with PcapWriter(str(OUT / f"{name}.pcap"), linktype=linktype, nano=nano, endianness=endianness,
                    sync=True) as out:
        out.write_header(frames[0])
        for i, frame in enumerate(frames):
            at = START + i * step
            out._write_packet(bytes(frame), sec=at // 10**9,
                              usec=at % 10**9 // (1 if nano else 1000))
    if datagrams is None:
        unit = 1 if nano else 1000
        datagrams = [truth(f, (START + i * step) // unit * unit) for i, f in enumerate(frames)]
    save_truth(name, datagrams)


ether = Ether(src="02:00:00:00:00:01", dst="01:00:5e:40:0a:14")
pcap("ethernet-us", [ether / v4(i) for i in range(5)], nano=False)
pcap("ethernet-ns", [ether / v4(i) for i in range(5)])
pcap("ethernet-big-endian-us", [ether / v4(i) for i in range(5)], nano=False, endianness=">")
pcap("ethernet-big-endian-ns", [ether / v4(i) for i in range(5)], endianness=">")
pcap("vlan", [ether / Dot1Q(vlan=30) / v4(i) for i in range(3)])
pcap("double-vlan-8100", [ether / Dot1Q(vlan=30) / Dot1Q(vlan=40) / v4(i) for i in range(3)])
pcap("qinq-88a8", [ether / Dot1AD(vlan=30) / Dot1Q(vlan=40) / v4(i) for i in range(3)])
stack = MPLS(label=1, s=0, ttl=9) / MPLS(label=20, s=0) / MPLS(label=300, s=1)
pcap("mpls", [Ether(src="02:00:00:00:00:01", dst="01:00:5e:80:00:14", type=0x8848) / MPLS(label=17, s=1) / v4(0), ether / stack / v4(1),
              ether / Dot1Q(vlan=30) / stack / v6(2), ether / MPLS(label=17, s=1) / v6(3)])
mpls = Ether(src="02:00:00:00:00:01", dst="01:00:5e:80:00:14", type=0x8847)
pcap("mpls-not-for-us", [bytes(mpls / stack)[:-4], bytes(mpls / MPLS(label=17, s=1)), mpls / MPLS(label=17, s=0) / v4(0),  # no bottom
                         mpls / MPLS(label=17, s=1) / Raw(b"\0\0\0\7" + bytes(ether / v4(1)))], datagrams=[])  # Ethernet, RFC 4448
pppoe = Ether(src="02:00:00:00:00:01", dst="02:00:00:00:00:02", type=0x8864) / PPPoE(sessionid=77)
pcap("pppoe", [pppoe / Raw(b"\0\x21") / v4(0), pppoe / Raw(b"\0\x57") / v6(1), ether / Dot1Q(vlan=7) / PPPoE(sessionid=3) / Raw(b"\0\x21") / v4(2),
               pppoe / PPP(proto=0x21) / v4(3), pppoe / PPP(proto=0x57) / v6(4)])  # scapy leaves the first octet out
pcap("pppoe-not-for-us", [pppoe / PPP(proto=0xC021) / Raw(b"\1\1\0\4"), Ether(type=0x8863) / PPPoED(code=9),
                          bytes(pppoe / PPP(proto=0x21))[:21]], datagrams=[])
pcap("snap", [Ether(src="02:00:00:00:00:01", dst="01:00:5e:40:0a:14", type=len(bytes(LLC() / SNAP() / v4(1, size=1))))
              / LLC(dsap=0xAA, ssap=0xAA, ctrl=3) / SNAP(code=0x0800) / v4(1, size=1)])
pcap("short-padded", [bytes(ether / (IP(src="10.20.0.11", dst="239.192.10.20", ttl=8) /
                                     UDP(sport=1, dport=5004) / Raw(b"abc"))).ljust(60, b"\x5a")],
     datagrams=[{"source": "10.20.0.11", "destination": "239.192.10.20", "ttl": 8, "dscp": 0, "vlans": [],
                 "source_port": 1, "port": 5004, "payload_hex": b"abc".hex(), "arrival_ns": START}])
pcap("cooked-v1", [CookedLinux(proto=0x0800) / v4(i) for i in range(3)], linktype=113)
pcap("cooked-v1-vlan", [CookedLinux(proto=0x8100) / Dot1Q(vlan=7) / v4(i) for i in range(3)], linktype=113)
pcap("cooked-v2", [CookedLinuxV2(proto=0x0800) / v4(i) for i in range(3)], linktype=276)
pcap("cooked-v2-ipv6", [CookedLinuxV2(proto=0x86DD) / v6(i) for i in range(3)], linktype=276)
pcap("raw-101", [v4(0), v6(1)], linktype=101)
pcap("raw-12", [v4(0)], linktype=12)
pcap("raw-ipv4-228", [v4(0)], linktype=228)
pcap("raw-ipv6-229", [v6(0)], linktype=229)
null4, null6 = v4(0), v6(1)
for name, link, order in (("null-little", 0, "<I"), ("null-big", 0, ">I"), ("loop", 108, ">I")):
    pcap(name, [struct.pack(order, 2) + bytes(null4), struct.pack(order, 30) + bytes(null6)],
         datagrams=[truth(null4, START), truth(null6, START + 1_000_000)], linktype=link)
pcap("ipv4-options", [ether / v4(i, options=[IPOption_Router_Alert()]) for i in range(2)])
ether6 = Ether(src="02:00:00:00:00:01", dst="33:33:0d:b8:12:34")
pcap("ipv6", [ether6 / v6(i) for i in range(3)])
pcap("ipv6-extensions", [
    ether6 / v6(0, IPv6ExtHdrHopByHop(options=[RouterAlert()])),
    ether6 / v6(1, IPv6ExtHdrDestOpt(options=[PadN(optdata=b"\0" * 4)])),
    ether6 / v6(2, IPv6ExtHdrHopByHop(options=[RouterAlert()]) / IPv6ExtHdrRouting(addresses=["2001:db8::99"])
                / IPv6ExtHdrDestOpt(options=[PadN(optdata=b"\0" * 4)])),
    ether6 / v6(3, IPv6ExtHdrFragment(offset=0, m=0, id=7)),
    ether6 / v6(4, AH(nh=17, payloadlen=4, spi=1, seq=1, icv=b"\0" * 12)),
])

# Fragments: in order, last first, interleaved, one repeated, one missing.
whole = [v4(100 + i, size=30) for i in range(4)]
parts = [fragment(p, fragsize=1400) for p in whole]
frames = [ether / p for p in parts[0]] + [ether / p for p in reversed(parts[1])]
frames += [ether / p for pair in zip(parts[2], parts[3]) for p in (pair[0], pair[1], pair[0])]
done = []
seen = {}
for i, f in enumerate(frames):
    ip = f[IP]
    pieces = seen.setdefault(ip.id, set())
    if len(pieces) == len(parts[0]):  # a repeat of the last piece starts nothing that completes
        continue
    pieces.add(ip.frag)
    if len(pieces) == len(parts[0]):
        done.append(truth(whole[ip.id - 100], START + i * 1_000_000))
lost = [ether / p for p in fragment(v4(120, size=30), fragsize=1400)[:-1]]
pcap("ipv4-fragments", frames + lost, datagrams=done)
whole6 = IPv6(src="2001:db8::11", dst="ff15::db8:1234", hlim=9) / IPv6ExtHdrFragment(id=77) / \
    UDP(sport=40000, dport=5006) / Raw(payload(1, 30))
parts6 = fragment6(whole6, 1280)
plain6 = IPv6(src="2001:db8::11", dst="ff15::db8:1234", hlim=9) / UDP(sport=40000, dport=5006) / \
    Raw(payload(1, 30))
pcap("ipv6-fragments", [ether6 / p for p in reversed(parts6)],
     datagrams=[truth(plain6, START + (len(parts6) - 1) * 1_000_000)])
inner = IPv6ExtHdrDestOpt(options=[PadN(optdata=b"\0" * 12)])
parts6 = fragment6(IPv6(src="2001:db8::11", dst="ff15::db8:1234", hlim=9) / IPv6ExtHdrHopByHop(options=[RouterAlert()])
                   / IPv6ExtHdrFragment(id=78) / inner / UDP(sport=40000, dport=5006) / Raw(payload(1, 30)), 1280)
pcap("ipv6-fragments-with-options", [ether6 / p for p in parts6[1:] + parts6[:1]],  # RFC 8200 section 4.5
     datagrams=[truth(plain6, START + (len(parts6) - 1) * 1_000_000)])
pcap("not-for-us", [ether / IP(src="10.20.0.1", dst="224.0.0.1", ttl=1) / IGMP(type=0x11, gaddr="0.0.0.0"),
                    Ether(type=0x0806) / Raw(b"\0" * 28), Ether(type=0x0800) / Raw(b"\x45\0"),
                    ether / IP(dst="239.1.1.1", proto=6) / Raw(b"\0" * 40)], datagrams=[])

# Cut by a snap length of 200 bytes.
full = bytes(ether / v4(1))
with PcapWriter(str(OUT / "snapped.pcap"), linktype=1, nano=True) as out:
    out.write_header(None)
    out._write_packet(full[:200], sec=START // 10**9, usec=START % 10**9, caplen=200, wirelen=len(full))
cut = truth(ether / v4(1), START)
cut["payload_hex"] = cut["payload_hex"][:2 * (200 - 42)]
save_truth("snapped", [cut])

# A file that ends inside its last record.
whole_file = (OUT / "ethernet-ns.pcap").read_bytes()
(OUT / "cut-short.pcap").write_bytes(whole_file[:-100])
save_truth("cut-short", json.loads((OUT / "ethernet-ns.json").read_text())[:-1])

# As old Linux systems wrote it: eight bytes more in each record header (libpcap calls it "modified").
plain = (OUT / "ethernet-us.pcap").read_bytes()
modified, at = struct.pack("<I", 0xA1B2CD34) + plain[4:24], 24
while at < len(plain):
    size = struct.unpack_from("<I", plain, at + 8)[0]
    modified += plain[at:at + 16] + struct.pack("<IHBB", 2, 0x0008, 0, 0) + plain[at + 16:at + 16 + size]
    at += 16 + size
(OUT / "modified.pcap").write_bytes(modified)
save_truth("modified", json.loads((OUT / "ethernet-us.json").read_text()))

(OUT / "packed-gz.pcap").write_bytes(gzip.compress(whole_file))
save_truth("packed-gz", json.loads((OUT / "ethernet-ns.json").read_text()))


# pcapng, written block by block from the format's description.
def block(order, kind, body):
    body += b"\0" * (-len(body) % 4)
    return struct.pack(order + "II", kind, 12 + len(body)) + body + struct.pack(order + "I", 12 + len(body))


def option(order, code, value):
    return struct.pack(order + "HH", code, len(value)) + value + b"\0" * (-len(value) % 4)


def section(order):
    return block(order, 0x0A0D0D0A, struct.pack(order + "IHHq", 0x1A2B3C4D, 1, 0, -1)
                 + option(order, 4, b"test") + struct.pack(order + "HH", 0, 0))


def interface(order, link, resolution=None, offset=None, snap=0):
    options = b""
    if resolution is not None:
        options += option(order, 9, bytes([resolution]))
    if offset is not None:
        options += option(order, 14, struct.pack(order + "q", offset))
    if options:
        options += struct.pack(order + "HH", 0, 0)
    return block(order, 1, struct.pack(order + "HHI", link, 0, snap) + options)


def enhanced(order, index, units, data):
    return block(order, 6, struct.pack(order + "IIIII", index, units >> 32, units & 0xFFFFFFFF, len(data),
                                       len(data)) + data + b"\0" * (-len(data) % 4))


def statistics(order, index, dropped):
    return block(order, 5, struct.pack(order + "III", index, 0, 0)
                 + option(order, 5, struct.pack(order + "Q", dropped)) + struct.pack(order + "HH", 0, 0))


def pcapng(name, order):
    frames = [ether / v4(i) for i in range(8)]
    raw = bytes(frames[5][IP])
    second = 1_700_000_000
    blocks = [
        section(order), interface(order, 1), interface(order, 101, resolution=9),
        interface(order, 1, resolution=0x80 | 20), interface(order, 1, resolution=6, offset=3600),
        interface(order, 1, resolution=10),
        block(order, 0x00000BAD, b"unknown blocks are passed over"),
        enhanced(order, 0, second * 10**6 + 1, bytes(frames[0])),
        enhanced(order, 1, second * 10**9 + 1, raw),
        enhanced(order, 2, (second << 20) + (1 << 19), bytes(frames[1])),
        enhanced(order, 3, (second - 3600) * 10**6 + 7, bytes(frames[2])),
        enhanced(order, 4, second * 10**10 + 19, bytes(frames[3])),
        block(order, 2, struct.pack(order + "HHIIII", 0, 0, (second * 10**6) >> 32,
                                    (second * 10**6) & 0xFFFFFFFF, len(bytes(frames[4])),
                                    len(bytes(frames[4]))) + bytes(frames[4])),
        statistics(order, 0, 3), statistics(order, 0, 5), statistics(order, 1, 2),
    ]
    expected = [truth(frames[0], second * 10**9 + 1000), truth(frames[5], second * 10**9 + 1),
                truth(frames[1], second * 10**9 + 500_000_000), truth(frames[2], second * 10**9 + 7000),
                truth(frames[3], second * 10**9 + 1), truth(frames[4], second * 10**9)]
    return blocks, expected


for name, order in (("blocks-little", "<"), ("blocks-big", ">")):
    blocks, expected = pcapng(name, order)
    (OUT / f"{name}.pcapng").write_bytes(b"".join(blocks))
    save_truth(name, expected)
little, expected_little = pcapng("", "<")
big, expected_big = pcapng("", ">")
(OUT / "two-sections.pcapng").write_bytes(b"".join(little + big))
save_truth("two-sections", expected_little + expected_big)
simple = bytes(ether / v4(1))
(OUT / "simple-packets.pcapng").write_bytes(
    section("<") + interface("<", 1, snap=200)
    + block("<", 3, struct.pack("<I", len(simple)) + simple[:200]))
cut = truth(ether / v4(1), 0)
cut["payload_hex"] = cut["payload_hex"][:2 * (200 - 42)]
save_truth("simple-packets", [cut])
with PcapNgWriter(str(OUT / "by-scapy.pcapng")) as out:
    for i in range(3):
        frame = ether / v4(i)
        frame.time = (START // 1_000_000_000) + i
        out.write(frame)
save_truth("by-scapy", [truth(ether / v4(i), (START // 10**9 + i) * 10**9) for i in range(3)])
