# SPDX-License-Identifier: Apache-2.0
"""Three Linux bridges in a private network namespace: core, east and west, a sender at core, one
receiver at east and one at west. Prints the bytes and packets that left each port, as JSON.

usage: unshare -n -m python3 three_bridges.py MODE   (snooping | flooding | router-port)
Run inside namespaces of its own, network and mount; it makes further ones for the hosts and leaves nothing behind.
"""
import ctypes
import json
import os
import socket
import struct
import subprocess
import sys
import time

GROUPS = [("239.192.1.%d" % (1 + i), 100 * (1 + i)) for i in range(5)]  # group, datagrams
PAYLOAD = b"\x47" + bytes(1315)
JOINS = {"east": ["239.192.1.1", "239.192.1.3"], "west": ["239.192.1.2"]}
CLONE_NEWNET = 0x40000000


def ip(*words):
    subprocess.run(["ip", *words], check=True)


def host(index, name, work):
    """A process in a namespace of its own with one end of a veth; returns (pid, go, done)."""
    ready_r, ready_w = os.pipe()
    go_r, go_w = os.pipe()
    done_r, done_w = os.pipe()
    pid = os.fork()
    if pid == 0:
        libc = ctypes.CDLL(None, use_errno=True)
        if libc.unshare(CLONE_NEWNET) != 0:
            os._exit(3)
        os.write(ready_w, b"x")
        os.read(go_r, 1)
        ip("addr", "add", "10.9.0.%d/24" % (10 + index), "dev", "h" + name)
        ip("link", "set", "h" + name, "up")
        ip("route", "add", "224.0.0.0/4", "dev", "h" + name)
        work(go_r, done_w)
        os._exit(0)
    os.read(ready_r, 1)
    ip("link", "set", "h" + name, "netns", str(pid))
    os.write(go_w, b"x")
    return pid, go_w, done_r


def receive(groups):
    def work(go, done):
        s = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        for g in groups:
            s.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP,
                         socket.inet_aton(g) + struct.pack("=I", socket.INADDR_ANY))
        os.write(done, b"x")
        os.read(go, 1)
    return work


def send(go, done):
    s = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    s.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_TTL, 8)
    s.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_LOOP, 0)
    os.write(done, b"x")
    os.read(go, 1)
    left = {g: n for g, n in GROUPS}
    start, ticks = time.monotonic(), 200
    for tick in range(ticks):
        for g, n in GROUPS:
            due = n * (tick + 1) // ticks
            while n - left[g] < due:
                s.sendto(PAYLOAD, (g, 5004))
                left[g] -= 1
        time.sleep(max(0.0, start + 2.0 * (tick + 1) / ticks - time.monotonic()))
    os.write(done, b"x")
    os.read(go, 1)


def bridge(name, mode):
    ip("link", "add", name, "type", "bridge")
    snooping = "0" if mode == "flooding" else "1"
    ip("link", "set", name, "type", "bridge", "mcast_snooping", snooping,
       "mcast_startup_query_interval", "50", "mcast_query_response_interval", "50")


def cable(a, b):
    ip("link", "add", "%s-%s" % (a, b), "type", "veth", "peer", "name", "%s-%s" % (b, a))
    for one, other in ((a, b), (b, a)):
        ip("link", "set", "%s-%s" % (one, other), "master", one, "up")


def counters():
    out = {}
    for port in os.listdir("/sys/class/net"):
        if "-" not in port:
            continue
        read = lambda f: int(open("/sys/class/net/%s/statistics/%s" % (port, f)).read())
        out[port] = (read("tx_bytes"), read("tx_packets"))
    return out


def main(mode):
    subprocess.run(["mount", "-t", "sysfs", "sysfs", "/sys"], check=True)
    ip("link", "set", "lo", "up")
    for name in ("core", "east", "west"):
        bridge(name, mode)
    cable("core", "east")
    cable("core", "west")
    hosts = {"sender": ("core", send), "one": ("east", receive(JOINS["east"])),
             "two": ("west", receive(JOINS["west"]))}
    running = {}
    for index, (name, (at, work)) in enumerate(hosts.items()):
        ip("link", "add", "h" + name, "type", "veth", "peer", "name", "%s-%s" % (at, name))
        ip("link", "set", "%s-%s" % (at, name), "master", at, "up")
        running[name] = host(index, name, work)
    if mode != "flooding":
        ip("addr", "add", "10.9.0.1/24", "dev", "core")
        ip("link", "set", "core", "type", "bridge", "mcast_querier", "1", "mcast_query_use_ifaddr", "1")
    if mode == "router-port":
        subprocess.run(["bridge", "link", "set", "dev", "core-west", "mcast_router", "2"], check=True)
    for name in ("core", "east", "west"):
        ip("link", "set", name, "up")
    for _, _, done in running.values():
        os.read(done, 1)
    time.sleep(4)  # joins and the first queries settle
    before = counters()
    pid, go, done = running["sender"]
    os.write(go, b"x")
    os.read(done, 1)
    time.sleep(0.3)
    after = counters()
    for _, (pid, go, _) in running.items():
        os.write(go, b"x")
        os.waitpid(pid, 0)
    print(json.dumps({p: {"bytes": after[p][0] - before[p][0], "packets": after[p][1] - before[p][1]}
                      for p in sorted(after)}))


main(sys.argv[1])
