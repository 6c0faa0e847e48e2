// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/table_reader.hpp"
#include "planner/venue/read_rate.hpp"
#include "planner/venue/signal_tables.hpp"

namespace mastline {

namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 8> kSystems{
    {{"dvb-s", "dvb-s"},
     {"dvb-s2", "dvb-s2"},
     {"dvb-t", "dvb-t"},
     {"dvb-t2", "dvb-t2"},
     {"dvb-c", "dvb-c"},
     {"atsc", "atsc"},
     {"isdb-t", "isdb-t"},
     {"j83b", "j83b"}}};

constexpr std::array<KeyDoc, 16> kCarrierKeys{{
    {"name", "text", true, "How services refer to it."},
    {"feed", "text", true, "Feed that brings it."},
    {"lane", "whole number", false, "Lane of the feed; default 1."},
    {"frequency", "frequency", false, "Centre on the lane (satellite: the IF)."},
    {"downlink", "frequency", false, "Centre on the air; the IF is found from the lane's local "
     "oscillator."},
    {"system", "one of: dvb-s, dvb-s2, dvb-t, dvb-t2, dvb-c, atsc, isdb-t, j83b", true,
     "Transmission standard."},
    {"modulation", "text", false, "\"qpsk\", \"8psk\", \"64qam\"."},
    {"code_rate", "text", false, "\"3/4\"."},
    {"guard", "text", false, "Guard interval of dvb-t and isdb-t: \"1/32\" to \"1/4\"."},
    {"pilots", "true or false", false, "Of dvb-s2; default false."},
    {"symbol_rate", "symbol rate", false, "Of satellite and cable carriers."},
    {"bandwidth", "frequency", false, "Occupied or channel bandwidth; found from the symbol rate "
     "otherwise."},
    {"transport_rate", "bit rate", false, "Found from modulation and code rate otherwise."},
    {"level", "level", false, "At the feed's output, where it differs from the lane's."},
    {"threshold", "gain", false, "C/N that it needs; from the standard's table otherwise."},
    {"transport_stream_id", "whole number", false, "0 to 65535; default 0."},
}};

}  // namespace

const TableDoc kCarrierDoc{"[[carrier]]",
                           "One modulated carrier of a feed and the transport stream it brings.",
                           kCarrierKeys};

void read_carrier(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kCarrierDoc, findings);
    Carrier c;
    c.place = r.place();
    c.name = r.text("name").value_or("");
    c.feed = r.text("feed").value_or("");
    c.lane.value = static_cast<int>(r.integer("lane", 1, 64).value_or(1));
    const auto frequency = r.quantity_at_least<Frequency>("frequency", Frequency{1});
    c.frequency = frequency.value_or(Frequency{});
    c.downlink = r.quantity_at_least<Frequency>("downlink", Frequency{1});
    if (!r.has("frequency") && !r.has("downlink"))
        r.fault("file.missing-key", r.place(), "[[carrier]] has neither 'frequency' nor 'downlink'",
                "add frequency (on the lane) or downlink (on the air)");
    c.system = r.choice<std::string_view>("system", "system", kSystems).value_or("");
    c.modulation = r.text("modulation").value_or("");
    c.code_rate = r.text("code_rate").value_or("");
    c.guard = r.text("guard").value_or("");
    c.pilots = r.boolean("pilots").value_or(false);
    c.symbol_rate = r.quantity_at_least<SymbolRate>("symbol_rate", SymbolRate{1});
    c.bandwidth = r.quantity_at_least<Frequency>("bandwidth", Frequency{1});
    c.transport_rate = read_rate(r, "transport_rate");
    c.level = r.quantity<Level>("level");
    c.threshold = r.quantity<Gain>("threshold");
    c.transport_stream_id =
        static_cast<std::uint16_t>(r.integer("transport_stream_id", 0, 65535).value_or(0));
    if (!c.name.empty()) venue.carriers.push_back(std::move(c));
}

}  // namespace mastline
