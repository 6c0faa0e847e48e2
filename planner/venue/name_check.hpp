// SPDX-License-Identifier: Apache-2.0
// Names that must be unique, and names that must be known.
#pragma once

#include <map>
#include <string>
#include <string_view>

#include "mastline/findings/finding.hpp"
#include "mastline/text/did_you_mean.hpp"

namespace mastline {

inline void load_error(Findings& findings, std::string id, const Place& place, std::string what,
                       std::string cure) {
    findings.push_back({Severity::error, std::move(id), {}, std::move(what), {}, std::move(cure), place});
}

// The names of one kind of thing, with their indices; a name given twice is an error.
class Names {
public:
    template <class Things>
    Names(const Things& things, std::string_view noun, Findings& findings) : noun_(noun) {
        for (std::size_t i = 0; i < things.size(); ++i) {
            if (things[i].name.empty()) continue;  // reported when it was read
            const auto [first, fresh] = index_.emplace(things[i].name, i);
            if (!fresh)
                load_error(findings, "lineup.duplicate-name", things[i].place,
                           noun_ + " '" + things[i].name + "' is already at " +
                               to_text(things[first->second].place),
                           "give each " + noun_ + " its own name");
        }
    }

    // Index of `name`; an empty or unknown name gives none, the unknown one an error, too.
    // `who` begins the message: "channel 12".
    std::optional<std::size_t> find(const std::string& name, const std::string& who,
                                    const Place& place, Findings& findings) const {
        if (name.empty()) return std::nullopt;
        const auto found = index_.find(name);
        if (found != index_.end()) return found->second;
        std::vector<std::string_view> known;
        for (const auto& [text, i] : index_) known.push_back(text);
        load_error(findings, "lineup.unknown-" + dashed(), place,
                   who + " names the unknown " + noun_ + " '" + name + "'", suggestion(name, known));
        return std::nullopt;
    }

private:
    std::string dashed() const {
        std::string out = noun_;
        for (char& c : out)
            if (c == ' ') c = '-';
        return out;
    }

    std::map<std::string, std::size_t, std::less<>> index_;
    std::string noun_;
};

}  // namespace mastline
