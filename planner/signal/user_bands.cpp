// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/user_bands.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

namespace mastline {

namespace {

// A card input behind a single-cable output, and the run that ends there.
struct User {
    std::size_t port = 0;
    std::size_t run = 0;
};

// The single-cable output that a visit's signal came through last; none when it came through none.
std::optional<std::size_t> output_before(const Chain& chain, const Visit& visit) {
    for (const auto* v = &visit; v->parent; v = &chain.visits()[*v->parent]) {
        const auto& port = chain.ports()[v->port];
        if (v->path && port.port.carries_all && port.kind == NodeKind::device) return v->port;
    }
    return std::nullopt;
}

class Dealer {
public:
    Dealer(const Chain& chain, Findings& findings) : chain_(chain), findings_(findings) {
        for (const auto& visit : chain.visits()) {
            const auto& port = chain.ports()[visit.port];
            if (port.kind != NodeKind::card || !visit.run) continue;
            connected_[port.node].insert(visit.port);
            if (const auto output = output_before(chain, visit))
                if (seen_.insert(visit.port).second) users_[*output].push_back({visit.port, *visit.run});
        }
    }

    std::vector<UserBandUse> deal() {
        for (const auto& [output, users] : users_) deal_output(output, users);
        return std::move(uses_);
    }

private:
    // Its share of the card's tuners: as even as can be, the first inputs get one more.
    int wanted(const User& user) const {
        const auto& card = chain_.venue().cards[chain_.ports()[user.port].node];
        int tuners = 0;
        for (const auto& model : chain_.venue().card_models)
            if (model.name == card.model) tuners = model.tuners;
        const auto& inputs = connected_.at(chain_.ports()[user.port].node);
        const auto count = static_cast<int>(inputs.size());
        const auto place = static_cast<int>(std::distance(inputs.begin(), inputs.find(user.port)));
        return tuners / count + (place < tuners % count ? 1 : 0);
    }

    void fault(std::string id, std::size_t output, std::string what, std::string amount,
               std::string cure, const Place& place, Severity severity = Severity::error) {
        findings_.push_back({severity, std::move(id), to_text(chain_.ports()[output].ref),
                             std::move(what), std::move(amount), std::move(cure), place});
    }

    void take_given(std::size_t output, const User& user, std::vector<std::optional<std::size_t>>& slots) {
        const auto& run = chain_.venue().runs[user.run];
        for (const int slot : run.user_bands) {
            const auto s = static_cast<std::size_t>(slot) - 1;
            if (s >= slots.size()) {
                fault("user-band.no-such-slot", output,
                      "run " + run.name + " asks for user band " + std::to_string(slot), {},
                      "the output has " + std::to_string(slots.size()), run.place);
            } else if (slots[s]) {
                fault("user-band.twice", output,
                      "user band " + std::to_string(slot) + " is given to " +
                          to_text(chain_.ports()[*slots[s]].ref) + " and " +
                          to_text(chain_.ports()[user.port].ref),
                      {}, "each user band of an output serves one tuner", run.place);
            } else {
                slots[s] = user.port;
            }
        }
    }

    // What each user without given slots gets of the free ones: what it wants, or as even a share as can be.
    std::vector<int> shares(const std::vector<User>& users, int free) const {
        std::vector<int> out;
        for (const auto& user : users) {
            const bool is_given = !chain_.venue().runs[user.run].user_bands.empty();
            out.push_back(is_given ? 0 : wanted(user));
        }
        for (int over = std::reduce(out.begin(), out.end()) - free; over > 0; --over)
            --*std::max_element(out.rbegin(), out.rend());
        return out;
    }

    void deal_output(std::size_t output, const std::vector<User>& users) {
        const auto& bands = chain_.device(chain_.ports()[output]).data.user_bands;
        std::vector<std::optional<std::size_t>> slots(bands.size());
        for (const auto& user : users) take_given(output, user, slots);
        const auto free = static_cast<int>(std::count(slots.begin(), slots.end(), std::nullopt));
        const auto share = shares(users, free);
        for (std::size_t u = 0; u < users.size(); ++u)
            for (int i = 0; i < share[u]; ++i) *std::find(slots.begin(), slots.end(), std::nullopt) = users[u].port;
        report_lacking(output, users, share);
        for (std::size_t s = 0; s < slots.size(); ++s)
            if (slots[s])
                uses_.push_back({chain_.ports()[output].ref, static_cast<int>(s) + 1, bands[s],
                                 chain_.ports()[*slots[s]].ref});
    }

    // A tuner without a user band stands idle: worth a word, since the carriers in use may be fewer. An input
    // without any receives nothing.
    void report_lacking(std::size_t output, const std::vector<User>& users, const std::vector<int>& share) {
        int lacking = 0, total = 0;
        bool some_get_none = false;
        for (std::size_t u = 0; u < users.size(); ++u) {
            const auto given = static_cast<int>(chain_.venue().runs[users[u].run].user_bands.size());
            total += given > 0 ? given : wanted(users[u]);
            if (given > 0 || share[u] == wanted(users[u])) continue;
            lacking += wanted(users[u]) - share[u];
            some_get_none = some_get_none || share[u] == 0;
        }
        if (lacking == 0) return;
        const auto& device = chain_.device(chain_.ports()[output]);
        const auto count = std::to_string(device.data.user_bands.size());
        const auto amount = std::to_string(lacking) + (lacking == 1 ? " user band" : " user bands");
        const std::string cure = "move a card input to another output, or say in user_bands of the runs which each may use";
        if (some_get_none)
            fault("user-band.too-many", output, std::to_string(total) + " user bands are needed and the output has " + count,
                  amount, cure, device.place);
        else
            fault("user-band.idle-tuners", output,
                  std::to_string(total) + " tuners are behind it and the output has " + count +
                      " user bands: so many carriers are received at once",
                  amount, cure, device.place, Severity::warning);
    }

    const Chain& chain_;
    Findings& findings_;
    std::map<std::size_t, std::vector<User>> users_;  // by output port
    std::map<std::size_t, std::set<std::size_t>> connected_;
    std::set<std::size_t> seen_;
    std::vector<UserBandUse> uses_;
};

}  // namespace

std::vector<UserBandUse> deal_user_bands(const Chain& chain, Findings& findings) {
    return Dealer(chain, findings).deal();
}

}  // namespace mastline
