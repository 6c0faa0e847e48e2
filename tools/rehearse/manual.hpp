// SPDX-License-Identifier: Apache-2.0
// What the manual page of mastline-rehearse says beyond its help, in roff: man(7).
#pragma once

#include "mastline/text/manual_page.hpp"

namespace mastline {

inline Manual manual() {
    return {"send the streams of a plan from a simulated head-end",
R"roff(.B mastline-rehearse
makes a legal MPEG transport stream for every channel of a plan and sends it as planned: group, port,
sender, rate, TTL, DSCP, UDP or RTP.
On request it breaks some of them, so that a cutover can be tried before it happens.
.PP
It sends on loopback and on an end of a veth pair only, so that a rehearsal cannot reach a real
network by mistake.
)roff",
{
{"--announce", R"roff(Announce the sessions as the files of
.I sdp/
beside
.I PLAN
describe them, by the Session Announcement Protocol (RFC 2974): at the start, then every 300 s or as
long as the number of sessions needs, each time up to a third sooner or later, to port 9875 of the
scope's announcement group with TTL 255; at the end they are taken back. A receiver that lists
announced sessions shows them.)roff"},
{"--scope", R"roff(An administrative scope of the site (RFC 2365), "239.16.32.0\-239.16.33.255" or "239.192.0.0/14":
sessions of its groups are announced on its highest group. The narrowest that holds a group counts.
Groups of 239/8 in no such scope are announced on the highest group of the block that RFC 2365 cuts
there, all others on 224.2.127.254; IPv6 groups on ff0X::2:7ffe of their scope. May be repeated.)roff"},
{"--play", R"roff(It is sent at its own PCR rate.)roff"},
{"--fault", R"roff(Such as
.BR 101:loss@5s+10s,every=50 .)roff"},
{"--allow-real-interface", R"roff(Think of what else listens there.)roff"}},
R"roff(.SH EXIT STATUS
.TP
.B 0
Sent.
.TP
.B 2
Unusable plan, fault or usage.
.TP
.B 3
The machine refused: permission, interface, disk.
)roff"};
}

}  // namespace mastline
