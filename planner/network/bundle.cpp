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

MemberLoad fullest_member(const Site& site, const Addressing& addressing, LinkIndex link,
                          const std::vector<CarriageIndex>& flows, const MixAmong& mix_among) {
    const auto& l = site.venue.links[link];
    const bool tagged = site.tagged(link);
    const auto worst = [&](const Dealing& member_of) {
        return worst_member(site, tagged, flows, mix_among, l.members, member_of);
    };
    std::set<std::size_t> cards;
    bool addressed = true;
    for (const auto c : flows) {
        const auto& carriage = addressing.carriages[c];
        cards.insert(site.carriages[c].card);
        addressed = addressed && carriage.source && carriage.source->is_v4() &&
                    carriage.flow.group.address().is_v4();
    }
    if (l.hash == BundleHash::address && addressed)
        return {worst([&](CarriageIndex c) {
                    const auto& carriage = addressing.carriages[c];
                    return address_hash(*carriage.source, carriage.flow.group.address(), l.members);
                }),
                "exact, by the address hash", true};
    const bool power_of_two = (l.members & (l.members - 1)) == 0;
    // One sender's own address turns the last byte of each group's by the same bits, which only
    // swaps the members round when their number is a power of two.
    if (l.hash == BundleHash::mac && cards.size() <= 1 && power_of_two)
        return {worst([&](CarriageIndex c) {
                    return mac_of(addressing.carriages[c].flow.group).bytes[5] %
                           static_cast<std::uint32_t>(l.members);
                }),
                "exact, by the MAC hash", true};
    return dealt_at_random(site, tagged, mix_among(flows), l.members);
}

}  // namespace mastline
