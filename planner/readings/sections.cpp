// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/sections.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

namespace mastline {

namespace {

constexpr double kSame = 1e-9;

bool silences(const Possibility& p) {
    return p.kind == PartFaultKind::dead || p.kind == PartFaultKind::no_supply || p.kind == PartFaultKind::crossed;
}

// What tells a possibility from others at the points: which it silences or may silence, or in what
// measure it changes them.
using Trace = std::vector<std::pair<std::size_t, double>>;

Trace trace_of(const Suspicions& suspicions, const Signatures& signatures, std::size_t possibility) {
    const auto& p = suspicions.possibilities[possibility];
    Trace out;
    if (silences(p)) {
        for (const auto& [i, effect] : signatures.effects(possibility))
            if (effect.dead > 0) out.emplace_back(i, 1);
        return out;
    }
    for (const auto i : signatures.behind(p.suspect))
        if (const double change = signatures.flat(p, signatures.points()[i]); change != 0)
            out.emplace_back(i, change);
    return out;
}

bool proportional(const Trace& a, const Trace& b) {
    if (a.empty() || a.size() != b.size()) return false;
    const double ratio = b.front().second / a.front().second;
    for (std::size_t k = 0; k < a.size(); ++k)
        if (a[k].first != b[k].first || std::abs(a[k].second * ratio - b[k].second) > kSame) return false;
    return true;
}

// Place of each part along the signals, from roof to card.
class Order {
public:
    Order(const Suspicions& suspicions, const ChainPoints& chain) : suspicions_(suspicions) {
        std::vector<std::size_t> depth(chain.chain().visits().size());
        for (std::size_t v = 0; v < depth.size(); ++v) {
            const auto parent = chain.chain().visits()[v].parent;
            depth[v] = parent ? depth[*parent] + 1 : 0;
            const auto atom = *chain.atom(atom_of(chain.chain(), v));
            first_.resize(std::max(first_.size(), atom + 1), std::numeric_limits<std::size_t>::max());
            first_[atom] = std::min(first_[atom], depth[v]);
        }
    }
    std::size_t place(std::size_t suspect) const {
        std::size_t out = std::numeric_limits<std::size_t>::max();
        for (const auto atom : suspicions_.suspects[suspect].atoms) out = std::min(out, first_[atom]);
        return out;
    }

private:
    const Suspicions& suspicions_;
    std::vector<std::size_t> first_;  // per atom
};

}  // namespace

std::vector<ChainPart> section_of(const Suspicions& suspicions, const Signatures& signatures,
                                  const ChainPoints& chain, std::size_t possibility) {
    const auto& named = suspicions.possibilities[possibility];
    const bool crossed = named.kind == PartFaultKind::crossed;
    const auto trace = trace_of(suspicions, signatures, possibility);
    std::map<ChainPart, std::size_t> place;
    const Order order(suspicions, chain);
    for (std::size_t h = 0; h < suspicions.possibilities.size(); ++h) {
        const auto& p = suspicions.possibilities[h];
        const auto& suspect = suspicions.suspects[p.suspect];
        if ((p.kind == PartFaultKind::crossed) != crossed || silences(p) != silences(named)) continue;
        if (suspect.port == "supply" || (crossed && p.order != named.order)) continue;
        if (!proportional(trace, trace_of(suspicions, signatures, h))) continue;
        const auto [it, fresh] = place.emplace(suspect.part, order.place(p.suspect));
        if (!fresh) it->second = std::min(it->second, order.place(p.suspect));
    }
    std::vector<ChainPart> out;
    for (const auto& [part, at] : place) out.push_back(part);
    std::stable_sort(out.begin(), out.end(),
                     [&](const ChainPart& a, const ChainPart& b) { return place[a] < place[b]; });
    const auto& self = suspicions.suspects[named.suspect].part;
    if (std::find(out.begin(), out.end(), self) == out.end()) out.insert(out.begin(), self);
    return out;
}

Departure departure_of(const Signatures& signatures, const ChainPoints& chain, std::size_t suspect) {
    const auto& points = signatures.points();
    const auto& behind = signatures.behind(suspect);
    std::map<std::size_t, std::pair<const ChainPoint*, bool>> read;  // first point of each visit, behind
    for (std::size_t i = 0; i < points.size(); ++i)
        read.emplace(points[i].visit, std::pair(&points[i], std::binary_search(behind.begin(), behind.end(), i)));
    Departure out;
    std::set<MeterPoint> before;
    for (const auto& [visit, point] : read) {
        if (!point.second) continue;
        auto last = read.end();
        for (auto v = chain.chain().visits()[visit].parent; v && last == read.end();
             v = chain.chain().visits()[*v].parent)
            last = read.find(*v);
        if (last != read.end() && last->second.second) continue;
        out.departs_at.push_back(point.first->point);
        if (last != read.end() && before.insert(last->second.first->point).second)
            out.right_until.push_back(last->second.first->point);
    }
    return out;
}

std::vector<ChainPart> unseen_parts(const Suspicions& suspicions, const Signatures& signatures) {
    std::map<ChainPart, bool> seen;
    for (std::size_t s = 0; s < suspicions.suspects.size(); ++s) {
        const auto& suspect = suspicions.suspects[s];
        if (suspect.port == "supply") continue;
        auto& known = seen[suspect.part];
        known = known || !signatures.behind(s).empty();
    }
    std::vector<ChainPart> out;
    for (const auto& [part, known] : seen)
        if (!known) out.push_back(part);
    return out;
}

}  // namespace mastline
