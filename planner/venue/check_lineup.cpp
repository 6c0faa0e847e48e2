// SPDX-License-Identifier: Apache-2.0
// Cross-references and rules of services, inputs and channels, once all files are read.
#include <algorithm>
#include <map>

#include "mastline/venue/section.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/venue/check_cards.hpp"
#include "planner/venue/name_check.hpp"

namespace mastline {

namespace {

// service_descriptor, EN 300 468 clause 6.2.33: its length byte counts the type, two length bytes
// and both names; a name that is not plain ASCII starts with one byte that names its coding.
constexpr std::size_t kDescriptorRoom = 255 - 3;

std::size_t coded_size(const std::string& text) {
    const bool ascii = std::all_of(text.begin(), text.end(), [](char c) { return (c & 0x80) == 0; });
    return text.size() + (ascii ? 0 : 1);
}

void check_sdt_names(const Programme& programme, const std::string& who, const Place& place,
                     Findings& findings) {
    const std::size_t size = coded_size(programme.service_name) + coded_size(programme.provider);
    if (size > kDescriptorRoom)
        load_error(findings, "lineup.name-too-long", place,
                   who + ": service name and provider take " + std::to_string(size) + " bytes",
                   "the SDT has room for " + std::to_string(kDescriptorRoom));
}

void check_services(const Venue& venue, const Names& carriers, Findings& findings) {
    std::map<std::pair<std::size_t, ProgramNumber>, const Service*> seen;
    for (const auto& service : venue.services) {
        const std::string who = "service '" + service.name + "'";
        check_sdt_names(service.programme, who, service.place, findings);
        const auto carrier = carriers.find(service.carrier, who, service.carrier_place, findings);
        if (!carrier || service.programme.program_number.value == 0) continue;
        const auto [first, fresh] =
            seen.emplace(std::pair(*carrier, service.programme.program_number), &service);
        if (!fresh)
            load_error(findings, "lineup.duplicate-program", service.place,
                       who + " has program_number " +
                           std::to_string(service.programme.program_number.value) + " of carrier '" +
                           service.carrier + "', which is service '" + first->second->name + "'",
                       "each programme of a transport stream has its own number");
    }
}

// Channels in order of number, then place; a number given twice is an error.
void order_channels(std::vector<Channel>& channels, Findings& findings) {
    std::stable_sort(channels.begin(), channels.end(), [](const Channel& a, const Channel& b) {
        return std::tie(a.number, a.place) < std::tie(b.number, b.place);
    });
    for (std::size_t i = 1; i < channels.size(); ++i)
        if (channels[i].number == channels[i - 1].number)
            load_error(findings, "lineup.duplicate-number", channels[i].place,
                       "channel " + to_text(channels[i].number) + " is already at " +
                           to_text(channels[i - 1].place),
                       "give each channel its own number");
}

void check_apart(const Channel& channel, const std::vector<Channel>& channels, Findings& findings) {
    for (const auto& number : channel.apart_from) {
        const bool known = std::any_of(channels.begin(), channels.end(),
                                       [&](const Channel& c) { return c.number == number; });
        if (!known || number == channel.number)
            load_error(findings, "lineup.bad-apart", channel.apart_place,
                       "channel " + to_text(channel.number) + " is to be apart from " +
                           (known ? "itself" : to_text(number) + ", which is no channel"),
                       "name other channels of the lineup");
    }
}

// An input without a service name is sent under the name of the first channel that shows it.
void name_input(Venue& venue, std::size_t input, const std::string& channel) {
    auto& name = venue.inputs[input].programme.service_name;
    if (name.empty()) name = channel;
}

void check_channels(Venue& venue, const Names& cards, Findings& findings) {
    const Names services(venue.services, "service", findings);
    const Names inputs(venue.inputs, "input", findings);
    for (const auto& channel : venue.channels) {
        const std::string who = "channel " + to_text(channel.number);
        services.find(channel.service, who, channel.source_place, findings);
        const auto input = inputs.find(channel.input, who, channel.source_place, findings);
        if (input) name_input(venue, *input, channel.name);
        if (channel.card) cards.find(*channel.card, who, channel.card_place, findings);
        check_apart(channel, venue.channels, findings);
    }
    for (auto& input : venue.inputs) {
        if (input.programme.service_name.empty()) input.programme.service_name = input.name;
        check_sdt_names(input.programme, "input '" + input.name + "'", input.place, findings);
    }
}

void check_spread(const Venue& venue, Findings& findings) {
    std::vector<std::string> genres;
    for (const auto& channel : venue.channels)
        if (std::find(genres.begin(), genres.end(), channel.genre) == genres.end() && !channel.genre.empty())
            genres.push_back(channel.genre);
    for (const auto& genre : venue.protection.spread)
        if (std::find(genres.begin(), genres.end(), genre) == genres.end())
            load_error(findings, "lineup.unknown-genre", venue.protection.place,
                       "no channel has the genre '" + genre + "' that is to be spread",
                       suggestion(genre, genres));
}

}  // namespace

void check_lineup(Venue& venue, Findings& findings) {
    Findings unused;  // the signal room reports carriers named twice
    const Names carriers(venue.carriers, "carrier", unused);
    const Names cards(venue.cards, "card", findings);
    check_services(venue, carriers, findings);
    order_channels(venue.channels, findings);
    check_channels(venue, cards, findings);
    check_spread(venue, findings);
    check_cards(venue, cards, findings);
}

}  // namespace mastline
