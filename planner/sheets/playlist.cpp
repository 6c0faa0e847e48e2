// SPDX-License-Identifier: Apache-2.0
#include "mastline/sheets/playlist.hpp"

#include <pugixml.hpp>
#include <sstream>

#include "mastline/text/escape.hpp"

namespace mastline {

namespace {

std::string location_of(const Expectation& flow) {
    const std::string scheme = flow.encapsulation == Encapsulation::rtp ? "rtp://" : "udp://";
    std::string source;
    if (flow.source_specific && flow.source)
        source = flow.source->is_v4() ? to_text(*flow.source) : "[" + to_text(*flow.source) + "]";
    return scheme + source + "@" + to_text(flow.flow);
}

void add_text(pugi::xml_node parent, const char* name, const std::string& text) {
    parent.append_child(name).text().set(text.c_str());
}

}  // namespace

std::string write_playlist(const ExpectedLineup& lineup) {
    pugi::xml_document document;
    auto playlist = document.append_child("playlist");
    playlist.append_attribute("version") = "1";
    playlist.append_attribute("xmlns") = "http://xspf.org/ns/0/";
    add_text(playlist, "title", plain_line(lineup.venue));
    auto tracks = playlist.append_child("trackList");
    unsigned number = 0;
    for (const auto& flow : lineup.flows) {
        auto track = tracks.append_child("track");
        add_text(track, "location", location_of(flow));
        add_text(track, "title",
                 plain_line(flow.channel + " " + flow.name) +
                     (flow.copy > 1 ? " (copy " + std::to_string(flow.copy) + ")" : ""));
        track.append_child("trackNum").text().set(++number);
    }
    std::ostringstream out;
    document.save(out, "  ", pugi::format_default, pugi::encoding_utf8);
    return out.str();
}

}  // namespace mastline
