// SPDX-License-Identifier: Apache-2.0
// A value, or the one reason why there is none. Spelled like std::expected, which C++20 lacks.
#pragma once

#include <cstddef>
#include <string_view>
#include <utility>
#include <variant>

namespace mastline {

// Why bytes are not what they should be. `reason` is a literal: making a fault never allocates.
struct ParseFault {
    std::string_view reason;  // e.g. "section_length exceeds 1021"
    std::size_t offset = 0;   // byte at which reading stopped
    bool operator==(const ParseFault&) const = default;
};

template <class T, class E = ParseFault>
class Parsed {
public:
    Parsed(T value) : held_(std::in_place_index<0>, std::move(value)) {}
    Parsed(E fault) : held_(std::in_place_index<1>, std::move(fault)) {}

    explicit operator bool() const { return held_.index() == 0; }
    bool has_value() const { return held_.index() == 0; }

    // REQUIRES: has_value()
    const T& value() const { return std::get<0>(held_); }
    T& value() { return std::get<0>(held_); }
    const T& operator*() const { return value(); }
    T& operator*() { return value(); }
    const T* operator->() const { return &value(); }
    T* operator->() { return &value(); }

    // REQUIRES: !has_value()
    const E& error() const { return std::get<1>(held_); }

private:
    std::variant<T, E> held_;
};

}  // namespace mastline
