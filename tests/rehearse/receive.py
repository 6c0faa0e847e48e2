#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Joins groups on an interface and prints as JSON what came in on each, until it is quiet.

receive.py INTERFACE GROUP:PORT [GROUP:PORT...]     IPv6 groups in brackets
"""
import collections
import json
import select
import socket
import struct
import sys
import time

QUIET_S = 1.5
LONGEST_S = 30
IP_RECVTTL, IP_RECVTOS, IPV6_RECVHOPLIMIT, IPV6_RECVTCLASS = 12, 13, 51, 66
TTL = {(socket.IPPROTO_IP, socket.IP_TTL), (socket.IPPROTO_IPV6, 52)}
TOS = {(socket.IPPROTO_IP, socket.IP_TOS), (socket.IPPROTO_IPV6, 67)}


def joined(interface, flow):
    group, port = flow.rsplit(":", 1)
    group = group.strip("[]")
    index = socket.if_nametoindex(interface)
    v6 = ":" in group
    s = socket.socket(socket.AF_INET6 if v6 else socket.AF_INET, socket.SOCK_DGRAM)
    s.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    s.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 1 << 22)
    if v6:
        s.bind((group, int(port), 0, index))
        packed = socket.inet_pton(socket.AF_INET6, group)
        s.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_JOIN_GROUP, packed + struct.pack("@I", index))
        s.setsockopt(socket.IPPROTO_IPV6, IPV6_RECVHOPLIMIT, 1)
        s.setsockopt(socket.IPPROTO_IPV6, IPV6_RECVTCLASS, 1)
    else:
        s.bind((group, int(port)))
        request = struct.pack("@4s4si", socket.inet_aton(group), b"\0\0\0\0", index)
        s.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP, request)
        s.setsockopt(socket.IPPROTO_IP, IP_RECVTTL, 1)
        s.setsockopt(socket.IPPROTO_IP, IP_RECVTOS, 1)
    return s


def note(record, payload, ancillary, sender):
    record["datagrams"] += 1
    record["sizes"].add(len(payload))
    record["sources"][sender[0].split("%")[0]] += 1
    record["ports"].add(sender[1])
    for level, kind, data in ancillary:
        if (level, kind) in TTL:
            record["ttl"].add(struct.unpack("@i", data)[0])
        if (level, kind) in TOS:
            record["dscp"].add((data[0] if len(data) == 1 else struct.unpack("@i", data)[0]) >> 2)


def main():
    interface, flows = sys.argv[1], sys.argv[2:]
    sockets = {joined(interface, flow): flow for flow in flows}
    seen = {flow: {"datagrams": 0, "sizes": set(), "sources": collections.Counter(), "ports": set(),
                   "ttl": set(), "dscp": set()} for flow in flows}
    end, heard = time.monotonic() + LONGEST_S, None
    while time.monotonic() < end and (heard is None or time.monotonic() < heard + QUIET_S):
        for s in select.select(list(sockets), [], [], 0.2)[0]:
            payload, ancillary, _, sender = s.recvmsg(2048, 256)
            heard = time.monotonic()
            note(seen[sockets[s]], payload, ancillary, sender)
    print(json.dumps(seen, default=sorted))


main()
