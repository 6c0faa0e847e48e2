// SPDX-License-Identifier: Apache-2.0
// Changes of a venue in the texts of its files. The outside check is Python's tomllib: the text after
// an edit must read as the tree before with the edit made there.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "planner/intake/edit_venue.hpp"
#include "support/dice.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;

namespace {

const std::string kRoof =
    "# The roof.\n\n[[device]]   # launch\nname = \"amp\"\ngain = \"20 dB\"\ntrim = [\n  \"-2 dB\",  # west\n  \"-3 dB\"   # east\n]\n"
    "slope = \"4 dB\"   # by ear\n\n# after the amplifier\n[[device]]\nname = 'pads'\nkind = \"pad\"\nlanes = 2\n\n"
    "[[link]]\nname = \"up\"\nfrom = \"a\"\nto = \"b\"   # the long way\n\n[[link]]\nfrom = \"b\"\nto = \"c\"\n";
const std::string kCards = "[[card_model]]\nname = \"tuner\"\n\n[[card]]\nname = \"A1\"\n# spare key in drawer 3\n";

struct Edited {
    FileTexts texts;
    std::vector<std::string> lines;
};

Edited edit(std::vector<VenueEdit> edits, FileTexts texts = {{"roof.toml", kRoof}, {"cards.toml", kCards}}) {
    Findings findings;
    Edited out{edit_venue(texts, edits, findings), {}};
    for (const auto& f : findings) out.lines.push_back(to_line(f));
    return out;
}

std::string with(std::string text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

std::vector<Gain> gains(std::initializer_list<double> values) {
    std::vector<Gain> out;
    for (const double v : values) out.push_back(Gain::db(v));
    return out;
}

}  // namespace

TEST_CASE("one trim of a list is changed where it stands, with its comment", "[unit]") {
    const auto out = edit({SetTrim{"amp", gains({-2, -3.5})}});
    CHECK(out.lines.empty());
    CHECK(out.texts.at("roof.toml") == with(kRoof, "\"-3 dB\"   # east", "\"-3.5 dB\"   # east"));
    CHECK(out.texts.at("cards.toml") == kCards);
}

TEST_CASE("comments inside a value that is replaced whole come to stand above it", "[unit]") {
    CHECK(edit({SetTrim{"amp", gains({-2})}}).texts.at("roof.toml") ==
          with(kRoof, "trim = [\n  \"-2 dB\",  # west\n  \"-3 dB\"   # east\n]\n", "# west\n# east\ntrim = \"-2 dB\"\n"));
}

TEST_CASE("a setting left to the planner is taken out, its remark stays", "[unit]") {
    CHECK(edit({SetSlope{"amp", std::nullopt}}).texts.at("roof.toml") == with(kRoof, "slope = \"4 dB\"   # by ear\n", "# by ear\n"));
    CHECK(edit({SetTrim{"pads", {}}}).texts.at("roof.toml") == kRoof);
}

TEST_CASE("a new key goes below the last one of its table", "[unit]") {
    CHECK(edit({SetPads{"pads", {Gain::db(6), std::nullopt}}}).texts.at("roof.toml") ==
          with(kRoof, "lanes = 2\n", "lanes = 2\npads = [\"6 dB\", \"none\"]\n"));
    CHECK(edit({SetLoss{"pads", Gain::db(3)}}).texts.at("roof.toml") == with(kRoof, "lanes = 2\n", "lanes = 2\nloss = \"3 dB\"\n"));
}

TEST_CASE("a card goes below the last card and its remarks", "[unit]") {
    const auto out = edit({AddCard{"A2", "tuner", "", "A1", CardState::store}});
    CHECK(out.texts.at("cards.toml") == kCards + "\n[[card]]\nname = \"A2\"\nmodel = \"tuner\"\nstate = \"store\"\nwired_like = \"A1\"\n");
    CHECK(out.texts.at("roof.toml") == kRoof);
}

TEST_CASE("a link is taken out by its name or by its ends", "[unit]") {
    CHECK(edit({RemoveLink{"up"}}).texts.at("roof.toml") ==
          with(kRoof, "[[link]]\nname = \"up\"\nfrom = \"a\"\nto = \"b\"   # the long way\n\n", ""));
    CHECK(edit({RemoveLink{"b/c"}}).texts.at("roof.toml") == with(kRoof, "\n[[link]]\nfrom = \"b\"\nto = \"c\"\n", ""));
}

TEST_CASE("several edits are made one after the other", "[unit]") {
    const auto out = edit({SetSlope{"amp", std::nullopt}, SetTrim{"amp", gains({-1, -1})}, RemoveLink{"up"}, RemoveLink{"b/c"},
                           SetSlope{"amp", Gain::db(2)}});
    CHECK(out.lines.empty());
    const auto& text = out.texts.at("roof.toml");
    CHECK(text.find("[[link]]") == std::string::npos);
    CHECK(text.find("\"-1 dB\",  # west\n  \"-1 dB\"   # east\n]\nslope = \"2 dB\"\n# by ear\n") != std::string::npos);
}

TEST_CASE("what cannot be edited is said, and then nothing is changed", "[input]") {
    const auto unknown = edit({SetSlope{"amp", Gain::db(1)}, SetSlope{"amq", Gain::db(1)}});
    CHECK(unknown.lines == std::vector<std::string>{"error: edit.unknown-device: no device is named 'amq'; look at the sheets anew"});
    CHECK(unknown.texts.at("roof.toml") == kRoof);
    CHECK(edit({RemoveLink{"a/b"}}).lines.size() == 1);  // it has a name of its own
    const auto twice = edit({SetSlope{"x", Gain::db(1)}}, {{"v", "[[device]]\nname='x'\n[[device]]\nname='x'\n"}});
    CHECK(twice.lines == std::vector<std::string>{"error: edit.unknown-device: more than one device is named 'x'; look at the sheets anew"});
    const auto inlined = edit({SetSlope{"x", Gain::db(1)}}, {{"v", "device = [ { name = \"x\" } ]\n"}});
    CHECK(inlined.lines ==
          std::vector<std::string>{"v:1:12: error: edit.inline-table: a device written as { ... } cannot be changed from here; "
                                   "write it as a [[device]] table"});
    CHECK(edit({SetSlope{"x", Gain::db(1)}}, {{"v", "[[device]\n"}}).lines.front().starts_with("v:1:"));
    CHECK(edit({AddCard{"A", "m", "", "", CardState::buy}}, {{"v", ""}}).lines.size() == 1);
}

namespace {

// A venue file as people of different habits write it.
class Writer {
public:
    explicit Writer(test::Dice& dice) : dice_(dice) {}

    std::string file() {
        std::string out = dice_.one_in(3) ? "# \"quoted\" [head] 'and' so on\n" : "";
        for (int i = 0; i < 4; ++i) out += device("dev-" + std::to_string(i));
        out += "[[card_model]]\nname = \"m\"\n\n";
        if (dice_.one_in(2)) out += "[[card]]" + remark() + "name = \"A1\"\nmodel = \"m\"\n" + gap();
        for (int i = 0; i < 3; ++i) out += link(i);
        if (dice_.one_in(3))
            while (out.ends_with('\n')) out.pop_back();
        return dice_.one_in(4) ? crlf(out) : out;
    }

private:
    std::string remark() { return dice_.one_in(2) ? "   # remark " + std::to_string(++remarks_) + " \"[{'\n" : "\n"; }
    std::string gap() {
        std::string out = dice_.one_in(4) ? "" : "\n";
        if (dice_.one_in(3)) out += "# above " + std::to_string(++remarks_) + "\n" + (dice_.one_in(2) ? "\n" : "");
        return out;
    }
    std::string text(const std::string& t) {
        if (dice_.one_in(8)) return "\"\"\"" + t + "\"\"\"";
        return dice_.one_in(3) ? "'" + t + "'" : "\"" + t + "\"";
    }
    std::string list(std::size_t count) {
        const bool tall = dice_.one_in(2);
        std::string out = "[";
        for (std::size_t i = 0; i < count; ++i) {
            if (tall) out += (i == 0 ? remark() : "") + std::string("    ");
            out += text("-" + std::to_string(dice_.below(9)) + " dB");
            if (i + 1 < count || dice_.one_in(3)) out += ",";
            out += tall ? remark() : i + 1 < count ? " " : "";
        }
        return out + "]";
    }
    std::string device(const std::string& name) {
        const std::string indent = dice_.one_in(3) ? "  " : "";
        const auto line = [&](const std::string& t) { return indent + t + remark(); };
        std::string out = (dice_.one_in(3) ? "[[ device ]]" : "[[device]]") + remark() + line("name = " + text(name));
        if (dice_.one_in(2)) out += line("trim = " + (dice_.one_in(3) ? text("-1 dB") : list(1 + dice_.below(4))));
        if (dice_.one_in(2)) out += line("position = " + text("caf\xC3\xA9 # not a remark"));
        if (dice_.one_in(2)) out += line("\"slope\" = " + text("2 dB"));
        if (dice_.one_in(2)) out += line("pads=" + list(1 + dice_.below(3)));
        if (dice_.one_in(4)) out += "[[device.port]]\nname = \"in\"\nslope = \"not this one\"\n";
        return out + gap();
    }
    std::string link(int i) {
        const std::string n = std::to_string(i);
        const bool named = dice_.one_in(2);
        return "[[link]]" + remark() + (named ? "name = " + text("l" + n) + "\n" : "") + "from = " + text("s" + n) + remark() +
               "# inside\nto = " + text("t" + n) + remark() + gap();
    }
    static std::string crlf(const std::string& text) {
        std::string out;
        for (const char c : text) out += c == '\n' ? "\r\n" : std::string(1, c);
        return out;
    }

    test::Dice& dice_;
    int remarks_ = 0;
};

struct Drawn {
    VenueEdit edit;
    nlohmann::json told;
};

nlohmann::json told_set(const std::string& device, const std::string& key, const std::vector<std::string>& texts) {
    return {{"edit", "set"}, {"device", device}, {"key", key}, {"texts", texts}};
}

Drawn draw(test::Dice& dice, const std::string& before) {
    const std::string device = "dev-" + std::to_string(dice.below(4));
    std::vector<Gain> values;
    std::vector<std::optional<Gain>> pads;
    std::vector<std::string> texts, pad_texts;
    for (auto n = dice.below(5); n > 0; --n) {
        values.push_back(Gain::db(-0.5 * dice.below(20)));
        texts.push_back(to_exact_text(values.back()));
        pads.push_back(dice.one_in(3) ? std::nullopt : std::optional(values.back()));
        pad_texts.push_back(pads.back() ? texts.back() : "none");
    }
    switch (dice.below(6)) {
        case 0: return {SetTrim{device, values}, told_set(device, "trim", texts)};
        case 1: return {SetPads{device, pads}, told_set(device, "pads", pad_texts)};
        case 2:
            if (values.empty()) return {SetSlope{device, std::nullopt}, told_set(device, "slope", {})};
            return {SetSlope{device, values[0]}, told_set(device, "slope", {texts[0]})};
        case 3: return {SetLoss{device, Gain::db(6)}, told_set(device, "loss", {"6 dB"})};
        case 4:
            return {AddCard{"N \"1\"", "m", "", "", CardState::buy},
                    {{"edit", "card"}, {"card", {{"name", "N \"1\""}, {"model", "m"}, {"state", "buy"}}}}};
        default: {
            const std::string n = std::to_string(dice.below(3));
            const bool named = before.find("l" + n + "\"") != std::string::npos || before.find("l" + n + "'") != std::string::npos;
            const std::string name = named ? "l" + n : "s" + n + "/t" + n;
            return {RemoveLink{name}, {{"edit", "link"}, {"link", name}, {"n", n}}};
        }
    }
}

// First and last line of link N: its header and the line of its "to".
std::pair<std::size_t, std::size_t> lines_of_link(const std::string& text, const std::string& n) {
    std::size_t line = 1, header = 0;
    for (std::size_t from = 0; from <= text.size(); ++line) {
        const auto end = std::min(text.find('\n', from), text.size());
        const auto here = text.substr(from, end - from);
        if (here.starts_with("[[link]]")) header = line;
        if (here.starts_with("to = ") && here.find("t" + n) != std::string::npos) return {header, line};
        from = end + 1;
    }
    return {0, 0};
}

}  // namespace

TEST_CASE("400 random edits of random files read back as tomllib reads the edited tree, no comment lost", "[property]") {
    test::Dice dice(20261126);
    nlohmann::json cases = nlohmann::json::array();
    for (int i = 0; i < 400; ++i) {
        const std::string before = Writer(dice).file();
        const auto drawn = draw(dice, before);
        Findings findings;
        const auto after = edit_venue({{"v.toml", before}}, std::vector{drawn.edit}, findings);
        INFO(before << "\n" << drawn.told.dump() << (findings.empty() ? "" : to_line(findings[0])));
        REQUIRE(findings.empty());
        nlohmann::json c{{"before", before}, {"edit", drawn.told}, {"after", after.at("v.toml")}};
        if (drawn.told["edit"] == "link") std::tie(c["first"], c["last"]) = lines_of_link(before, drawn.told["n"]);
        cases.push_back(std::move(c));
    }
    test::TempFolder folder;
    test::write_text(folder.file("cases.json"), cases.dump());
    const auto checked =
        test::run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/intake/check_edits.py " + folder.file("cases.json") + " 2>&1");
    INFO(checked.output.substr(0, 3000));
    CHECK(checked.status == 0);
}
