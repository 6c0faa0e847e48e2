#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Hears session announcements on an interface and prints what a reader of RFC 2974 makes of them.

    receive_sap.py INTERFACE COUNT SECONDS GROUP...

Until COUNT messages were heard, at most SECONDS.

The header is described for scapy from RFC 2974 section 6, so that no code of the sender is used.
"""
import json
import socket
import struct
import sys
import time

from scapy.fields import (BitEnumField, BitField, ByteField, IPField, IP6Field, MultipleTypeField,
                          StrNullField, XShortField)
from scapy.packet import Packet


class Sap(Packet):
    fields_desc = [
        BitField("version", 0, 3), BitEnumField("A", 0, 1, {0: "ipv4", 1: "ipv6"}),
        BitField("R", 0, 1), BitEnumField("T", 0, 1, {0: "announcement", 1: "deletion"}),
        BitField("E", 0, 1), BitField("C", 0, 1), ByteField("auth_len", 0),
        XShortField("hash", 0),
        MultipleTypeField([(IP6Field("source", "::"), lambda p: p.A == 1)], IPField("source", "0.0.0.0")),
        StrNullField("payload_type", ""),
    ]


def listen(interface, group):
    family = socket.AF_INET6 if ":" in group else socket.AF_INET
    s = socket.socket(family, socket.SOCK_DGRAM)
    s.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    s.bind((group, 9875) if family == socket.AF_INET else (group, 9875, 0, socket.if_nametoindex(interface)))
    index = socket.if_nametoindex(interface)
    if family == socket.AF_INET:
        s.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP,
                     socket.inet_aton(group) + struct.pack("=4sI", b"\0" * 4, index))
        s.setsockopt(socket.IPPROTO_IP, 12, 1)  # IP_RECVTTL of Linux, which Python does not name
    else:
        s.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_JOIN_GROUP,
                     socket.inet_pton(family, group) + struct.pack("=I", index))
        s.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_RECVHOPLIMIT, 1)
    s.setblocking(False)
    return s


interface, count, seconds, groups = sys.argv[1], int(sys.argv[2]), float(sys.argv[3]), sys.argv[4:]
sockets = [(g, listen(interface, g)) for g in groups]
heard, end = [], time.monotonic() + seconds
while len(heard) < count and time.monotonic() < end:
    for group, s in sockets:
        try:
            data, ancillary, _, sender = s.recvmsg(65535, 256)
        except BlockingIOError:
            continue
        packet = Sap(data)
        heard.append({
            "group": group, "from": sender[0], "ttl": struct.unpack("=i", ancillary[0][2])[0],
            "version": packet.version, "type": packet.T, "hash": packet.hash, "source": packet.source,
            "auth": packet.auth_len, "flags": packet.R + packet.E + packet.C,
            "payload_type": packet.payload_type.decode(), "payload": bytes(packet.payload).decode()})
    time.sleep(0.001)
print(json.dumps(heard))
