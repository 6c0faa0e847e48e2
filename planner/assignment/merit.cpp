// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/merit.hpp"

#include <set>
#include <tuple>

namespace mastline::packing {

namespace {

std::tuple<int, int> dark(const Merit& m) { return {m.dark_at_worst, m.dark_in_all}; }

}  // namespace

MeritOf::MeritOf(const Placement& placement, const std::vector<std::size_t>& used) : used_(used) {
    std::set<std::size_t> losses;
    for (const auto b : used_) losses.insert(placement.model().bins[b].loss_group);
    losses_.assign(losses.begin(), losses.end());
    for (const auto& item : placement.model().items) copies_ += item.copies;
}

std::int64_t MeritOf::steps_of_reserve() const { return 1 + copies_ * static_cast<std::int64_t>(used_.size()); }

Merit MeritOf::of(Placement& placement) const {
    Merit out;
    out.pairs = placement.pairs();
    add_reserve(placement, out, nullptr);
    out.unevenness = unevenness(placement);
    return out;
}

std::optional<Merit> MeritOf::of(Placement& placement, const Merit& now, Figure figure) const {
    Merit out;
    out.pairs = placement.pairs();
    if (out.pairs > now.pairs) return std::nullopt;
    if (figure == Figure::pairs) return out.pairs < now.pairs ? std::optional(out) : std::nullopt;
    out.unevenness = unevenness(placement);
    if (figure == Figure::evenness && out.unevenness >= now.unevenness) return std::nullopt;
    if (!add_reserve(placement, out, &now) || dark(out) > dark(now)) return std::nullopt;
    return figure == Figure::evenness || dark(out) < dark(now) ? std::optional(out) : std::nullopt;
}

std::int64_t MeritOf::unevenness(const Placement& placement) const {
    std::int64_t out = 0;
    for (const auto b : used_) {
        const auto kilobits = placement.transport_in(b) / 1000;
        out += kilobits * kilobits;
    }
    return out;
}

// False: given up, it is worse than `most`.
bool MeritOf::add_reserve(Placement& placement, Merit& out, const Merit* most) const {
    for (const auto loss : losses_) {
        const int left = left_dark(placement, used_, loss);
        out.dark_at_worst = std::max(out.dark_at_worst, left);
        out.dark_in_all += left;
        if (most != nullptr && out.dark_at_worst > most->dark_at_worst) return false;
    }
    return true;
}

}  // namespace mastline::packing
