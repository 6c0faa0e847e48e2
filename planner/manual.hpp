// SPDX-License-Identifier: Apache-2.0
// What the manual page of mastline-planner says beyond its help, in roff: man(7).
#pragma once

#include "mastline/text/manual_page.hpp"
#include "mastline/web/token_manual.hpp"

namespace mastline {

inline Manual manual() {
    return {"plan the video lineup of a venue",
R"roff(.B mastline-planner
reads the description of a venue and plans how its channels get from the roof to every display:
levels along each lane, channels on cards, multicast groups without collisions, and the load of
every link.
.PP
.I VENUE
is a folder with a
.IR venue.toml ,
or that file itself.
It may include further TOML files and take its channel list from CSV.
.B mastline-planner reference
explains every key.
)roff",
{
{"build", R"roff(The lists are
.IR channels.csv ,
.IR wiring.csv ,
.IR settings.csv ,
.IR parts.csv ,
.IR power.csv ,
.IR addresses.csv ,
.IR loads.csv ,
and
.I readings.csv
(blanks for meter readings).
Files are written beside and renamed; the same venue gives the same bytes.
A session description that changes takes the next version (RFC 8866): the one before is that beside
the plan named with
.BR \-\-keep ,
else that in
.IR DIR .)roff"},
{"readings", R"roff(See
.BR READINGS .)roff"},
{"explain", R"roff(All of them are placed together, protected ones first.)roff"},
{"compare", R"roff(Every step stands in order (stop, plug, start, set), with what changes for each channel and what displays
notice.
At every moment of that order each Ethernet group address has at most one sender, each encoder input
one source, and each card no more channels or carriers than the fuller of the two plans gives it.
Where the new address is free, the new stream starts before the old one stops.)roff"},
{"serve", R"roff(Runs until interrupted.
\(lqWrite to venue file\(rq puts what was tried into the venue's files.)roff"},
{"import", R"roff(Only values that differ are edited; comments and order stay, and new channels are added.
Groups in use go into the file where no
.B [[occupied]]
table of it holds them.)roff"},
{"readings --baseline", R"roff(What parts really do is then known better than from their tolerances.)roff"},
{"readings --meter", R"roff(It is taken as two standard deviations.)roff"},
{"build --keep", R"roff(Groups that become free rest for the time that the venue's addressing says.)roff"},
{"serve --listen", R"roff(Port 0 is any free one.
The page travels unencrypted.)roff"}},
std::string(R"roff(.SH READINGS
.I SHEET
is a CSV file as any spreadsheet saves it, one reading in a row; the
.I readings.csv
of
.B build
has the rows with blanks to fill in.
Its columns, in any order:
.TP
.B test point
Device and port,
.IR amplifier.out ;
the device alone where it has one test point.
Any port of the venue can be read, not only those marked as test points.
.TP
.B lane
The conductor of the port, from 1.
.TP
.B frequency
Where the meter was tuned, with its unit: any frequency of the lane's band, or a user band.
Blank for optical power.
.TP
.B level
What it showed, with its unit (dBm, dBmV, dBuV), or
.IR "no signal" .
A row without a level is left out.
.TP
.BR unit ", " time ", " instrument
May be absent.
.B unit
is that of levels that have none of their own.
.TP
.BR signal ", " "expected dBm" ", " "lowest dBm" ", " "highest dBm"
Of the template.
A warning says so where the plan now expects another level than the sheet does.
.PP
Several readings of a point are averaged; a warning says where they differ by more than 3 dB.
.PP
Every part of the chain, and each of its lanes and ports, is tried for every kind of fault:
.IR flat-loss ,
.IR excess-level ,
.I tilt
(wet or wrong cable),
.IR dead ,
.I low-supply
and
.I no-supply
(every lane of a powered part),
.IR low-light ,
.IR wrong-trim ,
.IR wrong-slope ,
.IR wrong-pad ,
.IR wrong-tap ,
.I crossed
lanes; and for two faults at once.
How likely the readings are under each is reckoned from the accuracy of the meter and the tolerances of
the parts, which a whole part and all that lies behind it share: what tolerances explain is not
accused.
The answer names the part, or the parts that no reading tells apart; how sure that is; where the lane
departs from the plan; what else it may be; and which reading would tell most.
Readings are evidence, not proof: look before you change a part.
.PP
Work on roofs, on supplies, on coax that carries DC and on fibre is for people who are trained and, where
the local code says so, licensed; isolate before opening, and never look into a fibre.
.SH EXIT STATUS
.TP
.B 0
Nothing worse than a warning.
.TP
.B 1
Findings of severity error in the plan; with
.BR readings ,
a part is at fault or may be; with
.BR explain ,
a protected channel stays dark.
.TP
.B 2
The venue's files, the earlier plan, the readings, the baseline or the command line cannot be used.
.TP
.B 3
The machine refused: permission, disk.
.SH ENVIRONMENT
.TP
.B NO_COLOR
When set and not empty, findings are printed without colour on a terminal too.
)roff") + std::string(kTokenManual)};
}

}  // namespace mastline
