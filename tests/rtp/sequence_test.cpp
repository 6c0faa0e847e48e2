// SPDX-License-Identifier: Apache-2.0
#include "mastline/rtp/sequence.hpp"

#include <algorithm>
#include <random>
#include <set>

using namespace mastline;
using Arrival = RtpSequence::Arrival;

TEST_CASE("packets expected less packets received are lost, over the wrap", "[outside]") {
    // RFC 3550 A.3: expected = extended highest - base + 1. First 65530, highest 5 after one wrap:
    // 12 expected; 11 received: 1 lost.
    RtpSequence sequence;
    for (int n = 65530; n <= 65530 + 11; ++n)
        if (n != 65538) sequence.add(static_cast<std::uint16_t>(n));
    CHECK(sequence.received() == 11);
    CHECK(sequence.lost() == 1);
    CHECK(sequence.gaps() == 1);
}

TEST_CASE("losses at 2, 5, 7, 9 and 10 are four periods of loss, the longest of two", "[outside]") {
    // RFC 3357 section 3, the sequence of its example: loss periods of length 1, 1, 1, 2.
    RtpSequence sequence;
    for (const int n : {1, 3, 4, 6, 8, 11}) sequence.add(static_cast<std::uint16_t>(n));
    CHECK(sequence.lost() == 5);
    CHECK(sequence.gaps() == 4);
    CHECK(sequence.largest_gap() == 2);
}

TEST_CASE("a late packet is reordered, not lost, and a repeated one is neither", "[unit]") {
    RtpSequence sequence;
    CHECK(sequence.add(10) == Arrival::next);
    CHECK(sequence.add(12) == Arrival::after_gap);
    CHECK(sequence.lost() == 1);
    CHECK(sequence.add(11) == Arrival::late);
    CHECK(sequence.add(11) == Arrival::duplicate);
    CHECK(sequence.add(12) == Arrival::duplicate);
    CHECK(sequence.add(13) == Arrival::next);
    CHECK(sequence.lost() == 0);
    CHECK(sequence.reordered() == 1);
    CHECK(sequence.duplicates() == 2);
    CHECK(sequence.received() == 4);
}

TEST_CASE("a packet from before the first one is no gain against loss", "[unit]") {
    RtpSequence sequence;
    sequence.add(10);
    sequence.add(12);
    CHECK(sequence.add(9) == Arrival::late);
    CHECK(sequence.lost() == 1);
}

TEST_CASE("one number far off is a stray, two in sequence are a restart", "[unit]") {
    RtpSequence sequence;
    sequence.add(10);
    CHECK(sequence.add(30'000) == Arrival::stray);
    CHECK(sequence.add(11) == Arrival::next);
    CHECK(sequence.lost() == 0);
    CHECK(sequence.add(40'000) == Arrival::stray);
    CHECK(sequence.add(40'001) == Arrival::restart);
    CHECK(sequence.add(40'002) == Arrival::next);
    CHECK(sequence.add(40'000) == Arrival::duplicate);  // the stray is the first of the new numbers
    CHECK(sequence.restarts() == 1);
    CHECK(sequence.lost() == 0);
}

TEST_CASE("what our own machine dropped is not the network's loss", "[unit]") {
    RtpSequence sequence;
    sequence.add(1);
    sequence.own_loss(3);
    CHECK(sequence.add(6) == Arrival::after_gap);  // 2 to 5 missing, three of them ours
    CHECK(sequence.own_lost() == 3);
    CHECK(sequence.lost() == 1);
    CHECK(sequence.last_gap() == 1);
}

TEST_CASE("counts equal the truth for any loss, delay and repetition within the window",
          "[property]") {
    for (unsigned seed = 1; seed <= 40; ++seed) {
        std::mt19937 random(seed);
        std::vector<std::pair<int, int>> sent;  // (position on the wire, number)
        std::set<int> arrived;
        const int start = static_cast<int>(random() % 65536);
        int repeats = 0;
        for (int n = 0; n < 5000; ++n) {
            if (n > 0 && n < 4999 && random() % 50 == 0) continue;
            const int delay = random() % 20 == 0 ? static_cast<int>(random() % 40) : 0;
            const int at = n == 0 || n == 4999 ? n : std::min(n + delay, 4998);
            sent.emplace_back(at, n);
            arrived.insert(n);
            if (random() % 60 == 0) {
                sent.emplace_back(at, n);
                ++repeats;
            }
        }
        std::ranges::stable_sort(sent, {}, &std::pair<int, int>::first);
        RtpSequence sequence;
        int highest = -1, late = 0;
        std::set<int> known;
        for (const auto& [at, n] : sent) {
            if (known.insert(n).second && n < highest) ++late;
            highest = std::max(highest, n);
            sequence.add(static_cast<std::uint16_t>(start + n));
        }
        CHECK(sequence.received() == arrived.size());
        CHECK(sequence.lost() == 5000 - arrived.size());
        CHECK(sequence.duplicates() == static_cast<std::uint64_t>(repeats));
        CHECK(sequence.reordered() == static_cast<std::uint64_t>(late));
    }
}
