#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Captures of RTP with SMPTE ST 2022-1 repair packets and losses, and what is true of them.

usage: fec_streams.py FOLDER           streams made here
       fec_streams.py FOLDER ffmpeg    a stream sent by FFmpeg's own FEC sender; needs a namespace of its own

Writes NAME.pcap and truth.json: NAME -> counts. Lost packets are recovered byte by byte and compared
with what was sent.
"""
import json
import random
import select
import socket
import struct
import subprocess
import sys
import time

MEDIA, COLUMN, ROW = 5004, 5006, 5008


def xor(packets):
    """The FEC packet's fields and payload: RFC 2733 section 6 without its mask, as ST 2022-1 takes it."""
    length = kind = stamp = body = 0
    size = max(len(p) for p in packets) - 12
    for p in packets:
        length ^= len(p) - 12
        kind ^= p[1] & 0x7F
        stamp ^= struct.unpack(">I", p[4:8])[0]
        body ^= int.from_bytes(p[12:].ljust(size, b"\0"), "big")
    return length, kind, stamp, body.to_bytes(size, "big")


def fec_packet(number, packets, step, is_row):
    length, kind, stamp, body = xor(packets)
    base = struct.unpack(">H", packets[0][2:4])[0]
    header = struct.pack(">BBHII", 0x80, 96, number & 0xFFFF, 0, 0)
    return header + struct.pack(">HHBBHIBBBB", base, length, 0x80 | kind, 0, 0, stamp, 0x40 if is_row else 0,
                                step, len(packets), 0) + body


def media_packet(number, per_datagram, dice):
    out = struct.pack(">BBHII", 0x80, 33, number & 0xFFFF, number * 947 & 0xFFFFFFFF, 0x1234)
    for i in range(per_datagram):
        out += bytes([0x47, 1, 0, 0x10 | (number * per_datagram + i) & 15]) + dice.randbytes(184)
    return out


def stream(columns, rows, count, first=0, per_datagram=7, with_rows=True, staggered=False, seed=1):
    """[(port, packet)] as sent: rows behind their last packet, columns during the next matrix."""
    dice = random.Random(seed)
    media = [media_packet(first + n, per_datagram, dice) for n in range(count)]
    out, waiting, numbers, size = [], [], [0, 0], columns * rows
    for n, packet in enumerate(media):
        out.append((MEDIA, packet))
        if with_rows and n % columns == columns - 1:
            out.append((ROW, fec_packet(numbers[1], media[n - columns + 1:n + 1], 1, True)))
            numbers[1] += 1
        for c in range(columns):
            # Staggered: the column of each further place ends a row later.
            end = (n - (c * columns if staggered else 0)) % size
            begin = n - (rows - 1) * columns
            if begin >= 0 and end == size - columns + c:
                waiting.append(fec_packet(numbers[0], media[begin:n + 1:columns], columns, False))
                numbers[0] += 1
        if waiting and n % rows == 0:
            out.append((COLUMN, waiting.pop(0)))
    return out


def truth(sent, received):
    """Counts, by recovering bytes. `sent` holds every media packet, `received` what came."""
    whole = {struct.unpack(">H", p[2:4])[0]: p for port, p in sent if port == MEDIA}
    came = {struct.unpack(">H", p[2:4])[0]: p for port, p in received if port == MEDIA}
    repair = []
    for port, p in received:
        if port != MEDIA:
            base, length, kind, _, _, stamp, _, step, count, _ = struct.unpack(">HHBBHIBBBB", p[12:28])
            numbers = [(base + i * step) & 0xFFFF for i in range(count)]
            repair.append((port, numbers, (length, kind & 0x7F, stamp, p[28:])))
    out = {"lost": len(whole) - len(came), "compared": 0, "contradicting": 0}
    # What media held is kept from the first repair packet on.
    first = next(i for i, (port, _) in enumerate(received) if port != MEDIA)
    held = {struct.unpack(">H", p[2:4])[0] for port, p in received[first:] if port == MEDIA}
    for port, numbers, fields in repair:
        if held.issuperset(numbers):
            out["compared"] += 1
            out["contradicting"] += xor([came[n] for n in numbers]) != fields
    for name, ports in ("recoverable_by_column", [COLUMN]), ("recoverable_by_row", [ROW]), ("recoverable", [COLUMN, ROW]):
        have, news = dict(came), True
        while news:
            news = False
            for port, numbers, (length, kind, stamp, body) in repair:
                missing = [n for n in numbers if n not in have]
                if port not in ports or len(missing) != 1 or missing[0] not in whole:
                    continue
                rest = [have[n] for n in numbers if n != missing[0]]
                fake = struct.pack(">BBHII", 0x80, kind, missing[0], stamp, 0) + body
                length2, kind, stamp, body = xor(rest + [fake])
                made = struct.pack(">BBHI", 0x80, kind, missing[0], stamp) + whole[missing[0]][8:12] + body
                made = made[:12 + (length ^ xor(rest)[0] if rest else length)]
                if made != whole[missing[0]]:
                    sys.exit(f"packet {missing[0]} came out wrong")
                have[missing[0]] = made
                news = True
        out[name] = len(have) - len(came)
    out["unrecoverable"] = out["lost"] - out["recoverable"]
    return out


def write_pcap(path, packets):
    with open(path, "wb") as f:
        f.write(struct.pack("<IHHiIII", 0xA1B2C3D4, 2, 4, 0, 0, 65535, 101))
        for i, (port, p) in enumerate(packets):
            udp = struct.pack(">HHHH", 40000, port, 8 + len(p), 0) + p
            ip = struct.pack(">BBHHHBBHII", 0x45, 0, 20 + len(udp), 0, 0x4000, 16, 17, 0, 0x0A14000B, 0xEFC00A14) + udp
            f.write(struct.pack("<IIII", 1700000000 + i // 1000, i % 1000 * 1000, len(ip), len(ip)) + ip)


def without(sent, is_lost):
    """The packets that stay; is_lost(port, index on that port)."""
    seen, out = {}, []
    for port, p in sent:
        index = seen.get(port, 0)
        seen[port] = index + 1
        if not is_lost(port, index):
            out.append((port, p))
    return out


def damaged(packets, port, places):
    """The n-th packet of a port with one bit of the byte at `places[n]` turned."""
    index, out = 0, []
    for to, p in packets:
        if to == port:
            if index in places:
                at = places[index]
                p = p[:at] + bytes([p[at] ^ 4]) + p[at + 1:]
            index += 1
        out.append((to, p))
    return out


def by_chance(per_cent, seed, first=100, last=1800, ports=(MEDIA,)):
    dice = random.Random(seed)
    return lambda port, n: port in ports and first <= n < last and dice.random() * 100 < per_cent


def made_here(folder):
    cases = {}
    both = stream(5, 5, 2000)
    cases["whole"] = both, both
    cases["loss-of-2-per-cent"] = both, without(both, by_chance(2, 1))
    cases["loss-of-15-per-cent"] = both, without(both, by_chance(15, 2))
    cases["repair-packets-lost-too"] = both, without(both, by_chance(8, 3, ports=(MEDIA, COLUMN, ROW)))
    cases["first-matrix"] = both, without(both, lambda port, n: port == MEDIA and n in (3, 4, 11, 22))
    bad = damaged(both, ROW, {10: 12 + 9, 20: 12 + 3, 30: 12 + 4, 40: 500, 50: len(both[0][1])})
    cases["repair-packets-contradict"] = both, bad
    columns = stream(10, 6, 1500, with_rows=False)
    cases["burst-as-long-as-a-row"] = columns, without(columns, lambda port, n: port == MEDIA and 400 <= n < 410)
    cases["burst-longer-than-a-row"] = columns, without(columns, lambda port, n: port == MEDIA and 400 <= n < 411)
    wrap = stream(20, 5, 2000, first=65000)
    cases["numbers-wrap"] = wrap, without(wrap, by_chance(6, 4))
    stagger = stream(4, 8, 2000, staggered=True, seed=2)
    cases["staggered-columns"] = stagger, without(stagger, by_chance(9, 5))
    single = stream(4, 4, 2000, first=0x46F0, per_datagram=1, seed=3)
    cases["single-packets-numbered-like-sync-bytes"] = single, without(single, by_chance(5, 6))
    largest = stream(20, 20, 3200, per_datagram=1, seed=4)
    cases["largest-matrix"] = largest, without(largest, by_chance(11, 7, last=1900))
    return cases


def recorded(folder):
    """What FFmpeg sends over the loopback of this namespace, with some of it dropped."""
    subprocess.run(["ip", "link", "set", "lo", "up"], check=True)
    sockets = {}
    for port in MEDIA, COLUMN, ROW:
        s = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        s.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4 << 20)
        s.bind(("127.0.0.1", port))
        sockets[s] = port
    sender = subprocess.Popen(
        ["ffmpeg", "-loglevel", "error", "-readrate", "3", "-f", "lavfi", "-i", "testsrc2=size=640x360:rate=25:duration=6",
         "-c:v", "mpeg2video", "-b:v", "3M", "-muxrate", "4M", "-f", "rtp_mpegts", "-fec", "prompeg=l=8:d=5",
         f"rtp://127.0.0.1:{MEDIA}"])
    sent, last = [], time.monotonic()
    while sender.poll() is None or time.monotonic() - last < 0.3:
        for s in select.select(list(sockets), [], [], 0.1)[0]:
            sent.append((sockets[s], s.recv(2048)))
            last = time.monotonic()
    if sender.returncode != 0:
        sys.exit("ffmpeg failed")
    return {"whole": (sent, sent), "loss-of-5-per-cent": (sent, without(sent, by_chance(5, 8, last=len(sent) // 2)))}


def main():
    folder = sys.argv[1]
    cases = recorded(folder) if sys.argv[2:] == ["ffmpeg"] else made_here(folder)
    truths = {}
    for name, (sent, received) in cases.items():
        write_pcap(f"{folder}/{name}.pcap", received)
        truths[name] = truth(sent, received)
    with open(f"{folder}/truth.json", "w", encoding="utf-8") as f:
        json.dump(truths, f, indent=1)


main()
