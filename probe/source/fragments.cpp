// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/fragments.hpp"

#include <algorithm>

namespace mastline {

namespace {
constexpr std::size_t kLargestPacket = 65'535;
}

void FragmentAssembler::drop_stale(Duration now) {
    while (!pending_.empty() &&
           (pending_.size() > kMostPending || now - pending_.front().since > kPatience)) {
        if (!pending_.front().again) ++abandoned_;
        pending_.pop_front();
    }
}

FragmentAssembler::Place FragmentAssembler::find_or_start(const IpPacket& fragment) {
    const Name name = name_of(fragment, fragment.fragment->identification);
    const auto found = std::ranges::find_if(pending_, [&](const Pending& p) { return name_of(p.first, p.identification) == name; });
    if (found != pending_.end()) return found;
    Pending fresh;
    fresh.first = fragment;
    fresh.identification = fragment.fragment->identification;
    fresh.since = fragment.arrival;
    fresh.again = std::ranges::find(finished_, name) != finished_.end();
    return pending_.insert(pending_.end(), std::move(fresh));
}

std::uint64_t FragmentAssembler::waiting() const {
    return static_cast<std::uint64_t>(std::ranges::count(pending_, false, &Pending::again));
}

// An exact repeat is accepted; any other overlap condemns the packet (RFC 5722 section 3).
bool FragmentAssembler::fits(const Pending& pending, const IpPacket& fragment) const {
    const std::size_t from = fragment.fragment->offset;
    const std::size_t to = from + fragment.payload.size();
    if (fragment.truncated || to > kLargestPacket) return false;
    if (fragment.fragment->more && (fragment.payload.empty() || to % 8 != 0)) return false;
    if (pending.total && (to > *pending.total || (!fragment.fragment->more && to != *pending.total)))
        return false;
    return std::ranges::all_of(pending.pieces, [&](const Piece& p) {
        const bool apart = to <= p.from || p.to <= from;
        const bool beyond_end = !fragment.fragment->more && p.to > to;
        return (apart && !beyond_end) || (p.from == from && p.to == to);
    });
}

std::optional<IpPacket> FragmentAssembler::finished(Place place) {
    if (!place->total) return std::nullopt;
    std::size_t held = 0;
    for (const auto& p : place->pieces) held += p.to - p.from;
    if (held != *place->total) return std::nullopt;
    IpPacket out = place->first;
    finished_[next_finished_] = name_of(out, place->identification);
    next_finished_ = (next_finished_ + 1) % finished_.size();
    whole_ = std::move(place->bytes);
    pending_.erase(place);
    out.payload = whole_;
    out.fragment.reset();
    out.frame.bytes = {};  // there were several
    return out;
}

std::optional<IpPacket> FragmentAssembler::add(const IpPacket& fragment) {
    drop_stale(fragment.arrival);
    const Place place = find_or_start(fragment);
    if (!fits(*place, fragment)) {
        pending_.erase(place);
        ++abandoned_;
        return std::nullopt;
    }
    const std::size_t from = fragment.fragment->offset;
    const std::size_t to = from + fragment.payload.size();
    if (std::ranges::any_of(place->pieces, [&](const Piece& p) { return p.from == from; }))
        return std::nullopt;
    if (from == 0) {
        const auto since = place->since;
        place->first = fragment;
        place->since = since;
    }
    place->first.arrival = fragment.arrival;  // whole when its last piece came
    place->pieces.push_back({from, to});
    if (place->bytes.size() < to) place->bytes.resize(to);
    std::ranges::copy(fragment.payload, place->bytes.begin() + static_cast<std::ptrdiff_t>(from));
    if (!fragment.fragment->more) place->total = to;
    return finished(place);
}

}  // namespace mastline
