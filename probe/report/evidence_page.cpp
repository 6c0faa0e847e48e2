// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/page.hpp"
#include "mastline/text/escape.hpp"
#include "probe/report/page_style.hpp"

namespace mastline {

namespace {

std::string escaped(std::string_view text) { return escape_markup(text); }

std::string link(const std::string& file) {
    return "<a href=\"" + escaped(link_text(file)) + "\">" + escaped(file) + "</a>";
}

std::string seconds(Duration d, int digits) {
    return fixed_text(static_cast<double>(d.count()) / 1e9, digits) + " s";
}

// "1 700 000 000.123 456 789 s": as a capture's reader shows the time of a packet.
std::string epoch(Duration at) {
    const auto whole = at.count() / 1'000'000'000, rest = at.count() % 1'000'000'000;
    const std::string digits = std::to_string(rest);
    return std::to_string(whole) + "." + std::string(9 - digits.size(), '0') + digits + " s since 1970";
}

std::string place(const Evidence& item, const Pointer& p) {
    std::string out;
    if (p.packet) out += "packet " + std::to_string(*p.packet);
    if (p.at && item.first)
        out += ", " + seconds(*p.at - *item.first, 6) + " after the first (" + epoch(*p.at) + ")";
    for (const auto pid : p.pids) out += (out.empty() ? "PID " : ", PID ") + std::to_string(pid.value());
    if (out.empty()) out = item.file.empty() ? "nothing to look at" : "the whole capture";
    if (!p.shown && !item.file.empty())
        out += "; the capture alone is too short to fail this check, the watch as a whole did";
    return out;
}

std::string pointers(const Evidence& item) {
    std::string out = wide_region("What to look at, channel " + escaped(channel_text(item.channel, item.copy))) + "<table><thead><tr><th>Check</th><th>Look at</th><th>Found</th>"
                      "<th>Expected</th><th>Rule</th></tr></thead><tbody>\n";
    for (const auto& p : item.look_at)
        out += "<tr class=\"failed\"><td class=\"mark\">" + escaped(p.check) + "</td><td>" + escaped(place(item, p)) + "</td><td>" +
               escaped(p.found + (p.evidence.empty() ? "" : " (" + p.evidence + ")")) + "</td><td>" + escaped(p.expected) +
               "</td><td>" + escaped(p.rule) + "</td></tr>\n";
    return out + "</tbody></table></div>\n";
}

std::string file_line(const Evidence& item) {
    if (item.file.empty()) return "<p>Nothing of this flow arrived, so there is no capture of it. " + escaped(item.remark) + "</p>\n";
    std::string out = "<p>" + link(item.file) + ": " + std::to_string(item.packets) + " packets, " +
                      seconds(*item.last - *item.first, 3) + " from " + epoch(*item.first) + ". ";
    if (item.fault_packet) out += "The first fault shows at packet " + std::to_string(*item.fault_packet) + ". ";
    else out += "No single packet shows the fault; the capture holds the last that came. ";
    if (item.rebuilt)
        out += "Where datagrams were received by sockets or in fragments, payload and arrival are as received, the IP and UDP "
               "headers were put together again from what was told (addresses, ports, TTL, DSCP). ";
    return out + escaped(item.remark) + "</p>\n";
}

std::string section(const Evidence& item) {
    return "<h2>Channel " + escaped(channel_text(item.channel, item.copy)) + " " + escaped(item.name) + ", " + escaped(to_text(item.flow)) +
           "</h2>\n" + file_line(item) + pointers(item);
}

}  // namespace

std::string evidence_page(const LineupReport& r) {
    const auto entry = [](const std::string& name, const std::string& value) {
        return "<dt>" + name + "</dt><dd>" + escaped(value) + "</dd>";
    };
    std::string out = "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
                      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><title>Evidence, " + escaped(r.venue) +
                      "</title>\n<style>" + std::string(kPageStyle) + "</style></head>\n<body>\n"
                      "<header><div><h1>Evidence of the failed verdicts</h1><p>" + escaped(r.venue) +
                      "</p></div><div class=\"box\"><dl>" + entry("plan", r.revision) + entry("listened on", r.where) +
                      entry("watched", seconds(r.watched, 1)) + entry("failed", std::to_string(r.count(Outcome::failed))) +
                      "</dl></div></header>\n";
    if (!r.evidence || r.evidence->items.empty()) return out + "<p class=\"result right\">No verdict failed.</p>\n</body></html>\n";
    out += "<p>Packet numbers count from 1 in each capture. The captures have nanoseconds. They hold whole frames, addresses and VLAN tags included, where the link layer was heard; bare IP packets where it was not.</p>\n";
    for (const auto& item : r.evidence->items) out += section(item);
    if (!r.evidence->membership_file.empty())
        out += "<h2>Group membership messages</h2>\n<p>" + link(r.evidence->membership_file) +
               ": the IGMP and MLD messages on the interface, the last of them where they were many.</p>\n";
    return out + "</body></html>\n";
}

}  // namespace mastline
