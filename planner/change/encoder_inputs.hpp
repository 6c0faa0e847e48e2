// SPDX-License-Identifier: Apache-2.0
// Which source's cable is at which encoder input at one moment of a change.
#pragma once

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "mastline/change/change_order.hpp"

namespace mastline {

// A source has as many cables as the plan that spreads it over more inputs gives it.
class EncoderInputs {
public:
    using Input = std::pair<std::string, int>;  // card, number

    EncoderInputs() = default;
    EncoderInputs(const std::vector<Sending>& from, const std::vector<Sending>& to)
        : cables_(spread(from)), wanted_(spread(to)) {
        for (const auto* plan : {&cables_, &wanted_})
            for (const auto& [source, inputs] : *plan) most_[source] = std::max(most_[source], inputs.size());
    }

    // No other source runs there, and the source's cable is there or none is taken from what runs.
    bool may_start(const Sending& s) const {
        return is_free(s) && (is_plugged(s) || has_spare(s.source) || idle_cable(s.source));
    }
    bool is_plugged(const Sending& s) const {
        const auto at = cables_.find(s.source);
        return at != cables_.end() && at->second.contains(input_of(s));
    }

    // Where the cable is taken from; none: it is a further one.
    std::optional<Input> plug(const Sending& s) {
        const auto from = has_spare(s.source) && !unwanted_cable(s.source) ? std::nullopt : idle_cable(s.source);
        for (auto& [other, inputs] : cables_) inputs.erase(input_of(s));
        if (from) cables_[s.source].erase(*from);
        cables_[s.source].insert(input_of(s));
        return from;
    }

    void start(const Sending& s) { ++running_[input_of(s)][s.source]; }
    void stop(const Sending& s) {
        auto& sources = running_[input_of(s)];
        if (--sources[s.source] == 0) sources.erase(s.source);
    }

private:
    using Spread = std::map<std::string, std::set<Input>>;  // of sources

    static Input input_of(const Sending& s) { return {s.card, *s.encoder_input}; }
    static Spread spread(const std::vector<Sending>& plan) {
        Spread out;
        for (const auto& s : plan)
            if (s.on_encoder()) out[s.source].insert(input_of(s));
        return out;
    }

    bool is_free(const Sending& s) const {
        const auto at = running_.find(input_of(s));
        return at == running_.end() || at->second.empty() || at->second.contains(s.source);
    }
    bool has_spare(const std::string& source) const {
        const auto at = cables_.find(source);
        const auto most = most_.find(source);
        return most != most_.end() && (at == cables_.end() ? 0 : at->second.size()) < most->second;
    }
    std::optional<Input> unwanted_cable(const std::string& source) const {
        const auto wanted = wanted_.find(source);
        return first_cable(source, [&](const Input& input) { return wanted == wanted_.end() || !wanted->second.contains(input); });
    }
    // Best one that the new plan leaves unused.
    std::optional<Input> idle_cable(const std::string& source) const {
        const auto unwanted = unwanted_cable(source);
        return unwanted ? unwanted : first_cable(source, [](const Input&) { return true; });
    }
    // That nothing runs by.
    std::optional<Input> first_cable(const std::string& source, const auto& is_meant) const {
        const auto at = cables_.find(source);
        if (at == cables_.end()) return std::nullopt;
        for (const auto& input : at->second) {
            const auto running = running_.find(input);
            if (is_meant(input) && (running == running_.end() || !running->second.contains(source))) return input;
        }
        return std::nullopt;
    }

    Spread cables_, wanted_;
    std::map<std::string, std::size_t> most_;
    std::map<Input, std::map<std::string, int>> running_;
};

}  // namespace mastline
