// SPDX-License-Identifier: Apache-2.0
// Any text given as a quantity or an address is a value or a fault, never more.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "mastline/text/escape.hpp"
#include "mastline/text/table_reader.hpp"

using namespace mastline;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(data, data + size);
    if (const auto length = parse_length(text)) (void)to_text(*length);
    if (const auto rate = parse_bit_rate(text)) (void)to_text(*rate);
    if (const auto span = parse_duration(text)) (void)to_text(*span);
    if (const auto level = parse_level(text)) (void)to_exact_text(*level);
    if (const auto address = parse_ip_address(text)) {
        const auto again = parse_ip_address(to_text(*address));
        if (!again || *again != *address) std::abort();  // text and back loses nothing
    }
    const std::string plain = plain_line(text);
    if (plain_line(plain) != plain) std::abort();
    (void)csv_field(text);
    (void)toml_string(text);
    (void)escape_markup(text);
    return 0;
}
