// SPDX-License-Identifier: Apache-2.0
#include "planner/network/bundle.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "mastline/net/mac_address.hpp"

namespace mastline {

namespace {

constexpr int kDealings = 2000;

using Dealing = std::function<std::uint32_t(CarriageIndex)>;

// The displays may all choose from one member: the worst over members, each with its heaviest.
BitRate worst_member(const Site& site, bool tagged, const std::vector<CarriageIndex>& flows,
                     const MixAmong& mix_among, int members, const Dealing& member_of) {
    std::vector<std::vector<CarriageIndex>> dealt(static_cast<std::size_t>(members));
    for (const auto c : flows) dealt[member_of(c)].push_back(c);
    BitRate worst;
    for (const auto& own : dealt) {
        BitRate sum;
        for (const auto c : mix_among(own)) sum += rate_of(site.carriages[c], tagged);
        worst = std::max(worst, sum);
    }
    return worst;
}

// A small generator of our own: the same plan on every machine.
class Deal {
public:
    std::uint32_t below(std::uint32_t n) {
        state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<std::uint32_t>((state_ >> 33) % n);
    }

private:
    std::uint64_t state_ = 1;
};

// The worst mix's flows dealt at random: the load that 99 of 100 dealings stay below, and between
// which ranks of the draw it lies with 95 % confidence.
MemberLoad dealt_at_random(const Site& site, bool tagged, const std::vector<CarriageIndex>& mix,
                           int members) {
    Deal deal;
    std::vector<std::int64_t> fullest;
    for (int i = 0; i < kDealings; ++i) {
        std::vector<std::int64_t> sum(static_cast<std::size_t>(members));
        for (const auto c : mix)
            sum[deal.below(static_cast<std::uint32_t>(members))] +=
                rate_of(site.carriages[c], tagged).bits_per_second();
        fullest.push_back(*std::max_element(sum.begin(), sum.end()));
    }
    std::sort(fullest.begin(), fullest.end());
    const double spread = 1.96 * std::sqrt(kDealings * 0.99 * 0.01);
    const auto rank = [&](double r) {
        return static_cast<double>(
            fullest[static_cast<std::size_t>(std::clamp(r, 0.0, kDealings - 1.0))]) / 1e6;
    };
    return {BitRate(fullest[kDealings * 99 / 100]),
            "99 of 100 random dealings stay below (2000 drawn, " +
                fixed_text(rank(0.99 * kDealings - spread), 1) + " to " +
                fixed_text(rank(0.99 * kDealings + spread), 1) + " Mbit/s with 95 % confidence)",
            false};
}

// Never less than 99 of 100 dealings bring to the fullest member: Bernstein's inequality for one
// member (Boucheron, Lugosi, Massart, "Concentration Inequalities", 2013, section 2.8), and as many
// times its chance for any of them.
BitRate dealt_at_most(const Site& site, bool tagged, const std::vector<CarriageIndex>& mix, int members) {
    const double share = 1.0 / members, l = std::log(100.0 * members);
    double sum = 0, squares = 0, heaviest = 0;
    for (const auto c : mix) {
        const auto rate = static_cast<double>(rate_of(site.carriages[c], tagged).bits_per_second());
        sum += rate;
        squares += rate * rate;
        heaviest = std::max(heaviest, rate);
    }
    const double step = l * heaviest / 3;
    const double margin = step + std::sqrt(step * step + 2 * l * squares * share * (1 - share));
    // As drawn: the sample's own scatter is small beside the slack of the inequality.
    return BitRate(static_cast<std::int64_t>(std::min(sum, sum * share + margin)));
}

struct KnownDealing {
    Dealing member_of;
    std::string rule;
};

std::optional<KnownDealing> known_dealing(const Site& site, const Addressing& addressing, BundleHash hash,
                                          int members, const std::vector<CarriageIndex>& flows) {
    std::set<std::size_t> cards;
    bool addressed = true;
    for (const auto c : flows) {
        const auto& carriage = addressing.carriages[c];
        cards.insert(site.carriages[c].card);
        addressed = addressed && carriage.source && carriage.source->is_v4() &&
                    carriage.flow.group.address().is_v4();
    }
    if (members == 1) return KnownDealing{[](CarriageIndex) { return 0U; }, "exact, one member is left"};
    if (hash == BundleHash::address && addressed)
        return KnownDealing{[&addressing, members](CarriageIndex c) {
                                const auto& carriage = addressing.carriages[c];
                                return address_hash(*carriage.source, carriage.flow.group.address(), members);
                            },
                            "exact, by the address hash"};
    const bool power_of_two = (members & (members - 1)) == 0;
    // One sender's own address turns the last byte of each group's by the same bits, which only
    // swaps the members round when their number is a power of two.
    if (hash == BundleHash::mac && cards.size() <= 1 && power_of_two)
        return KnownDealing{[&addressing, members](CarriageIndex c) {
                                return mac_of(addressing.carriages[c].flow.group).bytes[5] %
                                       static_cast<std::uint32_t>(members);
                            },
                            "exact, by the MAC hash"};
    return std::nullopt;
}

void raise_failure_member(LinkLoad& load, const MemberLoad& member, std::string failure) {
    // What nothing has to fail for comes first where it is as much.
    const bool more = failure.empty() ? member.fullest >= load.failure_member : member.fullest > load.failure_member;
    if (!more && !load.failure_member_rule.empty()) return;
    load.failure_member = member.fullest;
    load.failure_member_rule = member.rule;
    load.failure_member_exact = member.exact;
    load.member_failure = std::move(failure);
}

}  // namespace

std::uint32_t address_hash(const IpAddress& source, const IpAddress& group, int members) {
    std::uint32_t hash = source.v4_value() ^ group.v4_value();
    hash ^= hash >> 16;
    hash ^= hash >> 8;
    return (hash & 0xFF) % static_cast<std::uint32_t>(members);
}

MixAmong mix_of_choices(const JoinCounts& always, std::int64_t choices) {
    return [&always, choices](const std::vector<CarriageIndex>& flows) {
        std::vector<CarriageIndex> out;
        std::int64_t left = choices;
        for (const auto c : flows) {
            const bool joined = always.has(c);
            if (joined || left > 0) out.push_back(c);
            if (!joined && left > 0) --left;
        }
        return out;
    };
}

MemberLoad fullest_member(const Site& site, const Addressing& addressing, LinkIndex link, int members,
                          const std::vector<CarriageIndex>& flows, const MixAmong& mix_among) {
    MixesDrawn none;
    return fuller_member(site, addressing, link, members, flows, mix_among, BitRate(-1), none).value_or(MemberLoad{});
}

std::optional<MemberLoad> fuller_member(const Site& site, const Addressing& addressing, LinkIndex link, int members,
                                        const std::vector<CarriageIndex>& flows, const MixAmong& mix_among,
                                        BitRate least, MixesDrawn& drawn) {
    const bool tagged = site.tagged(link);
    const auto above = [&](const MemberLoad& load) {
        return load.fullest > least ? std::optional(load) : std::nullopt;
    };
    if (const auto known = known_dealing(site, addressing, site.venue.links[link].hash, members, flows))
        return above({worst_member(site, tagged, flows, mix_among, members, known->member_of), known->rule, true});
    const auto mix = mix_among(flows);
    if (mix.empty()) return above({BitRate(0), "exact, nothing flows", true});
    if (dealt_at_most(site, tagged, mix, members) <= least || !drawn.insert(mix).second) return std::nullopt;
    return above(dealt_at_random(site, tagged, mix, members));
}

void fill_members(const Site& site, const Addressing& addressing, LinkIndex link,
                  const std::vector<CarriageIndex>& flows, const MixAmong& mix_among, LinkLoad& load) {
    const auto whole = fullest_member(site, addressing, link, load.members, flows, mix_among);
    const auto left = fullest_member(site, addressing, link, load.members - 1, flows, mix_among);
    if (whole.fullest > load.fullest_member || load.member_rule.empty()) {
        load.fullest_member = whole.fullest;
        load.member_rule = whole.rule;
        load.member_exact = whole.exact;
    }
    raise_failure_member(load, whole, "");
    raise_failure_member(load, left, "member of bundle " + load.link);
}

}  // namespace mastline
