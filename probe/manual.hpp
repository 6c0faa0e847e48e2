// SPDX-License-Identifier: Apache-2.0
// What the manual page of mastline-probe says beyond its help, in roff: man(7).
#pragma once

#include "mastline/text/manual_page.hpp"
#include "mastline/web/token_manual.hpp"

namespace mastline {

inline Manual manual() {
    return {"judge the streams of a multicast network by its plan",
R"roff(.B mastline-probe
watches MPEG transport streams carried in UDP or RTP to multicast groups, and says what it saw.
With a plan written by
.BR mastline-planner (1)
it judges each channel: is it there, from the right sender, the right programme, complete, healthy.
Where several channels fail together it names the parts of the plan that would explain it.
)roff",
{
{"verify", R"roff(The groups are left at the end, also on Ctrl-C, which ends the watch early and still reports.)roff"},
{"watch", R"roff(What fails stays told for one window at least and two at most; the last hour of every channel is kept.
Lines have priorities where they go to the journal
.RB ( sd-daemon (3)).
With
.B \-\-listen
the same is a page, told of every look as it happens, with the measurements beside it at
.IR /metrics ;
see
.BR "WATCHING FOR GOOD" .)roff"},
{"read", R"roff(Transport streams have packets of 188, 192 or 204 bytes.)roff"},
{"survey", R"roff(Tells groups, senders, rates, services, members and queriers.)roff"},
{"compare", R"roff(Tells channels that broke, still fail, were repaired, removed or added.)roff"},
{"verify --listen", R"roff(.B ring
needs CAP_NET_RAW.)roff"},
{"watch --listen", R"roff(Port 0 is any free one, which is told.)roff"},
{"watch --token-file", R"roff(Every request must bring the token: as
.BR "Authorization: Bearer" ,
or once as
.B ?token=
behind the page's address, which keeps it in a cookie.
The connection is not encrypted: beyond a trusted network put it behind a proxy that is.)roff"},
{"watch --window", R"roff(From 5 s to 10 min.)roff"},
{"verify --leave", R"roff(Needs
.BR "\-\-listen ring" ,
5 min at most.
A flow fails that still arrives half a second after it should have stopped: a switch asks whether another member
is left as often and as far apart as its queries state, by default twice, a second apart (RFC 3376 section 8.8).)roff"},
{"verify --stills", R"roff(Of each channel the first picture of its video is decoded by
.BR mastline-still ,
a program of its own that can reach neither files nor network, and may crash without harm.
Where there is none, the page says why; a scrambled channel has none.
What is observed and judged does not depend on it.)roff"},
{"watch --stills", R"roff(As for
.BR verify :
on the page, a new one of each channel about every half minute, less often where decoding that many would take more than
a quarter of a processor.
Where there is none any more, the old one goes.)roff"},
{"read --stills", R"roff(As for
.BR verify .)roff"},
{"read --threads", R"roff(All flows to one address are looked at by the same thread.)roff"},
{"verify --evidence", R"roff(A capture holds what came before and after the first fault, half each; where no single packet shows the
fault, the last that came.
It is bounded to 1 MiB of each flow, and 128 MiB for all flows together; it is read again by
.BR "mastline-probe read" .
Membership messages that were seen are kept beside, up to 256 KiB.
Captures made through the ring hold the IP packets as they were on the wire; through sockets the headers
are put together again, and the page says so.)roff"}},
std::string(R"roff(.SH WATCHING FOR GOOD
The unit
.I mastline\-watch@.service
watches an interface from the start of the machine on, with the plan in
.IR /etc/mastline/plan.toml ,
shut into a sandbox, its lines in the journal:
.PP
.nf
systemctl enable \-\-now mastline\-watch@eth0
.fi
.PP
.I /metrics
answers in OpenMetrics where that is asked for, else in the older text format.
Names begin with
.BR mastline_ ;
each channel is told by the labels
.B channel
and
.BR copy ,
its name and address by
.BR mastline_channel_info .
.I share/mastline/mastline\-alerts.yml
holds alert rules for them, for a job named mastline:
.PP
.nf
rule_files: [/usr/local/share/mastline/mastline\-alerts.yml]
scrape_configs:
  \- job_name: mastline
    authorization: { credentials_file: /etc/prometheus/mastline\-token }
    static_configs: [{ targets: ["10.20.0.5:8093"] }]
.fi
.PP
.I /state
and
.I /channel?index=N
give what the page shows as JSON,
.I /still?index=N
the picture of a channel as JPEG,
.I /events
as it happens.
.SH EXIT STATUS
.TP
.B 0
All good; for
.BR watch ,
its end on q, Ctrl-C or SIGTERM, whatever was seen.
.TP
.B 1
Faults, or a failed verdict; for
.BR compare ,
a channel that fails and did not before, or that has gone.
.TP
.B 2
Unusable input or usage.
.TP
.B 3
The machine refused: permission, interface, disk.
.SH ENVIRONMENT
.TP
.B NO_COLOR
When set, no colour is used.
)roff") + std::string(kTokenManual)};
}

}  // namespace mastline
