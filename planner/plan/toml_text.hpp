// SPDX-License-Identifier: Apache-2.0
// TOML written line by line in the order that a reader wants: the TOML library would sort the keys
// of each table by name.
#pragma once

#include <concepts>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/text/escape.hpp"

namespace mastline {

class TomlText {
public:
    // "flow" begins [[flow]]: one more of a list.
    void item(std::string_view name) { text_ += "\n[[" + std::string(name) + "]]\n"; }
    void table(std::string_view name) { text_ += "\n[" + std::string(name) + "]\n"; }
    void comment(std::string_view line) { text_ += "# " + plain_line(line) + "\n"; }

    void text(std::string_view key, std::string_view value) { line(key, toml_string(value)); }
    // Left out where there is nothing to say.
    void text_if(std::string_view key, std::string_view value) {
        if (!value.empty()) text(key, value);
    }
    void boolean(std::string_view key, bool value) { line(key, value ? "true" : "false"); }
    template <std::integral Int>
    void integer(std::string_view key, Int value) {
        line(key, std::to_string(value));
    }
    void texts(std::string_view key, const std::vector<std::string>& values) {
        line(key, list_of(values));
    }
    // key = { a = "1", b = ["2", "3"] }: each member is a key and its texts.
    struct Member {
        std::string_view key;
        std::vector<std::string> values;  // one: a text; more: a list
    };
    void inline_table(std::string_view key, const std::vector<Member>& members) {
        std::string all;
        for (const auto& [name, values] : members)
            all += (all.empty() ? " " : ", ") + std::string(name) + " = " +
                   (values.size() == 1 ? toml_string(values[0]) : list_of(values));
        line(key, "{" + all + " }");
    }

    const std::string& str() const { return text_; }

private:
    static std::string list_of(const std::vector<std::string>& values) {
        std::string list;
        for (const auto& value : values) list += (list.empty() ? "" : ", ") + toml_string(value);
        return "[" + list + "]";
    }

    void line(std::string_view key, std::string_view value) {
        text_.append(key).append(" = ").append(value).append("\n");
    }

    std::string text_;
};

}  // namespace mastline
