// SPDX-License-Identifier: Apache-2.0
// The arithmetic that every linear quantity (length, voltage, rate) has in common.
#pragma once

#include <compare>

namespace mastline {

// Derived : LinearQuantity<Derived, Rep> has an explicit constructor from Rep base units.
template <class Derived, class Rep>
class LinearQuantity {
public:
    friend constexpr Derived operator+(Derived a, Derived b) { return Derived(a.raw_ + b.raw_); }
    friend constexpr Derived operator-(Derived a, Derived b) { return Derived(a.raw_ - b.raw_); }
    friend constexpr Derived operator*(Derived a, Rep n) { return Derived(a.raw_ * n); }
    friend constexpr Derived operator*(Rep n, Derived a) { return Derived(a.raw_ * n); }
    friend constexpr auto operator<=>(const Derived& a, const Derived& b) {
        return a.raw_ <=> b.raw_;
    }
    friend constexpr bool operator==(const Derived& a, const Derived& b) {
        return a.raw_ == b.raw_;
    }
    constexpr Derived& operator+=(Derived b) {
        raw_ += b.raw_;
        return static_cast<Derived&>(*this);
    }

protected:
    constexpr LinearQuantity() = default;
    constexpr explicit LinearQuantity(Rep raw) : raw_(raw) {}
    Rep raw_{};
};

}  // namespace mastline
