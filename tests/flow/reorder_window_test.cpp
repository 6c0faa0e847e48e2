// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/reorder_window.hpp"

#include <catch2/catch.hpp>
#include <functional>
#include <string>

using namespace mastline;
using namespace std::chrono_literals;

namespace {

// Packets of one byte, a to z by number; "-" where one is missing before the next.
class Order {
public:
    bool add(int number, Duration at) {
        const std::byte letter{static_cast<unsigned char>('a' + number)};
        return window.add(number, ByteView(&letter, 1), at, false, take, [&] { out += '-'; });
    }
    std::string rest() {
        window.release(take, [&] { out += '-'; });
        return out;
    }
    std::string out;
    std::vector<Duration> times;
    ReorderWindow window;

private:
    std::function<void(ByteView, Duration, bool)> take = [this](ByteView bytes, Duration at, bool) {
        out += std::to_integer<char>(bytes[0]);
        times.push_back(at);
    };
};

std::string after(const std::vector<int>& numbers, Duration step = 1ms) {
    Order order;
    Duration now{};
    for (const int n : numbers) order.add(n, now += step);
    return order.rest();
}

}  // namespace

TEST_CASE("late packets are put back in their place, missing ones are told", "[unit]") {
    CHECK(after({0, 1, 2, 3}) == "abcd");
    CHECK(after({0, 2, 1, 3}) == "abcd");
    CHECK(after({0, 3, 2, 1, 4}) == "abcde");
    CHECK(after({0, 2, 4, 3, 1, 5}) == "abcdef");
    CHECK(after({0, 2, 3}) == "a-cd");
    CHECK(after({0, 2, 4, 1, 6}) == "abc-e-g");
    CHECK(after({5, 4, 6}) == "fg");  // from before the first
}

TEST_CASE("a gap is waited for as long as a small buffer would, and no longer", "[unit]") {
    Order order;
    order.add(0, 0ms);
    for (int n = 2; n <= 16; ++n) order.add(n, n * 1ms);
    CHECK(order.out == "a");
    CHECK(order.add(17, 17ms));  // the sixteenth that waits
    CHECK(order.out == "a-cdefghijklmnopqr");
    CHECK_FALSE(order.add(1, 18ms));

    Order slow;
    slow.add(0, 0ms);
    slow.add(2, 50ms);
    slow.add(3, 150ms);
    CHECK(slow.out == "a");
    slow.add(4, 151ms);
    CHECK(slow.out == "a-cde");

    Order far;
    far.add(0, 0ms);
    far.add(20, 1ms);
    CHECK(far.out == "a-u");
}

TEST_CASE("times never go back where a late packet is put in", "[unit]") {
    Order order;
    order.add(0, 0ms);
    order.add(2, 2ms);
    order.add(3, 3ms);
    order.add(1, 4ms);
    CHECK(order.out == "abcd");
    CHECK(order.times == std::vector<Duration>{0ms, 2ms, 2ms, 3ms});
}
