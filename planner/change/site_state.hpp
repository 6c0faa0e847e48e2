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
#include "planner/change/encoder_inputs.hpp"

namespace mastline {

class SiteState {
public:
    // Cards may be as full as the fuller of the two plans has them.
    SiteState(const std::vector<Sending>& from, const std::vector<Sending>& to) : inputs_(from, to) {
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
        if (s.on_encoder() && !inputs_.may_start(s)) return false;
        if (!s.is_silent && senders_.contains(mac_of(s.flow.flow.group))) return false;
        const auto most = most_.find(s.card);
        const auto now = cards_.find(s.card);
        if (now == cards_.end()) return true;
        if (now->second.channels + 1 > most->second.channels) return false;
        if (now->second.rate + s.flow.rate > most->second.rate) return false;
        return s.on_encoder() || now->second.carriers.contains(s.carrier) || now->second.carriers.size() < most->second.carriers;
    }

    void start(const Sending& s) {
        if (!s.is_silent) senders_.insert(mac_of(s.flow.flow.group));
        auto& card = cards_[s.card];
        ++card.channels;
        card.rate += s.flow.rate;
        if (s.on_encoder()) inputs_.start(s);
        else ++card.carriers[s.carrier];
    }

    void stop(const Sending& s) {
        if (!s.is_silent) senders_.erase(senders_.find(mac_of(s.flow.flow.group)));
        auto& card = cards_[s.card];
        --card.channels;
        card.rate = card.rate - s.flow.rate;
        if (s.on_encoder()) inputs_.stop(s);
        else leave(card.carriers, s.carrier);
    }

    // Whether `next` may start once `now` has stopped.
    bool may_follow(const Sending& now, const Sending& next) {
        stop(now);
        const bool out = may_start(next);
        start(now);
        return out;
    }

    bool is_plugged(const Sending& s) const { return inputs_.is_plugged(s); }
    bool may_plug(const Sending& s) const { return !inputs_.is_plugged(s) && inputs_.may_start(s); }
    std::optional<EncoderInputs::Input> plug(const Sending& s) { return inputs_.plug(s); }

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

    std::multiset<MacAddress> senders_;  // group addresses that someone sends to
    std::map<std::string, Load> cards_;
    EncoderInputs inputs_;
    std::map<std::string, Most> most_;
};

}  // namespace mastline
