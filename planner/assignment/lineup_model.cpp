// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/lineup_model.hpp"

#include <algorithm>
#include <map>

#include "mastline/venue/carriage_rate.hpp"
#include "planner/assignment/slot_limits.hpp"

namespace mastline {

namespace {

template <class Things>
std::optional<std::size_t> index_of(const Things& things, const std::string& name) {
    for (std::size_t i = 0; i < things.size(); ++i)
        if (things[i].name == name) return i;
    return std::nullopt;
}

bool contains(const std::vector<std::string>& words, const std::string& word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

// The device name at which the lanes of a card's inputs are looked up: its own, or that of the card
// it would be wired like.
const std::string& wiring_of(const SignalPlan& signal, const Card& card) {
    const bool wired = std::any_of(signal.reach.begin(), signal.reach.end(), [&](const InputReach& r) {
        return r.input.device == card.name && !r.lanes.empty();
    });
    return wired || card.wired_like.empty() ? card.name : card.wired_like;
}

bool demodulates(const CardModel* model, const Carrier& wanted) {
    return model != nullptr && model->kind == CardKind::tuner &&
           (model->systems.empty() || contains(model->systems, wanted.system));
}

// Inputs that must be connected for the full licence take an equal share of it each.
int licences_of(const SignalPlan& signal, const Card& card, const CardModel& model) {
    if (model.kind == CardKind::encoder || model.licence_inputs.empty()) return card.licences;
    const std::string& wiring = wiring_of(signal, card);
    int connected = 0;
    for (const int n : model.licence_inputs)
        connected += std::any_of(signal.reach.begin(), signal.reach.end(), [&](const InputReach& r) {
            return r.input == PortRef{wiring, "in" + std::to_string(n)} && !r.lanes.empty();
        });
    return card.licences * connected / static_cast<int>(model.licence_inputs.size());
}

// Where all that comes to a card is in user bands, a tuner without one receives nothing.
int tuners_of(const SignalPlan& signal, const Card& card, const CardModel& model) {
    if (model.kind == CardKind::encoder) return model.inputs;
    const std::string& wiring = wiring_of(signal, card);
    int bands = 0;
    for (const auto& reach : signal.reach) {
        if (reach.input.device != wiring || reach.lanes.empty()) continue;
        const int here = user_bands_at(signal, reach.input);
        if (here == 0) return model.tuners;
        bands += here;
    }
    return bands == 0 ? model.tuners : std::min(model.tuners, bands);
}

bool encodes(const CardModel& model, const HouseInput& input) {
    return model.kind == CardKind::encoder && contains(model.connectors, input.connector) &&
           (model.formats.empty() || input.format.empty() || contains(model.formats, input.format));
}

// Bought cards first, then cards in use, then cards taken from the store; or weight first.
std::int64_t cost_of(const Card& card, const CardModel& model, CardPreference prefer) {
    constexpr std::int64_t in_use = 1'000, bought = 1'000'000;
    switch (card.state) {
        case CardState::installed: return in_use;
        case CardState::store: return in_use + 1;
        case CardState::buy: break;
    }
    return in_use + bought * (prefer == CardPreference::cheapest ? model.weight : 1);
}

// Which cards can take what.
class Takers {
public:
    Takers(const Venue& venue, const SignalPlan& signal) : venue_(venue) {
        for (const auto& card : venue.cards) {
            const std::string& wiring = wiring_of(signal, card);
            auto& inputs = inputs_.emplace_back();
            for (const auto& reach : signal.reach)
                if (reach.input.device == wiring) inputs.push_back(&reach);
            models_.push_back(model_of(venue, card));
        }
    }

    // A carrier, or else an in-house input.
    std::vector<bool> of(std::optional<std::size_t> carrier, std::optional<std::size_t> input) const {
        std::vector<bool> out;
        for (std::size_t card = 0; card < models_.size(); ++card)
            out.push_back(carrier ? receives(card, venue_.carriers[*carrier])
                                  : models_[card] != nullptr && encodes(*models_[card], venue_.inputs[*input]));
        return out;
    }

private:
    bool receives(std::size_t card, const Carrier& wanted) const {
        const LaneRef lane{wanted.feed, wanted.lane};
        return demodulates(models_[card], wanted) && std::ranges::any_of(inputs_[card], [&](const InputReach* reach) {
            return std::ranges::any_of(reach->lanes, [&](const auto& at) { return at.lane == lane; });
        });
    }

    const Venue& venue_;
    std::vector<std::vector<const InputReach*>> inputs_;  // what stands at those of each card, sought once
    std::vector<const CardModel*> models_;                // of each card; null: unknown
};

class Builder {
public:
    Builder(const Venue& venue, const SignalPlan& signal, const std::vector<KeptHome>& kept)
        : venue_(venue), signal_(signal), programmes_(venue), takers_(venue, signal) {
        for (const auto& k : kept) kept_[{k.number, k.copy}] = &k;
    }

    LineupModel run() {
        out_.model.reserve = venue_.protection.mode == ProtectionMode::reserve;
        for (const auto& card : venue_.cards) add_bin(card);
        for (std::size_t i = 0; i < venue_.channels.size(); ++i) add_item(i);
        add_apart();
        for (const auto& chassis : venue_.chassis) add_chassis(chassis);
        for (const auto& model : venue_.card_models) add_site_licences(model);
        return std::move(out_);
    }

private:
    void add_bin(const Card& card) {
        packing::Bin bin;
        const std::size_t number = out_.model.bins.size();
        bin.loss_group = number;
        if (venue_.protection.scope == ProtectionScope::chassis && !card.chassis.empty())
            if (const auto chassis = index_of(venue_.chassis, card.chassis))
                bin.loss_group = venue_.cards.size() + *chassis;
        if (const auto* model = model_of(venue_, card)) {
            bin.licences = licences_of(signal_, card, *model);
            bin.tuners = tuners_of(signal_, card, *model);
            if (model->output_limit) bin.rate_limit = model->output_limit->bits_per_second();
            bin.layer = model->output_layer == RateLayer::wire ? 1 : 0;
            bin.cost = cost_of(card, *model, venue_.protection.prefer);
        }
        out_.model.bins.push_back(bin);
    }

    void add_item(std::size_t channel_index) {
        const Channel& channel = venue_.channels[channel_index];
        const auto* programme = programmes_.of(channel);
        const auto item_class = class_of(channel);
        if (programme == nullptr || !item_class) {
            out_.sourceless.push_back(channel_index);
            return;
        }
        packing::Item item;
        item.item_class = *item_class;
        const BitRate transport = carriage_rate(*programme);
        item.rate = {transport.bits_per_second(), wire_bits(channel, transport)};
        item.is_protected = channel.is_protected;
        item.copies = channel.is_protected && !out_.model.reserve ? 2 : 1;
        if (channel.card) item.pinned[0] = index_of(venue_.cards, *channel.card);
        for (int copy = 1; copy <= item.copies; ++copy)
            item.previous[static_cast<std::size_t>(copy - 1)] = previous(channel, copy);
        item.genre = spread_group(channel);
        out_.channel.push_back(channel_index);
        out_.model.items.push_back(item);
    }

    std::int64_t wire_bits(const Channel& channel, BitRate transport) const {
        const auto& policy = venue_.addressing;
        WireFormat format{policy.encapsulation, policy.packets_per_datagram};
        if (!policy.ranges.empty()) format.ip = policy.ranges.front().first.address().version();
        format.tagged = policy.vlan.has_value();
        return rate_with_fec(channel, transport, format, policy).bits_per_second();
    }

    // A changed source is a new channel under an old number.
    std::optional<std::size_t> previous(const Channel& channel, int copy) const {
        const auto at = kept_.find({channel.number, copy});
        if (at == kept_.end()) return std::nullopt;
        const std::string& source = channel.service.empty() ? channel.input : channel.service;
        return at->second->source == source ? index_of(venue_.cards, at->second->card) : std::nullopt;
    }

    std::optional<std::size_t> spread_group(const Channel& channel) const {
        const auto& spread = venue_.protection.spread;
        const auto at = std::find(spread.begin(), spread.end(), channel.genre);
        if (at == spread.end()) return std::nullopt;
        return static_cast<std::size_t>(at - spread.begin());
    }

    // The class of a channel's carrier or input, made when first met.
    std::optional<std::size_t> class_of(const Channel& channel) {
        std::optional<std::size_t> carrier, input;
        if (channel.service.empty()) {
            input = index_of(venue_.inputs, channel.input);
        } else if (const auto service = index_of(venue_.services, channel.service)) {
            carrier = index_of(venue_.carriers, venue_.services[*service].carrier);
        }
        if (!carrier && !input) return std::nullopt;
        for (std::size_t c = 0; c < out_.carrier.size(); ++c)
            if (out_.carrier[c] == carrier && out_.input[c] == input) return c;
        out_.carrier.push_back(carrier);
        out_.input.push_back(input);
        out_.model.allowed.push_back(takers_.of(carrier, input));
        return out_.carrier.size() - 1;
    }

    void add_apart() {
        for (std::size_t a = 0; a < out_.channel.size(); ++a)
            for (const auto& number : venue_.channels[out_.channel[a]].apart_from)
                for (std::size_t b = 0; b < out_.channel.size(); ++b)
                    if (a != b && venue_.channels[out_.channel[b]].number == number) out_.model.apart.push_back({a, b});
    }

    void add_limit(packing::Limit::Kind kind, std::vector<std::size_t> bins, std::int64_t most) {
        if (!bins.empty()) out_.model.limits.push_back({kind, std::move(bins), most});
    }

    void add_chassis(const Chassis& chassis) {
        std::vector<std::size_t> inside;
        for (std::size_t c = 0; c < venue_.cards.size(); ++c)
            if (model_of(venue_, venue_.cards[c]) != nullptr && venue_.cards[c].chassis == chassis.name) inside.push_back(c);
        using Kind = packing::Limit::Kind;
        if (chassis.licences) add_limit(Kind::licences, inside, *chassis.licences);
        if (chassis.output_limit) add_limit(Kind::rate, inside, chassis.output_limit->bits_per_second());
        for (auto& limit : slot_limits(venue_, chassis)) out_.model.limits.push_back(std::move(limit));
    }

    void add_site_licences(const CardModel& model) {
        if (!model.site_licences) return;
        std::vector<std::size_t> cards;
        for (std::size_t c = 0; c < venue_.cards.size(); ++c)
            if (venue_.cards[c].model == model.name) cards.push_back(c);
        add_limit(packing::Limit::Kind::licences, std::move(cards), *model.site_licences);
    }

    const Venue& venue_;
    const SignalPlan& signal_;
    Programmes programmes_;
    std::map<std::pair<ChannelNumber, int>, const KeptHome*> kept_;
    Takers takers_;
    LineupModel out_;
};

}  // namespace

const CardModel* model_of(const Venue& venue, const Card& card) {
    const auto at = index_of(venue.card_models, card.model);
    return at ? &venue.card_models[*at] : nullptr;
}

int user_bands_at(const SignalPlan& signal, const PortRef& input) {
    return static_cast<int>(std::ranges::count(signal.user_bands, input, &UserBandUse::input));
}

std::vector<PortRef> ways_in(const Venue& venue, const SignalPlan& signal, std::size_t card, std::size_t carrier) {
    const Carrier& wanted = venue.carriers[carrier];
    if (!demodulates(model_of(venue, venue.cards[card]), wanted)) return {};
    const std::string& wiring = wiring_of(signal, venue.cards[card]);
    using Quality = std::pair<bool, double>;
    std::vector<std::pair<Quality, PortRef>> found;
    for (const auto& reach : signal.reach) {
        if (reach.input.device != wiring) continue;
        for (const auto& lane : reach.lanes)
            if (lane.lane == LaneRef{wanted.feed, wanted.lane})
                found.push_back({{lane.in_window, lane.margin.db()}, reach.input});
    }
    std::ranges::stable_sort(found, [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<PortRef> out;
    for (auto& way : found) out.push_back(std::move(way.second));
    return out;
}

std::string receiving_input(const Venue& venue, const SignalPlan& signal, std::size_t card,
                            std::size_t carrier) {
    const auto ways = ways_in(venue, signal, card, carrier);
    return ways.empty() ? std::string() : ways.front().port;
}

LineupModel lineup_model(const Venue& venue, const SignalPlan& signal, const std::vector<KeptHome>& kept) {
    return Builder(venue, signal, kept).run();
}

std::vector<std::vector<bool>> allowed_cards(const Venue& venue, const SignalPlan& signal, const LineupModel& lineup) {
    const Takers takers(venue, signal);
    std::vector<std::vector<bool>> out;
    for (std::size_t c = 0; c < lineup.carrier.size(); ++c) out.push_back(takers.of(lineup.carrier[c], lineup.input[c]));
    return out;
}

}  // namespace mastline
