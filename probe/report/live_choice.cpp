// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cctype>
#include <map>
#include <numeric>

#include "mastline/report/live_screen.hpp"
#include "mastline/text/escape.hpp"

namespace mastline {

namespace {

constexpr std::size_t kLongestFilter = 60;

std::string lower(std::string text) {
    for (auto& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return text;
}

bool matches(const ChannelState& c, const std::string& filter) {
    const Verdict& v = c.look.verdict;
    return filter.empty() || lower(channel_text(v.channel, v.copy) + " " + v.name + " " + to_text(v.flow)).find(filter) != std::string::npos;
}

std::int64_t rate_of(const ChannelState& c) { return c.look.rate ? c.look.rate->bits_per_second() : 0; }

void sort_by(std::vector<std::size_t>& list, const std::vector<ChannelState>& channels, ChannelOrder order) {
    if (order == ChannelOrder::name)
        std::ranges::stable_sort(list, {}, [&](std::size_t i) { return lower(channels[i].look.verdict.name); });
    if (order == ChannelOrder::rate) std::ranges::stable_sort(list, std::greater<>(), [&](std::size_t i) { return rate_of(channels[i]); });
}

std::size_t place_of(const std::vector<std::size_t>& list, const std::optional<std::size_t>& channel) {
    const auto found = channel ? std::ranges::find(list, *channel) : list.end();
    return found == list.end() ? 0 : static_cast<std::size_t>(found - list.begin());
}

ScreenChoice typed(ScreenChoice choice, const Key& key) {
    switch (key.kind) {
        case KeyKind::text:
            if (choice.filter.size() < kLongestFilter) choice.filter += key.text;
            break;
        case KeyKind::backspace:
            while (!choice.filter.empty() && (static_cast<unsigned char>(choice.filter.back()) & 0xC0) == 0x80) choice.filter.pop_back();
            if (!choice.filter.empty()) choice.filter.pop_back();
            break;
        case KeyKind::escape: choice.filter.clear(); [[fallthrough]];
        case KeyKind::enter: choice.typing = false; break;
        default: break;
    }
    return choice;
}

// How far a key moves up (negative) or down.
std::int64_t step_of(const Key& key, std::size_t page) {
    const auto far = static_cast<std::int64_t>(page);
    switch (key.kind) {
        case KeyKind::up: return -1;
        case KeyKind::down: return 1;
        case KeyKind::page_up: return -far;
        case KeyKind::page_down: return far;
        case KeyKind::home: return -1'000'000;
        case KeyKind::end: return 1'000'000;
        default: return 0;
    }
}

ScreenChoice commanded(ScreenChoice choice, const std::string& letter) {
    if (letter == "q") choice.quit = true;
    else if (letter == "/" && !choice.open) choice.typing = true;
    else if (letter == "s" && !choice.open)
        choice.order = static_cast<ChannelOrder>((static_cast<int>(choice.order) + 1) % 4);
    return choice;
}

}  // namespace

std::vector<Key> keys_of(std::string_view bytes) {
    static const std::map<std::string, KeyKind, std::less<>> sequences{
        {"\x1b[A", KeyKind::up}, {"\x1b[B", KeyKind::down}, {"\x1bOA", KeyKind::up}, {"\x1bOB", KeyKind::down},
        {"\x1b[5~", KeyKind::page_up}, {"\x1b[6~", KeyKind::page_down}, {"\x1b[H", KeyKind::home}, {"\x1b[F", KeyKind::end},
        {"\x1bOH", KeyKind::home}, {"\x1bOF", KeyKind::end}, {"\x1b[1~", KeyKind::home}, {"\x1b[4~", KeyKind::end}};
    std::vector<Key> out;
    while (!bytes.empty()) {
        std::size_t length = 1;
        if (bytes[0] == '\x1b' && bytes.size() > 1 && (bytes[1] == '[' || bytes[1] == 'O')) {
            // ECMA-48 section 5.4: parameters, then one final byte.
            length = 2;
            while (length < bytes.size() && bytes[length] < '@') ++length;
            length = std::min(length + 1, bytes.size());
            if (const auto found = sequences.find(bytes.substr(0, length)); found != sequences.end()) out.push_back({found->second, {}});
        } else if (bytes[0] == '\x1b') {
            out.push_back({KeyKind::escape, {}});
        } else if (bytes[0] == '\r' || bytes[0] == '\n') {
            out.push_back({KeyKind::enter, {}});
        } else if (bytes[0] == '\x7f' || bytes[0] == '\b') {
            out.push_back({KeyKind::backspace, {}});
        } else if (const auto n = detail::utf8_length(bytes); n > 0 && !detail::is_unsafe(detail::code_point(bytes.substr(0, n)))) {
            length = n;
            out.push_back({KeyKind::text, std::string(bytes.substr(0, n))});
        }
        bytes.remove_prefix(length);
    }
    return out;
}

std::vector<std::size_t> listed_channels(const LineupState& state, const ScreenChoice& choice) {
    const auto& channels = state.channels();
    std::vector<std::size_t> out(channels.size());
    std::iota(out.begin(), out.end(), std::size_t{0});
    if (choice.order == ChannelOrder::worst) out = worst_first(channels);
    sort_by(out, channels, choice.order);
    const std::string filter = lower(choice.filter);
    std::erase_if(out, [&](std::size_t i) { return !matches(channels[i], filter); });
    return out;
}

ScreenChoice after_key(ScreenChoice choice, const Key& key, const LineupState& state, std::size_t rows) {
    if (choice.typing) return typed(std::move(choice), key);
    if (key.kind == KeyKind::text) return commanded(std::move(choice), key.text);
    const auto list = listed_channels(state, choice);
    const std::size_t page = rows > 12 ? rows - 10 : 2;
    const auto step = step_of(key, page);
    const auto moved = [step](std::size_t from, std::size_t most) {
        return static_cast<std::size_t>(std::clamp<std::int64_t>(static_cast<std::int64_t>(from) + step, 0, static_cast<std::int64_t>(most)));
    };
    if (key.kind == KeyKind::escape || key.kind == KeyKind::backspace) {
        if (!choice.open) choice.filter.clear();
        choice.open = false;
    } else if (key.kind == KeyKind::enter) {
        if (!list.empty()) choice.channel = list[place_of(list, choice.channel)];
        choice.open = !choice.open && !list.empty();
        choice.scrolled = 0;
    } else if (choice.open) {
        choice.scrolled = moved(choice.scrolled, state.channels()[*choice.channel].look.verdict.checks.size());
    } else if (!list.empty()) {
        choice.channel = list[moved(place_of(list, choice.channel), list.size() - 1)];
    }
    return choice;
}

}  // namespace mastline
