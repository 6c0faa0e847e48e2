#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Makes transport streams with one fault each, and what a right analysis counts in it.

Written from ISO/IEC 13818-1, EN 300 468 and ETSI TR 101 290 alone, with Python's standard library,
so that it shares nothing with the code under test.

    faults.py DIRECTORY    writes NAME.ts for each fault, and catalogue.json

Every count that a fault's "expect" does not name must be zero. Keys: an indicator's number ("1.4"),
cc, lost, dup, tei, sync_bytes, sync_losses, scrambled, skipped, pts_order, wraps,
signalled_discontinuities, version_changes; leading: bytes in front of the first packet; null: anything goes. What a fault's
function gives are the packets that cause it, by indicator.
"""
import json
import math
import pathlib
import random
import sys

PAT, CAT, NIT, SDT, EIT, RST, TDT, PMT, VIDEO, AUDIO, NULL = (
    0x00, 0x01, 0x10, 0x11, 0x12, 0x13, 0x14, 0x100, 0x101, 0x102, 0x1FFF)
SCRAMBLED_AUDIO_ECM = 0x150


def crc32(data):
    crc = 0xFFFFFFFF
    for byte in data:
        crc ^= byte << 24
        for _ in range(8):
            crc = ((crc << 1) ^ 0x04C11DB7 if crc & 0x80000000 else crc << 1) & 0xFFFFFFFF
    return crc


def u16(value):
    return bytes([value >> 8 & 255, value & 255])


def section(table_id, extension, body, version=0, number=0, last=0):
    head = bytes([table_id]) + u16(0xB000 | len(body) + 9) + u16(extension) + bytes(
        [0xC1 | version << 1, number, last])
    return head + body + crc32(head + body).to_bytes(4, "big")


def pat(programmes=((1, PMT),), version=0):
    return section(0, 1, b"".join(u16(n) + u16(0xE000 | p) for n, p in programmes), version)


def pmt(version=0, descriptors=b"", components=((0x02, VIDEO), (0x03, AUDIO))):
    return section(2, 1, u16(0xE000 | VIDEO) + u16(0xF000 | len(descriptors)) + descriptors + b"".join(
        bytes([t]) + u16(0xE000 | p) + u16(0xF000) for t, p in components), version)


def sdt(version=0):
    name = bytes([0x48, 9, 1, 2]) + b"Co" + bytes([4]) + b"Name"
    return section(0x42, 1, u16(1) + b"\xff" + u16(1) + b"\xfc" + u16(0x8000 | len(name)) + name, version)


def nit():
    return section(0x40, 1, u16(0xF000) + u16(0xF000))


def eit(number):
    event = u16(number + 1) + bytes([0xE0, 0x00, 0x12, 0, 0, 0, 0x30, 0]) + u16(0x8000)
    return section(0x4E, 1, u16(1) + u16(1) + bytes([1, 0x4E]) + event, number=number, last=1)


def tdt():
    return bytes([0x70]) + u16(0x7005) + bytes([0xE0, 0x00, 0x12, 0x30, 0x00])


def tot():
    head = bytes([0x73]) + u16(0x7000 | 11) + bytes([0xE0, 0x00, 0x12, 0x30, 0x00]) + u16(0xF000)
    return head + crc32(head).to_bytes(4, "big")


def stamp(prefix, value):
    return bytes([prefix << 4 | value >> 29 & 14 | 1]) + u16(value >> 14 & 0xFFFE | 1) + u16(
        value << 1 & 0xFFFE | 1)


def pes(stream_id, pts, payload):
    head = bytes([0x80, 0x80, 5]) + stamp(2, pts & (1 << 33) - 1) if pts is not None else b"\x80\0\0"
    return bytes([0, 0, 1, stream_id]) + u16(len(head) + len(payload)) + head + payload


def pcr_bytes(ticks):
    ticks %= (1 << 33) * 300
    return (ticks // 300 << 15 | 0x3F << 9 | ticks % 300).to_bytes(6, "big")


def packet(pid, payload=b"", start=False, pcr=None, flags=0, stuff_behind=False, no_payload=False):
    """Continuity counters are given out at the end, by renumber()."""
    field = b""
    if pcr is not None or flags:
        field = bytes([flags | (0x10 if pcr is not None else 0)]) + (pcr_bytes(pcr) if pcr is not None else b"")
    room = 184 - (1 + len(field) if field else 0)
    if stuff_behind:
        payload = payload + b"\xff" * (room - len(payload))
    missing = room - len(payload)
    if no_payload:
        field = (field or b"\0") + b"\xff" * (183 - len(field or b"\0"))
        return bytearray(bytes([0x47]) + u16(pid) + bytes([0x20, 183]) + field)
    if missing:
        if not field:
            field, missing = (b"", missing - 1) if missing == 1 else (b"\0", missing - 2)
            field += b"\xff" * missing
            return bytearray(bytes([0x47]) + u16(start << 14 | pid) + bytes([0x30, len(field)]) + field + payload)
        field += b"\xff" * missing
    if field:
        return bytearray(bytes([0x47]) + u16(start << 14 | pid) + bytes([0x30, len(field)]) + field + payload)
    return bytearray(bytes([0x47]) + u16(start << 14 | pid) + bytes([0x10]) + payload)


def null():
    return packet(NULL, b"\xff" * 184)


def of_section(pid, data):
    assert len(data) <= 183
    return packet(pid, b"\0" + data, start=True, stuff_behind=True)


class Stream:
    """Packets at a constant rate; `ticks` is the time of one packet at 27 MHz."""

    def __init__(self, ticks, seconds, first_pcr=27_000_000):
        self.ticks, self.first_pcr = ticks, first_pcr
        self.count = int(seconds * 27_000_000 // ticks)
        self.packets = [None] * self.count
        self.fill()
        self.renumber()

    def at(self, seconds):
        return int(seconds * 27_000_000 / self.ticks)

    def seconds(self, index):
        return index * self.ticks / 27_000_000

    def place(self, wanted, data):
        while self.packets[wanted] is not None:
            wanted += 1
        self.packets[wanted] = data
        return wanted

    def every(self, period, offset, make):
        index = offset
        step = period * 27_000_000 / self.ticks
        n = 0
        while index < self.count - 8:
            make(int(index), n)
            n += 1
            index = offset + n * step

    def fill(self):
        rnd = random.Random(1)
        noise = lambda size: bytes(rnd.randrange(32, 255) for _ in range(size))
        self.every(0.1, 0, lambda i, n: self.place(i, of_section(PAT, pat())))
        self.every(0.1, 1, lambda i, n: self.place(i, of_section(PMT, pmt())))
        self.every(0.5, 2, lambda i, n: self.place(i, of_section(SDT, sdt())))
        self.every(2.0, 3, lambda i, n: self.place(i, of_section(NIT, nit())))
        self.every(0.8, 4, lambda i, n: self.place(i, of_section(EIT, eit(0))))
        self.every(0.8, self.at(0.4), lambda i, n: self.place(i, of_section(EIT, eit(1))))
        self.every(5.0, 6, lambda i, n: self.place(i, of_section(TDT, tdt())))
        self.every(5.0, 7, lambda i, n: self.place(i, of_section(TDT, tot())))
        self.video(noise)

    def video(self, noise):
        def picture(i, n):
            data = pes(0xE0, 90_000 + 3600 * n, noise(self.picture_size()))
            first = True
            while data:
                index = i
                while index < self.count and self.packets[index] is not None:
                    index += 1
                if index >= self.count:
                    return
                pcr = self.first_pcr + index * self.ticks if first else None
                size = 184 - (8 if first else 0)
                self.packets[index] = packet(VIDEO, data[:size], first, pcr)
                data, first, i = data[size:], False, index + 1

        def sound(i, n):
            self.place(i, packet(AUDIO, pes(0xC0, 90_000 + 4320 * n, noise(150)), True))

        self.every(0.04, 8, picture)
        self.every(0.048, 9, sound)
        self.packets = [p or null() for p in self.packets]

    def picture_size(self):
        return int(0.04 * 27_000_000 / self.ticks * 0.5) * 180

    def renumber(self, pid=None):
        counters = {}
        for p in self.packets:
            this = pid_of(p)
            if this == NULL or pid not in (None, this):
                continue
            counters[this] = counters.get(this, -1) + (p[3] >> 4 & 1)
            p[3] = p[3] & 0xF0 | counters[this] & 15

    def indices(self, pid, begin=0.0, end=1e9, wanted=lambda p: True):
        return [i for i, p in enumerate(self.packets)
                if pid_of(p) == pid and begin <= self.seconds(i) < end and wanted(p)]

    def copy(self):
        other = object.__new__(Stream)
        other.ticks, other.first_pcr, other.count = self.ticks, self.first_pcr, self.count
        other.packets = [bytearray(p) for p in self.packets]
        return other

    def remove(self, pid, begin, end):
        """Nothing of the PID in that time, counters as if it had never been sent."""
        for i in self.indices(pid, begin, end):
            self.packets[i] = null()
        self.renumber(pid)

    def put(self, seconds, data):
        """In the place of the next null packet; the caller renumbers."""
        i = self.indices(NULL, seconds)[0]
        self.packets[i] = data
        return i

    def replace_section(self, pid, seconds, data, count=1):
        for i in self.indices(pid, seconds)[:count]:
            fresh = of_section(pid, data)
            fresh[3] |= self.packets[i][3] & 15
            self.packets[i] = fresh


def pid_of(p):
    return (p[1] << 8 | p[2]) & 0x1FFF


def has_pcr(p):
    return p[3] & 0x20 and p[4] and p[5] & 0x10


def plain(p):
    """Continues a PES packet: no start, no adaptation field."""
    return p[3] & 0x30 == 0x10 and not p[1] & 0x40


def begins(p):
    return bool(p[1] & 0x40)


FAULTS = []


def fault(base="short", **expect):
    """Registers a fault. Keyword n1_4 stands for the indicator 1.4, n1_3_a for 1.3.a."""
    def register(change):
        named = {k[1:].replace("_", ".") if k[0] == "n" and k[1].isdigit() else k: v for k, v in expect.items()}
        FAULTS.append((change.__name__, base, change, named))
        return change
    return register


def mid(s, pid=VIDEO, wanted=plain, seconds=1.0):
    return s.indices(pid, seconds, wanted=wanted)


# ---- intact -------------------------------------------------------------------------------------

@fault()
def intact(s): pass


@fault(base="long")
def intact_long(s): pass


@fault(leading=300)
def garbage_in_front(s): s.prefix = bytes(random.Random(2).randrange(0, 0x47) for _ in range(300))


@fault()
def partial_packet_at_the_end(s): s.suffix = bytes(s.packets[-1][:100])


# ---- continuity (1.4) -----------------------------------------------------------------------------

@fault(n1_4=1, cc=1, lost=1)
def one_video_packet_lost(s):
    lost, shown = s.indices(VIDEO, s.seconds(mid(s)[0]))[:2]
    del s.packets[lost]
    return {"1.4": [shown - 1]}


@fault(n1_4=1, cc=1, lost=1)
def one_audio_packet_lost(s): del s.packets[mid(s, AUDIO, begins)[0]]


@fault(n1_4=1, cc=1, lost=1)
def one_pat_packet_lost(s): del s.packets[mid(s, PAT, begins)[0]]


@fault(n1_4=1, cc=1, lost=1)
def one_pmt_packet_lost(s): del s.packets[mid(s, PMT, begins)[0]]


@fault(n1_4=1, cc=1, lost=1)
def one_sdt_packet_lost(s): del s.packets[mid(s, SDT, begins)[0]]


def drop_video(s, count):
    found = mid(s, wanted=lambda p: True)
    for i in found[:count]:
        s.packets[i] = null()
    return {"1.4": [found[count]]}


@fault(n1_4=1, cc=1, lost=3)
def three_video_packets_lost(s): return drop_video(s, 3)


@fault(n1_4=1, cc=1, lost=15)
def fifteen_video_packets_lost(s): return drop_video(s, 15)


@fault()
def sixteen_lost_packets_are_invisible(s): drop_video(s, 16)


@fault(n1_4=1, cc=1, lost=1)
def seventeen_lost_look_like_one(s): return drop_video(s, 17)


@fault(n1_4=5, cc=5, lost=5)
def five_losses(s):
    for i in range(5):
        s.packets[mid(s, seconds=0.5 + 0.3 * i)[0]] = null()


def next_null(s, index):
    return next(i for i in range(index + 1, s.count) if pid_of(s.packets[i]) == NULL)


def repeat(s, times, change=lambda p: None, pid=AUDIO, wanted=begins):
    """Copies behind a packet whose PID does not come again before them."""
    i = mid(s, pid, wanted)[0]
    at = i
    for _ in range(times):
        at = next_null(s, at)
        copy = bytearray(s.packets[i])
        change(copy)
        s.packets[at] = copy
    return at


@fault(dup=1)
def one_legal_duplicate(s): repeat(s, 1)


@fault(dup=1, n1_4=1, cc=1)
def a_third_copy(s): return {"1.4": [repeat(s, 2)]}


@fault(dup=1, n1_4=2, cc=2)
def a_fourth_copy(s): repeat(s, 3)


def flip_last(p): p[187] ^= 0xFF


@fault(n1_4=1, cc=1, lost=15)
def same_counter_other_bytes(s): return {"1.4": [repeat(s, 1, flip_last)]}


@fault(dup=1)
def duplicate_of_a_table_packet(s): repeat(s, 1, pid=SDT)


@fault(dup=1, lost=0)
def duplicate_with_its_own_pcr(s):
    i = mid(s, VIDEO, has_pcr)[0]
    copy = bytearray(s.packets[i])
    copy[6:12] = pcr_bytes(s.first_pcr + (i + 1) * s.ticks)
    s.packets[i + 1:i + 1] = [copy]
    del s.packets[next_null(s, i + 1)]


@fault(n1_4=3, cc=3, lost=16, pts_order=1)
def two_packets_swapped(s):
    a, b = mid(s, AUDIO, begins)[:2]
    s.packets[a], s.packets[b] = s.packets[b], s.packets[a]


@fault(n1_4=1, cc=1, lost=1)
def counter_moves_without_payload(s):
    i = mid(s, AUDIO, begins)[0]
    extra = packet(AUDIO, no_payload=True)
    extra[3] |= s.packets[i][3] + 1 & 15
    s.packets[next_null(s, i)] = extra
    for k in s.indices(AUDIO, s.seconds(i + 1)):
        if s.packets[k] is not extra:
            s.packets[k][3] = s.packets[k][3] & 0xF0 | s.packets[k][3] + 1 & 15


@fault()
def counter_rests_without_payload(s):
    i = mid(s, AUDIO, begins)[0]
    extra = packet(AUDIO, no_payload=True)
    extra[3] |= s.packets[i][3] & 15
    s.packets[next_null(s, i)] = extra


def shift_counters(s, pid, seconds, by, first=lambda p: p):
    found = s.indices(pid, seconds)
    for i in found:
        s.packets[i][3] = s.packets[i][3] & 0xF0 | s.packets[i][3] + by & 15
    s.packets[found[0]] = first(s.packets[found[0]])


@fault(n1_4=1, cc=1, lost=5)
def counter_jump(s): shift_counters(s, AUDIO, 1.0, 5)


@fault(signalled_discontinuities=1)
def counter_jump_announced(s):
    def announce(p):
        data = bytes(p[4 + (1 + p[4] if p[3] & 0x20 else 0):])
        fresh = packet(AUDIO, data[:180], begins(p), flags=0x80)
        fresh[3] |= p[3] & 15
        return fresh
    shift_counters(s, AUDIO, 1.0, 5, announce)


@fault()
def counters_of_null_packets(s):
    rnd = random.Random(3)
    for i in s.indices(NULL):
        s.packets[i][3] = s.packets[i][3] & 0xF0 | rnd.randrange(16)


# ---- transport_error_indicator (2.1) --------------------------------------------------------------

def set_error(s, pid, count=1, wanted=lambda p: True):
    found = mid(s, pid, wanted)[:count]
    for i in found:
        s.packets[i][1] |= 0x80
    return found


@fault(n2_1=1, tei=1)
def transport_error_on_video(s): return {"2.1": set_error(s, VIDEO, wanted=plain)}


@fault(n2_1=5, tei=5)
def five_transport_errors(s): return {"2.1": set_error(s, VIDEO, 5)}


@fault(n2_1=1, tei=1)
def transport_error_on_null(s): return {"2.1": set_error(s, NULL)}


@fault(n2_1=1, tei=1)
def transport_error_on_pat(s): return {"2.1": set_error(s, PAT)}


@fault(n2_1=1, tei=1, n1_4=1, cc=1, lost=1)
def transport_error_and_wrecked_header(s):
    i = mid(s)[0]
    s.packets[i][1:4] = b"\x95\x55\x1a"


# ---- sync (1.1, 1.2) --------------------------------------------------------------------------------

@fault(n1_2=1, sync_bytes=1)
def one_bad_sync_byte(s):
    s.packets[mid(s)[0]][0] = 0x46
    return {"1.2": mid(s)[:1]}


@fault(n1_2=2, sync_bytes=2)
def two_bad_sync_bytes_apart(s):
    s.packets[mid(s)[0]][0] = 0x46
    s.packets[mid(s)[9]][0] = 0xB8
    return {"1.2": [mid(s)[0], mid(s)[9]]}


@fault(n1_2=1, sync_bytes=1)
def bad_sync_byte_on_pat(s): s.packets[mid(s, PAT, begins)[0]][0] = 0


def null_pair(s, length=2, seconds=1.0):
    i = s.at(seconds)
    while any(pid_of(p) != NULL for p in s.packets[i:i + length]):
        i += 1
    return i


@fault(n1_1=1, n1_2=2, sync_bytes=2, sync_losses=1, skipped=376)
def two_bad_sync_bytes_in_a_row(s):
    i = null_pair(s)
    s.packets[i][0] = s.packets[i + 1][0] = 0x48


@fault(n1_1=1, n1_2=2, sync_bytes=2, sync_losses=1, skipped=4 * 188)
def four_packets_overwritten(s):
    i = null_pair(s, 4)
    for k in range(4):
        s.packets[i + k] = bytearray(188)


@fault(n1_1=1, n1_2=2, sync_bytes=2, sync_losses=1, skipped=10)
def ten_bytes_too_many(s):
    i = null_pair(s)
    s.packets.insert(i + 1, bytearray(10))


@fault(n1_1=1, n1_2=2, sync_bytes=2, sync_losses=1, skipped=138)
def packet_cut_short(s):
    i = null_pair(s)
    del s.packets[i][138:]


@fault(n1_1=2, n1_2=4, sync_bytes=4, sync_losses=2, skipped=752)
def sync_lost_twice(s):
    for when in (0.8, 1.6):
        i = null_pair(s, seconds=when)
        s.packets[i][0] = s.packets[i + 1][0] = 0


# ---- CRC (2.2) -----------------------------------------------------------------------------------

def spoil(s, pid, count=1, offset=9, seconds=1.0):
    found = s.indices(pid, seconds)[:count]
    for i in found:
        s.packets[i][offset] ^= 0x10
    return found


@fault(n2_2=1)
def crc_of_pat(s): return {"2.2": spoil(s, PAT)}


@fault(n2_2=1)
def crc_of_pmt(s): return {"2.2": spoil(s, PMT)}


@fault(n2_2=1)
def crc_of_sdt(s): return {"2.2": spoil(s, SDT)}


@fault(n2_2=1)
def crc_of_nit(s): return {"2.2": spoil(s, NIT)}


@fault(n2_2=1)
def crc_of_eit(s): return {"2.2": spoil(s, EIT)}


@fault(n2_2=1, base="long")
def crc_of_tot(s):
    i = s.indices(TDT, 2.0, wanted=lambda p: p[5] == 0x73)[0]
    s.packets[i][9] ^= 1


@fault(n2_2=3)
def crc_of_three_pmts(s): return {"2.2": spoil(s, PMT, 3, offset=18)}


@fault(n2_2=7, n1_3_a=1)
def pat_damaged_for_long(s): return {"2.2": spoil(s, PAT, 7)}


@fault(n2_2=7, n1_5=1, n1_5_a=1)
def pmt_damaged_for_long(s): spoil(s, PMT, 7)


@fault(n2_2=1)
def section_ends_before_its_length(s):
    """A section said to be longer than the packet, and the next packet begins another."""
    i = s.indices(SDT, 1.0)[0]
    s.packets[i][6] = 0xB0
    s.packets[i][7] = 0xFF


@fault()
def private_sections_of_the_short_form_beside_a_pmt(s):
    """ISO/IEC 13818-1, 2.4.4.10: where section_syntax_indicator is 0 there is no CRC_32."""
    for seconds in (1.0, 1.3, 1.6):
        s.put(seconds, of_section(PMT, bytes([0xC0]) + u16(0x7000 | 40) + bytes(40)))
    s.renumber(PMT)


@fault(n2_2=1)
def psip_section_of_the_short_form(s):
    """One whose section_syntax_indicator was damaged: the CRC_32 tells."""
    damaged = bytearray(section(0xC8, 1, bytes([0, 0, 0xFC, 0])))
    damaged[1] &= 0x7F
    s.put(1.0, of_section(PMT, bytes(damaged)))
    s.renumber(PMT)


# ---- PAT and PMT (1.3, 1.5) ------------------------------------------------------------------------

@fault(n1_3=1, n1_3_a=1)
def pat_away_for_700_ms(s): s.remove(PAT, 1.05, 1.65)


@fault()
def pat_away_for_400_ms(s): s.remove(PAT, 1.05, 1.35)


@fault(n1_3=2, n1_3_a=2)
def pat_away_twice(s):
    s.remove(PAT, 0.55, 1.15)
    s.remove(PAT, 1.55, 2.15)


@fault(n1_3=1, n1_3_a=1)
def no_pat(s): s.remove(PAT, 0, 99)


@fault(n1_3=1, n1_3_a=1)
def pat_ends(s): s.remove(PAT, 2.0, 99)


@fault(n1_3=1, n1_3_a=1)
def other_table_on_pid_0(s):
    s.put(1.0, of_section(PAT, section(0x80, 1, b"\0\0\0\0")))
    s.renumber(PAT)


@fault(n1_3=1, n1_3_a=1, n2_6=1, scrambled=1)
def pat_scrambled(s): s.packets[mid(s, PAT, begins)[0]][3] |= 0x80


@fault(n1_5=1, n1_5_a=1)
def pmt_away_for_700_ms(s): s.remove(PMT, 1.05, 1.65)


@fault()
def pmt_away_for_400_ms(s): s.remove(PMT, 1.05, 1.35)


@fault(n1_5=1, n1_5_a=1)
def pmt_ends(s): s.remove(PMT, 2.0, 99)


@fault(n1_5=1, n1_5_a=1)
def no_pmt(s): s.remove(PMT, 0, 99)


@fault(n1_5=1, n1_5_a=1, n2_6=1, scrambled=1)
def pmt_scrambled(s): s.packets[mid(s, PMT, begins)[0]][3] |= 0xC0


@fault(n1_5=1, n1_5_a=1)
def programme_without_pmt(s):
    s.replace_section(PAT, 0, pat(((1, PMT), (2, 0x200))), 1000)


@fault(version_changes=3)
def versions_change(s):
    s.replace_section(PMT, 1.0, pmt(version=1), 1000)
    s.replace_section(PAT, 1.5, pat(version=1), 1000)
    s.replace_section(SDT, 1.0, sdt(version=1), 1000)


# ---- PID (1.6), PTS (2.5) ---------------------------------------------------------------------------

@fault(base="long", n1_6=1, n2_5=1)
def audio_away_for_6_s(s): s.remove(AUDIO, 10, 16)


@fault(base="long", n2_5=1)
def audio_away_for_4_s(s): s.remove(AUDIO, 10, 14)


@fault(base="long", n1_6=1, n2_5=1)
def audio_ends(s): s.remove(AUDIO, 20, 99)


@fault(base="long", n1_6=1)
def no_audio(s): s.remove(AUDIO, 0, 99)


def without_pts(s, begin, end):
    for i in s.indices(AUDIO, begin, end, begins):
        p = s.packets[i]
        data = bytes(p[4 + (1 + p[4] if p[3] & 0x20 else 0):])
        fresh = packet(AUDIO, pes(0xC0, None, data[14:]), True)
        fresh[3] |= p[3] & 15
        s.packets[i] = fresh


@fault(n2_5=1)
def no_pts_for_800_ms(s): without_pts(s, 1.0, 1.8)


@fault()
def no_pts_for_600_ms(s): without_pts(s, 1.0, 1.6)


def without_video_pts(s, begin, end):
    """PTS_DTS_flags 00; where the stamp stood is stuffing."""
    for i in s.indices(VIDEO, begin, end, begins):
        p = s.packets[i]
        at = 4 + (1 + p[4] if p[3] & 0x20 else 0)
        p[at + 7] = 0
        p[at + 9:at + 14] = b"\xff" * 5


def announce(s, stream_type, descriptor):
    """A video, AVC video or HEVC video descriptor (ISO/IEC 13818-1, 2.6.2, 2.6.64, 2.6.95)."""
    s.replace_section(PMT, 0, section(2, 1, u16(0xE000 | VIDEO) + u16(0xF000) + bytes([stream_type]) + u16(
        0xE000 | VIDEO) + u16(0xF000 | len(descriptor)) + descriptor + bytes([3]) + u16(0xE000 | AUDIO) + u16(0xF000)),
        1000)


HEVC_PROFILE_AND_LEVEL = bytes([1]) + bytes(10) + bytes([120])


@fault(n2_5=1)
def no_video_pts_for_800_ms(s): without_video_pts(s, 1.0, 1.8)


@fault(n2_5=1)
def no_video_pts_for_800_ms_and_no_stills(s):
    announce(s, 0x24, bytes([0x38, 13]) + HEVC_PROFILE_AND_LEVEL + bytes([0xBF]))
    without_video_pts(s, 1.0, 1.8)


# "The limitation to 700 ms should not be applied to still pictures" (TR 101 290 table 5.0b, note 3).
@fault()
def mpeg2_stills(s):
    announce(s, 0x02, bytes([0x02, 1, 0x1B]))
    without_video_pts(s, 1.0, 1.8)


@fault()
def avc_stills(s):
    announce(s, 0x1B, bytes([0x28, 4, 100, 0, 40, 0xBF]))
    without_video_pts(s, 1.0, 1.8)


@fault()
def hevc_stills_to_the_end(s):
    announce(s, 0x24, bytes([0x38, 13]) + HEVC_PROFILE_AND_LEVEL + bytes([0x40]))
    without_video_pts(s, 1.0, 99)


@fault(pts_order=1)
def pts_steps_back(s):
    p = s.packets[mid(s, AUDIO, begins)[0]]
    at = 4 + 1 + p[4] + 9
    value = (p[at] >> 1 & 7) << 30 | (p[at + 1] << 8 | p[at + 2]) >> 1 << 15 | (p[at + 3] << 8 | p[at + 4]) >> 1
    p[at:at + 5] = stamp(2, value - 45_000)


# ---- PCR (2.3, 2.4) -----------------------------------------------------------------------------------

def strip_pcr(s, begin, count):
    for i in s.indices(VIDEO, begin, wanted=has_pcr)[:count]:
        s.packets[i][5] &= ~0x10 & 0xFF
        s.packets[i][6:12] = b"\xff" * 6


def move_pcrs(s, begin, ticks, end=1e9, announce=False):
    """Gives the packet of the first that moves."""
    for n, i in enumerate(s.indices(VIDEO, begin, end, has_pcr)):
        s.packets[i][6:12] = pcr_bytes(s.first_pcr + i * s.ticks + (ticks(n) if callable(ticks) else ticks))
        if announce and n == 0:
            s.packets[i][5] |= 0x80
    return s.indices(VIDEO, begin, end, has_pcr)[0]


def move_one_pcr(s, ticks):
    i = s.indices(VIDEO, 1.0, wanted=has_pcr)[0]
    s.packets[i][6:12] = pcr_bytes(s.first_pcr + i * s.ticks + ticks)
    return i


@fault(n2_3=1, n2_3a=1, n2_3b=1)
def pcr_away_for_120_ms(s): strip_pcr(s, 1.0, 2)


@fault()
def pcr_away_for_80_ms(s): strip_pcr(s, 1.0, 1)


@fault(n2_3=1, n2_3a=1, n2_3b=1)
def pcr_away_for_400_ms(s): strip_pcr(s, 1.0, 9)


@fault(n2_3=1, n2_3b=1)
def pcr_jumps_5_s(s): return {"2.3b": [move_pcrs(s, 1.0, 5 * 27_000_000)]}


@fault(n2_3=1, n2_3b=1)
def pcr_jumps_back_1_s(s): return {"2.3b": [move_pcrs(s, 1.0, -27_000_000)]}


@fault(n2_3=2, n2_3b=2)
def one_pcr_is_wild(s): move_one_pcr(s, 3 * 27_000_000)


@fault(signalled_discontinuities=1)
def pcr_jump_announced(s): move_pcrs(s, 1.0, 5 * 27_000_000, announce=True)


@fault(signalled_discontinuities=1, dup=1)
def packet_with_discontinuity_sent_twice(s):
    """2.4.3.3 lets it be sent twice like any other: one discontinuity, one PTS, one duplicate."""
    i = mid(s, VIDEO, has_pcr)[0]
    s.packets[i][5] |= 0x80
    duplicate_with_its_own_pcr(s)


@fault(wraps=1, base="wrapping")
def pcr_wraps(s): pass


@fault(n2_4=1)
def one_pcr_1_us_late(s): return {"2.4": [move_one_pcr(s, 27)]}


@fault(n2_4=1)
def one_pcr_600_ns_early(s): return {"2.4": [move_one_pcr(s, -16)]}


@fault()
def one_pcr_400_ns_late(s): move_one_pcr(s, 11)


@fault(n2_4=1)
def one_pcr_5_ms_late(s): move_one_pcr(s, 5 * 27_000)


@fault(n2_4=None, jitter_ns=[19_000, 21_000])
def pcr_jitter_of_20_us(s):
    move_pcrs(s, 0.0, lambda n: round(270 * math.sin(n * 0.9)))


# ---- conditional access (2.6) ---------------------------------------------------------------------------

def scramble_audio(s, seconds=1.0):
    found = s.indices(AUDIO, seconds)
    for i in found:
        s.packets[i][3] |= 0x80
    return len(found)


@fault(n2_6=1, scrambled=None)
def scrambled_without_cat(s): scramble_audio(s)


def cat(emm=SCRAMBLED_AUDIO_ECM):
    return section(0x01, 0xFFFF, bytes([9, 4]) + u16(0x1234) + u16(0xE000 | emm))


@fault(scrambled=None)
def scrambled_with_cat(s):
    for when in (0.2, 0.7, 1.2, 1.7, 2.2):
        s.put(when, of_section(CAT, cat()))
    s.renumber(CAT)
    scramble_audio(s)


@fault(n2_6=1)
def other_table_on_pid_1(s):
    s.put(0.5, of_section(CAT, cat()))
    s.put(1.0, of_section(CAT, section(0x80, 1, b"\0\0\0\0")))
    s.renumber(CAT)


@fault(n2_2=1)
def crc_of_cat(s):
    s.put(0.5, of_section(CAT, cat()))
    s.put(1.0, of_section(CAT, cat()))
    s.renumber(CAT)
    spoil(s, CAT)


# ---- service information (3.x) -----------------------------------------------------------------------------

@fault(base="long", n3_5=1, n3_5_a=1, n3_2=1)
def sdt_away_for_3_s(s): s.remove(SDT, 10.25, 12.75)


@fault(base="long")
def sdt_away_for_1_5_s(s): s.remove(SDT, 10.25, 11.25)


@fault(base="long", n3_1=1, n3_1_a=1, n3_2=1)
def nit_away_for_12_s(s): s.remove(NIT, 10.9, 20.9)


@fault(base="long", n3_6=1, n3_6_a=1, n3_2=1)
def eit_present_away_for_3_s(s):
    for i in s.indices(EIT, 10.5, 12.5, lambda p: p[11] == 0):
        s.packets[i] = null()
    s.renumber(EIT)


@fault(n3_6_c=1)
def eit_following_missing(s):
    for i in s.indices(EIT, wanted=lambda p: p[11] == 1):
        s.packets[i] = null()
    s.renumber(EIT)


@fault(base="long", n3_8=1, n3_2=1)
def tdt_away_for_31_s(s):
    for i in s.indices(TDT, 1, 32, lambda p: p[5] == 0x70):
        s.packets[i] = null()
    s.renumber(TDT)


def put_other_table(s, pid, table_id=0x80):
    s.put(1.1, of_section(pid, section(table_id, 7, b"\0\0\0\0")))
    s.renumber(pid)


@fault(n3_1=1)
def other_table_on_nit_pid(s): put_other_table(s, NIT)


@fault(n3_5=1)
def other_table_on_sdt_pid(s): put_other_table(s, SDT)


@fault(n3_6=1)
def other_table_on_eit_pid(s): put_other_table(s, EIT)


@fault(n3_7=1)
def other_table_on_rst_pid(s): put_other_table(s, RST)


@fault(n3_8=1)
def other_table_on_tdt_pid(s): put_other_table(s, TDT)


def put_close(s, pid, data, first_after=0.05):
    i = s.indices(pid, 1.0)[0]
    s.put(s.seconds(i) + first_after, of_section(pid, data))
    s.renumber(pid)


@fault(n3_5_a=1, n3_2=1)
def sdt_sections_10_ms_apart(s): put_close(s, SDT, sdt(), 0.010)


@fault()
def sdt_sections_40_ms_apart(s): put_close(s, SDT, sdt(), 0.040)


@fault(n3_1_a=1, n3_2=1)
def nit_sections_10_ms_apart(s): put_close(s, NIT, nit(), 0.010)


def put_foreign(s, begin, end, every=0.02):
    when = begin
    while when < end:
        s.put(when, packet(0x777, b"\x55" * 184))
        when += every
    s.renumber(0x777)


@fault(n3_4=1)
def unreferenced_pid(s): put_foreign(s, 1.0, 2.0)


@fault()
def unreferenced_pid_for_300_ms(s): put_foreign(s, 1.0, 1.3)


# ---- several at once -----------------------------------------------------------------------------------------

@fault(n1_4=1, cc=1, lost=1, n2_1=1, tei=1, n1_2=1, sync_bytes=1, n2_2=1, n1_3=1, n1_3_a=1)
def five_faults_at_once(s):
    s.packets[mid(s, AUDIO, begins)[3]][0] = 0x46
    set_error(s, VIDEO, wanted=plain)
    spoil(s, SDT)
    s.remove(PAT, 1.55, 2.15)
    s.packets[mid(s, VIDEO, plain, 2.3)[0]] = null()


# ---- the edges of counters, streams and tables ---------------------------------------------------------------

def counter(p):
    return p[3] & 15


@fault(n1_4=1, cc=1, lost=1)
def loss_at_the_wrap_of_the_counter(s):
    del s.packets[mid(s, wanted=lambda p: plain(p) and counter(p) == 15)[0]]


@fault(n1_4=1, cc=1, lost=2)
def loss_over_the_wrap_of_the_counter(s):
    found = mid(s)
    i = next(k for k, n in zip(found, found[1:]) if counter(s.packets[k]) == 15 and counter(s.packets[n]) == 0)
    for k in (i, found[found.index(i) + 1]):
        s.packets[k] = null()


@fault(dup=1)
def duplicate_at_the_wrap_of_the_counter(s): repeat(s, 1, wanted=lambda p: begins(p) and counter(p) == 15)


@fault(dup=1, n1_4=1, cc=1, lost=1)
def duplicate_and_then_a_loss(s):
    repeat(s, 1)
    s.packets[mid(s, AUDIO, begins)[2]] = null()


@fault(dup=2)
def two_pids_repeat_at_once(s):
    repeat(s, 1)
    repeat(s, 1, pid=SDT)


@fault()
def stream_begins_late(s): del s.packets[:3]


@fault()
def stream_ends_early(s): del s.packets[-5:]


@fault(n1_4=1, cc=1, lost=1)
def second_packet_of_a_pid_lost(s): s.packets[s.indices(VIDEO)[1]] = null()


@fault()
def null_packets_of_any_bytes(s):
    rnd = random.Random(4)
    for i in s.indices(NULL):
        s.packets[i][3] = 0x10 | rnd.randrange(16)
        s.packets[i][4:] = bytes(rnd.randrange(256) for _ in range(184))


@fault()
def payload_full_of_sync_bytes(s):
    for i in s.indices(VIDEO, wanted=plain):
        s.packets[i][4:] = bytes([0x47]) * 184


@fault(leading=150)
def sync_bytes_in_front(s): s.prefix = bytes([0x47]) * 150


@fault(leading=188)
def first_sync_byte_is_bad(s): s.packets[0][0] = 0x46


@fault(n1_2=1, sync_bytes=1)
def last_sync_byte_is_bad(s):
    s.packets[-1][0] = 0x46
    return {"1.2": [s.count - 1]}


@fault(n1_1=1, n1_2=2, sync_bytes=2, sync_losses=1, skipped=376)
def last_two_sync_bytes_are_bad(s): s.packets[-1][0] = s.packets[-2][0] = 0x46


@fault(n1_1=1, n1_2=2, sync_bytes=2, sync_losses=1, skipped=376, n1_4=1, cc=1, lost=2)
def two_video_packets_overwritten(s):
    found = set(mid(s))
    i = next(k for k in sorted(found) if k + 1 in found)
    s.packets[i] = s.packets[i + 1] = bytearray(188)


@fault(n1_1=1, n1_2=2, sync_bytes=2, sync_losses=1, skipped=5)
def five_bytes_of_a_null_packet_missing_and_ten_more(s):
    i = null_pair(s)
    del s.packets[i][183:]
    s.packets.insert(i + 1, bytearray(10))


@fault()
def field_length_beyond_the_packet(s):
    i = mid(s)[0]
    s.packets[i][3] |= 0x30
    s.packets[i][4] = 200


@fault()
def reserved_field_control(s):
    """adaptation_field_control 00: no payload, the counter rests."""
    i = mid(s, AUDIO, begins)[0]
    s.packets[next_null(s, i)] = bytearray(bytes([0x47]) + u16(AUDIO) + bytes([counter(s.packets[i])]) + b"\xff" * 184)


@fault(n2_1=1, tei=1)
def transport_error_on_a_duplicate(s):
    repeat(s, 1)
    i = mid(s, AUDIO, begins)[1]
    s.packets[i][1] |= 0x80


def flap(s):
    for n, i in enumerate(s.indices(PMT, 1.0)):
        fresh = of_section(PMT, pmt(version=n % 2 + 1))
        fresh[3] |= counter(s.packets[i])
        s.packets[i] = fresh
    return len(s.indices(PMT, 1.0))


@fault(version_changes=21)
def pmt_version_flaps(s): assert flap(s) == 21


def next_table(data):
    """The same with current_next_indicator 0 and the CRC_32 made anew."""
    head = data[:5] + bytes([data[5] & 0xFE]) + data[6:-4]
    return head + crc32(head).to_bytes(4, "big")


@fault()
def next_tables_are_announced(s):
    for when in (0.9, 1.4, 1.9):
        s.put(when, of_section(PMT, next_table(pmt(version=1, components=((0x1B, 0x500),)))))
        s.put(when, of_section(PAT, next_table(pat(((9, 0x501),), version=1))))
    s.renumber(PMT)
    s.renumber(PAT)


@fault(n2_2=1)
def crc_of_a_next_table(s):
    s.put(0.9, of_section(PMT, next_table(pmt(version=1))))
    i = s.put(1.4, of_section(PMT, next_table(pmt(version=1))))
    s.packets[i][20] ^= 1
    s.renumber(PMT)


def long_pmt():
    return pmt(descriptors=bytes([0xF0, 240]) + bytes(range(240)) + bytes([0xF0, 240]) + bytes(range(240)))


def of_long_section(pid, data):
    out = [packet(pid, b"\0" + data[:183], start=True)]
    for at in range(183, len(data), 184):
        out.append(packet(pid, data[at:at + 184], stuff_behind=True))
    return out


def lengthen_pmts(s):
    """Every PMT section over three packets."""
    for i in s.indices(PMT):
        at = i
        for p in of_long_section(PMT, long_pmt()):
            s.packets[at] = p
            at = next_null(s, at)
    s.renumber(PMT)
    assert len(s.indices(PMT)) % 3 == 0


@fault()
def sections_over_three_packets(s): lengthen_pmts(s)


@fault(n1_4=1, cc=1, lost=1)
def middle_of_a_section_lost(s):
    lengthen_pmts(s)
    i = next(k for k in mid(s, PMT) if not begins(s.packets[k]))
    s.packets[i] = null()


@fault(n2_2=1)
def middle_of_a_section_damaged(s):
    lengthen_pmts(s)
    i = next(k for k in mid(s, PMT) if not begins(s.packets[k]))
    s.packets[i][50] ^= 4


@fault(dup=1)
def end_of_a_section_repeated(s):
    lengthen_pmts(s)
    i = [k for k in mid(s, PMT) if not begins(s.packets[k])][1]
    s.packets[next_null(s, i)] = bytearray(s.packets[i])


def bat():
    return section(0x4A, 5, u16(0xF000) + u16(0xF000))


@fault()
def two_sections_in_one_packet(s):
    for i in s.indices(SDT):
        fresh = of_section(SDT, sdt() + bat())
        fresh[3] |= counter(s.packets[i])
        s.packets[i] = fresh


@fault(n2_2=1)
def second_section_of_a_packet_damaged(s):
    two_sections_in_one_packet(s)
    s.packets[s.indices(SDT, 1.0)[0]][5 + len(sdt()) + 9] ^= 1


@fault(n2_2=1)
def first_section_of_a_packet_damaged(s):
    two_sections_in_one_packet(s)
    s.packets[s.indices(SDT, 1.0)[0]][5 + 9] ^= 1


def share_packets(s):
    """The end of one section and the start of the next in one packet, which the pointer_field tells."""
    for i in s.indices(SDT):
        both = sdt() + long_bat()
        s.packets[i] = packet(SDT, b"\0" + both[:183], start=True)
        at, rest = next_null(s, i), both[183:]
        s.packets[at] = packet(SDT, bytes([len(rest)]) + rest + bat(), start=True, stuff_behind=True)
    s.renumber(SDT)


def long_bat():
    text = bytes([0x47, 200]) + b"N" * 200
    return section(0x4A, 6, u16(0xF000 | len(text)) + text + u16(0xF000))


@fault()
def sections_that_share_packets(s): share_packets(s)


@fault(n2_2=1)
def section_that_shares_packets_damaged(s):
    share_packets(s)
    s.packets[s.indices(SDT, 1.0)[0]][150] ^= 1


@fault(n1_4=1, cc=1, lost=1)
def end_of_one_section_and_start_of_another_lost(s):
    share_packets(s)
    s.packets[s.indices(SDT, 1.0)[1]] = null()


def split_pat(number):
    return section(0, 1, u16(number + 1) + u16(0xE000 | (PMT if number == 0 else 0x200)), number=number, last=1)


def pats_of_two_sections(s):
    for i in s.indices(PAT):
        s.packets[i] = of_section(PAT, split_pat(0))
        s.packets[next_null(s, i)] = of_section(PAT, split_pat(1))
    s.renumber(PAT)


@fault(n1_5=1, n1_5_a=1)
def programme_of_a_second_section_has_no_pmt(s): pats_of_two_sections(s)


@fault()
def pat_of_two_sections(s):
    pats_of_two_sections(s)
    other = section(2, 2, u16(0xFFFF) + u16(0xF000) + bytes([0x03]) + u16(0xE000 | AUDIO) + u16(0xF000))
    for i in s.indices(PMT):
        s.packets[next_null(s, i)] = of_section(0x200, other)
    s.renumber(0x200)


@fault()
def two_programmes_on_one_pmt_pid(s):
    s.replace_section(PAT, 0, pat(((1, PMT), (2, PMT))), 1000)
    other = section(2, 2, u16(0xFFFF) + u16(0xF000) + bytes([0x03]) + u16(0xE000 | AUDIO) + u16(0xF000))
    for i in s.indices(PMT):
        s.packets[next_null(s, i)] = of_section(PMT, other)
    s.renumber(PMT)


@fault()
def network_pid_of_its_own(s):
    s.replace_section(PAT, 0, pat(((0, 0x20), (1, PMT))), 1000)
    for i in s.indices(NIT):
        s.packets[i] = of_section(0x20, nit())
    s.renumber(0x20)


@fault(scrambled=None)
def keys_are_referred_to(s):
    """ECM by the PMT, EMM by the CAT: neither is unreferenced."""
    s.replace_section(PMT, 0, pmt(descriptors=bytes([9, 4]) + u16(0x1234) + u16(0xE160)), 1000)
    for n in range(28):
        s.put(0.2 + 0.1 * n, of_section(CAT, cat()))
        s.put(0.2 + 0.1 * n, packet(0x160, b"\x80" * 184))
        s.put(0.2 + 0.1 * n, packet(SCRAMBLED_AUDIO_ECM, b"\x82" * 184))
    for pid in (CAT, 0x160, SCRAMBLED_AUDIO_ECM):
        s.renumber(pid)
    scramble_audio(s)


@fault(version_changes=1)
def a_pid_is_referred_to_in_time(s):
    put_foreign(s, 1.0, 2.5)
    s.replace_section(PMT, 1.3, pmt(1, components=((0x02, VIDEO), (0x03, AUDIO), (0x06, 0x777))), 1000)


@fault(n3_7=1, n3_2=1)
def rst_sections_10_ms_apart(s):
    running = bytes([0x71]) + u16(0x7000 | 9) + u16(1) + u16(1) + u16(1) + u16(1) + b"\xfc"
    for when in (1.0, 1.01):
        s.put(when, of_section(RST, running))
    s.renumber(RST)


@fault(n3_8=1, n3_2=1)
def tdt_sections_10_ms_apart(s):
    for when in (1.0, 1.01):
        s.put(when, of_section(TDT, tdt()))
    s.renumber(TDT)


def put_twice(s, pid, data, first, second):
    for when in (first, second):
        s.put(when, of_section(pid, data))
    s.renumber(pid)


@fault(base="long", n3_2=1)
def bat_12_s_apart(s):
    put_twice(s, SDT, section(0x4A, 5, u16(0xF000) + u16(0xF000)), 15, 27)


@fault(base="long", n3_1_b=1, n3_2=1)
def other_nit_12_s_apart(s):
    put_twice(s, NIT, section(0x41, 7, u16(0xF000) + u16(0xF000)), 15, 27)


@fault(base="long", n3_5_b=1, n3_2=1)
def other_sdt_12_s_apart(s):
    put_twice(s, SDT, section(0x46, 7, u16(1) + b"\xff"), 15, 27)


@fault(base="long", n1_6=1, n2_5=1)
def audio_away_for_5_1_s(s): s.remove(AUDIO, 10, 15.1)


@fault(base="long", n2_5=1)
def audio_away_for_4_9_s(s): s.remove(AUDIO, 10, 14.9)


@fault(n1_3=1, n1_3_a=1, n1_5=1, n1_5_a=1)
def pat_and_pmt_away_together(s):
    s.remove(PAT, 1.05, 1.65)
    s.remove(PMT, 1.05, 1.65)


@fault(base="wrapping", wraps=1, n1_4=1, cc=1, lost=1)
def pcr_at_the_wrap_is_lost(s):
    i = next(k for k in s.indices(VIDEO, wanted=has_pcr) if s.seconds(k) * 27_000_000 > 40_000_000)
    s.packets[i] = null()


@fault(base="wrapping", n2_3=1, n2_3b=1)
def pcr_jumps_over_the_wrap(s): move_pcrs(s, 1.0, 5 * 27_000_000)


@fault(n2_4=2)
def two_pcrs_1_us_late(s):
    for seconds in (1.0, 2.0):
        i = s.indices(VIDEO, seconds, wanted=has_pcr)[0]
        s.packets[i][6:12] = pcr_bytes(s.first_pcr + i * s.ticks + 27)


@fault()
def pts_wraps(s):
    for pid, step in ((VIDEO, 3600), (AUDIO, 4320)):
        for n, i in enumerate(s.indices(pid, wanted=begins)):
            p = s.packets[i]
            at = 4 + (1 + p[4] if p[3] & 0x20 else 0) + 9
            p[at:at + 5] = stamp(2, ((1 << 33) - 90_000 + step * n) % (1 << 33))


@fault(n1_4=3, cc=3, lost=3, n2_2=2, n2_1=2, tei=2, dup=1)
def many_faults_at_once(s):
    spoil(s, SDT)
    spoil(s, PMT)
    set_error(s, NULL, 2)
    repeat(s, 1)
    for seconds in (1.5, 2.0, 2.5):
        s.packets[mid(s, seconds=seconds)[0]] = null()


def main():
    folder = pathlib.Path(sys.argv[1])
    bases = {
        "short": Stream(20_304, 3.1),          # 2 Mbit/s
        "long": Stream(101_520, 36),           # 0.4 Mbit/s
        "wrapping": Stream(20_304, 3.1, (1 << 33) * 300 - 40_000_000),
    }
    catalogue = []
    for name, base, change, expect in FAULTS:
        stream = bases[base].copy()
        stream.prefix = stream.suffix = b""
        causes = change(stream)
        (folder / f"{name}.ts").write_bytes(stream.prefix + b"".join(stream.packets) + stream.suffix)
        catalogue.append({"name": name, "packet_ns": stream.ticks * 1000 // 27, "expect": expect,
                          "packets": causes or {}})
    (folder / "catalogue.json").write_text(json.dumps(catalogue, indent=1))
    print(len(catalogue))


if __name__ == "__main__":
    main()
