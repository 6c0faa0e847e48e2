// SPDX-License-Identifier: Apache-2.0
// The screen of a running watch, and what keys make of it. Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/report/terminal.hpp"
#include "mastline/watch/lineup_state.hpp"

namespace mastline {

enum class ChannelOrder : std::uint8_t { worst, lineup, name, rate };

// What the person at the keys has chosen.
struct ScreenChoice {
    ChannelOrder order = ChannelOrder::worst;
    std::string filter;                  // of number, name and group; case does not matter
    bool typing = false;                 // keys go into the filter
    std::optional<std::size_t> channel;  // the marked one, by its place in the lineup
    bool open = false;                   // its checks are shown in place of the table
    std::size_t scrolled = 0;            // lines of the checks above the screen
    bool quit = false;
    std::string remark;                  // stands where there is nothing of more weight
    bool operator==(const ScreenChoice&) const = default;
};

enum class KeyKind : std::uint8_t { text, up, down, page_up, page_down, home, end, enter, escape, backspace };

struct Key {
    KeyKind kind = KeyKind::text;
    std::string text;  // of KeyKind::text: one character in UTF-8
    bool operator==(const Key&) const = default;
};

// What a terminal sends. The whole of what was read at once, so that a lone ESC is the Escape key; what is
// no key of ours is passed over.
std::vector<Key> keys_of(std::string_view bytes);

// The channels that the filter leaves, in the chosen order, by their places in the lineup.
std::vector<std::size_t> listed_channels(const LineupState& state, const ScreenChoice& choice);

ScreenChoice after_key(ScreenChoice choice, const Key& key, const LineupState& state, std::size_t rows);

// `rows` lines of at most style.width columns, without the last line end. REQUIRES: style.width >= 40,
// rows >= 10.
std::string live_screen(const LineupState& state, const ScreenChoice& choice, const TerminalStyle& style, std::size_t rows);

// The hour in one character for each of `parts` stretches: '·' right, '▂' to '█' failed for a part or all
// of the time, '?' unsure, ' ' nothing known; in ASCII '.', '!' and '#', '?', ' '.
std::string hour_text(const ChannelHistory& history, Duration now, std::size_t parts, const TerminalStyle& style);

}  // namespace mastline
