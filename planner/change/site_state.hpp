// SPDX-License-Identifier: Apache-2.0
// What a site sends at one moment of a change, and whether one more stream may start.
#pragma once

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "mastline/change/change_order.hpp"
#include "mastline/net/mac_address.hpp"

namespace mastline {

class SiteState {
public:
    // Cards may be as full as the fuller of the two plans has them.
    SiteState(const std::vector<Sending>& from, const std::vector<Sending>& to) {
        for (const auto* plan : {&from, &to}) {
            SiteState whole;
            for (const auto& s : *plan) whole.start(s);
            for (const auto& [card, load] : whole.cards_) {
                auto& most = most_[card];
                most.channels = std::max(most.channels, load.channels);
                most.carriers = std::max(most.carriers, load.carriers.size());
                most.rate = std::max(most.rate, load.rate);
            }
        }
        for (const auto& s : from) start(s);
    }

    bool may_start(const Sending& s) const {
        if (!s.is_silent && senders_.contains(mac_of(s.flow.flow.group))) return false;
        const auto most = most_.find(s.card);
        const auto now = cards_.find(s.card);
        if (now == cards_.end()) return true;
        if (now->second.channels + 1 > most->second.channels) return false;
        if (now->second.rate + s.flow.rate > most->second.rate) return false;
        if (s.on_encoder()) return input_is_free(s);
        return now->second.carriers.contains(s.carrier) || now->second.carriers.size() < most->second.carriers;
    }

    void start(const Sending& s) {
        if (!s.is_silent) senders_.insert(mac_of(s.flow.flow.group));
        auto& card = cards_[s.card];
        ++card.channels;
        card.rate += s.flow.rate;
        if (s.on_encoder()) ++inputs_[{s.card, *s.encoder_input}][s.source];
        else ++card.carriers[s.carrier];
    }

    void stop(const Sending& s) {
        if (!s.is_silent) senders_.erase(senders_.find(mac_of(s.flow.flow.group)));
        auto& card = cards_[s.card];
        --card.channels;
        card.rate = card.rate - s.flow.rate;
        if (s.on_encoder()) leave(inputs_[{s.card, *s.encoder_input}], s.source);
        else leave(card.carriers, s.carrier);
    }

    // Whether the source's cable is at this input already, as some other channel still shows it.
    bool is_plugged(const Sending& s) const {
        const auto at = inputs_.find({s.card, s.encoder_input.value_or(0)});
        return at != inputs_.end() && at->second.contains(s.source);
    }

private:
    using Counts = std::map<std::string, int>;
    struct Load {
        std::size_t channels = 0;
        Counts carriers;
        BitRate rate;
    };
    struct Most {
        std::size_t channels = 0, carriers = 0;
        BitRate rate;
    };

    SiteState() = default;

    static void leave(Counts& counts, const std::string& key) {
        if (--counts[key] == 0) counts.erase(key);
    }
    bool input_is_free(const Sending& s) const {
        const auto at = inputs_.find({s.card, *s.encoder_input});
        return at == inputs_.end() || at->second.empty() || at->second.contains(s.source);
    }

    std::multiset<MacAddress> senders_;  // group addresses that someone sends to
    std::map<std::string, Load> cards_;
    std::map<std::pair<std::string, int>, Counts> inputs_;
    std::map<std::string, Most> most_;
};

}  // namespace mastline
