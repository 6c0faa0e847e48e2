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
    return p.kind == FaultKind::dead || p.kind == FaultKind::no_supply || p.kind == FaultKind::crossed;
}

// What tells a possibility from others at the points: which it silences or may silence, or in what
// measure it changes them.
std::vector<double> trace_of(const Suspicions& suspicions, const Signatures& signatures,
                             const std::vector<ChainPoint>& points, std::size_t possibility) {
    const auto& p = suspicions.possibilities[possibility];
    std::vector<double> out;
    for (const auto& point : points)
        out.push_back(!silences(p)                                         ? signatures.flat(p, point)
                      : signatures.effect(possibility, point).dead > 0 ? 1 : 0);
    return out;
}

bool proportional(const std::vector<double>& a, const std::vector<double>& b) {
    double aa = 0, bb = 0, ab = 0;
    for (std::size_t i = 0; i < a.size(); ++i) aa += a[i] * a[i], bb += b[i] * b[i], ab += a[i] * b[i];
    return ab > 0 && ab * ab > (1 - kSame) * aa * bb;
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
                                  const ChainPoints& chain, const std::vector<ChainPoint>& points,
                                  std::size_t possibility) {
    const auto& named = suspicions.possibilities[possibility];
    const bool crossed = named.kind == FaultKind::crossed;
    const auto trace = trace_of(suspicions, signatures, points, possibility);
    std::map<ChainPart, std::size_t> place;
    const Order order(suspicions, chain);
    for (std::size_t h = 0; h < suspicions.possibilities.size(); ++h) {
        const auto& p = suspicions.possibilities[h];
        const auto& suspect = suspicions.suspects[p.suspect];
        if ((p.kind == FaultKind::crossed) != crossed || silences(p) != silences(named)) continue;
        if (suspect.port == "supply" || (crossed && p.order != named.order)) continue;
        if (!proportional(trace, trace_of(suspicions, signatures, points, h))) continue;
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

Departure departure_of(const Signatures& signatures, const ChainPoints& chain,
                       const std::vector<ChainPoint>& points, std::size_t suspect) {
    std::map<std::size_t, const ChainPoint*> read;  // first point of each visit
    for (const auto& point : points) read.emplace(point.visit, &point);
    Departure out;
    std::set<MeterPoint> before;
    for (const auto& [visit, point] : read) {
        if (!signatures.passes(suspect, *point)) continue;
        const ChainPoint* last = nullptr;
        for (auto v = chain.chain().visits()[visit].parent; v && last == nullptr; v = chain.chain().visits()[*v].parent)
            if (const auto it = read.find(*v); it != read.end()) last = it->second;
        if (last != nullptr && signatures.passes(suspect, *last)) continue;
        out.departs_at.push_back(point->point);
        if (last != nullptr && before.insert(last->point).second) out.right_until.push_back(last->point);
    }
    return out;
}

std::vector<ChainPart> unseen_parts(const Suspicions& suspicions, const Signatures& signatures,
                                    const std::vector<ChainPoint>& points) {
    std::map<ChainPart, bool> seen;
    for (std::size_t s = 0; s < suspicions.suspects.size(); ++s) {
        const auto& suspect = suspicions.suspects[s];
        if (suspect.port == "supply") continue;
        auto& known = seen[suspect.part];
        known = known || std::any_of(points.begin(), points.end(), [&](const ChainPoint& point) {
            return signatures.passes(s, point);
        });
    }
    std::vector<ChainPart> out;
    for (const auto& [part, known] : seen)
        if (!known) out.push_back(part);
    return out;
}

}  // namespace mastline
