// SPDX-License-Identifier: Apache-2.0
// The document set as a person meets it, in headless Chromium.
#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <regex>
#include <set>
#include <sstream>

#include "mastline/sheets/sheets.hpp"
#include "tests/support/browser.hpp"
#include "tests/support/demo_plan.hpp"
#include "tests/support/lines_of.hpp"

using namespace mastline;
using test::Browser;
using test::lines_of;

namespace {

std::string sample_sheets(int wings = 1) {
    const auto [venue, plan] = sample::make(wings);
    return write_sheets(venue, plan);
}

// Texts of drawings that lie on each other, or stick out of the box they belong to.
const std::string kMeasureTexts = R"js(
    const faults = [];
    let count = 0;
    for (const svg of document.querySelectorAll(".sheet svg")) {
        const texts = [...svg.querySelectorAll("text")].map((t) => [t.getBoundingClientRect(), t]);
        count += texts.length;
        texts.sort((a, b) => a[0].top - b[0].top);
        for (let i = 0; i < texts.length; ++i)
            for (let j = i + 1; j < texts.length && texts[j][0].top < texts[i][0].bottom; ++j) {
                const a = texts[i][0], b = texts[j][0];
                const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
                const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
                if (wide > 0.5 && high > 2)
                    faults.push(texts[i][1].textContent + " | " + texts[j][1].textContent);
            }
        for (const g of svg.querySelectorAll("g")) {
            const box = g.querySelector("rect.box");
            if (!box) continue;
            const frame = box.getBoundingClientRect();
            for (const text of g.querySelectorAll("text")) {
                const t = text.getBoundingClientRect();
                if (t.left < frame.left - 0.5 || t.right > frame.right + 0.5 || t.bottom > frame.bottom + 0.5)
                    faults.push("out of its box: " + text.textContent);
            }
        }
    }
    // Text that sticks out of the box that holds it.
    for (const box of document.querySelectorAll(".sheet :is(td, th, li, dd, dt, h2, h3, caption, figcaption, p)"))
        if (box.clientWidth > 0 && box.scrollWidth > box.clientWidth + 1)
            faults.push("sticks out: " + box.textContent.slice(0, 60));
    return { count, faults };
)js";

}  // namespace

TEST_CASE("the sheets open without an error or a request, and tables sort and filter, search finds, "
          "colours stand out, everything has its name",
          "[browser]") {
    // WCAG 2.2: 1.4.3 asks 4.5:1 for text, 1.4.11 asks 3:1 for graphics; relative luminance as
    // there.
    Browser browser;
    const auto seen = browser.run(sample_sheets(), R"js(
    const names = () => {
        const named = (e) => (e.getAttribute("aria-label") || (e.labels && e.labels.length && e.labels[0].textContent) || e.textContent).trim() !== "";
        const faults = [];
        for (const e of document.querySelectorAll("input, select, button, a"))
            if (!named(e)) faults.push(e.outerHTML.slice(0, 80));
        for (const t of document.querySelectorAll("table.list")) if (!t.caption || !t.caption.textContent) faults.push(t.id);
        for (const th of document.querySelectorAll("th")) if (!th.scope) faults.push("no scope: " + th.textContent);
        for (const s of document.querySelectorAll(".sheet svg:not([aria-hidden])"))
            if (!s.getAttribute("role") || !(s.getAttribute("aria-label") || s.getAttribute("aria-labelledby"))) faults.push("unnamed drawing");
        let last = 0;
        for (const h of document.querySelectorAll("h1, h2, h3")) {
            const level = Number(h.tagName[1]);
            if (level > last + 1) faults.push("level skipped: " + h.textContent);
            last = level;
        }
        return { faults, lang: document.documentElement.lang, main: document.querySelectorAll("main").length };
    };
    const contrast = () => {
        const light = (hex) => {
            const [r, g, b] = [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16) / 255)
                .map((c) => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
            return 0.2126 * r + 0.7152 * g + 0.0722 * b;
        };
        const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
        const out = {};
        for (const theme of ["light", "dark"]) {
            const select = document.getElementById("theme");
            select.value = theme;
            select.dispatchEvent(new Event("change", { bubbles: true }));
            const style = getComputedStyle(document.documentElement);
            const colour = (name) => style.getPropertyValue("--" + name).trim();
            for (const text of ["ink", "soft", "accent", "good", "near", "out"])
                for (const ground of ["paper", "faint", "hit"])
                    if (ground !== "hit" || text === "ink" || text === "accent")
                        out[theme + " " + text + " on " + ground] = ratio(colour(text), colour(ground));
            out[theme + " out on out-ground"] = ratio(colour("out"), colour("out-ground"));
            out[theme + " ink on near-ground"] = ratio(colour("ink"), colour("near-ground"));
        }
        return out;
    };
    const sort = () => {
        const table = document.getElementById("load-list");
        const head = table.tHead.rows[0].cells, at = [...head].findIndex((c) => c.textContent.startsWith("Worst mix"));
        const column = () => [...table.tBodies[0].rows].map((r) => parseFloat(r.cells[at].textContent));
        const sorted = (v, sign) => v.every((x, i) => i === 0 || sign * (x - v[i - 1]) >= 0);
        const button = head[at].querySelector("button");
        button.click();
        const up = sorted(column(), 1), said = head[at].getAttribute("aria-sort");
        button.click();
        return { up, said, down: sorted(column(), -1), now: head[at].getAttribute("aria-sort"), rows: column().length };
    };
    const filter = () => {
        const table = document.getElementById("channel-map");
        const line = table.parentElement.previousElementSibling;
        const input = line.querySelector("input");
        input.value = "sports HD";
        input.dispatchEvent(new Event("input"));
        const shown = [...table.tBodies[0].rows].filter((r) => !r.hidden).map((r) => r.cells[1].textContent + r.cells[2].textContent);
        return { shown, status: line.querySelector("[role=status]").textContent };
    };
    const search = () => {
        const search = document.getElementById("search"), found = document.getElementById("found");
        const press = (key) => search.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
        const out = {};
        for (const words of ["104", "ms-3", "239.192.10.7", "no such thing"]) {
            search.value = words;
            press("Enter");
            const hit = document.querySelector(".hit");
            const box = hit && hit.getBoundingClientRect();
            out[words] = [found.textContent, hit ? hit.textContent.includes(words) : null,
                          box ? box.top >= 0 && box.bottom <= innerHeight : null];
        }
        document.dispatchEvent(new KeyboardEvent("keydown", { key: "/", bubbles: true, cancelable: true }));
        out.focus = document.activeElement === search;
        return out;
    };
    const width = () => [document.documentElement.scrollWidth, innerWidth];
    const bare = () => [...document.querySelectorAll("table.list")].filter((t) => {
        const line = t.closest(".scroll").previousElementSibling;
        return (line.offsetHeight > 0) !== (t.tBodies[0].rows.length >= 5);
    }).map((t) => t.id);
    return { bare: bare(), width: width(), names: names(), contrast: contrast(), sort: sort(), filter: filter(), search: search() };
)js");
    INFO(seen.dump(1).substr(0, 4000));
    CHECK(seen["errors"].empty());
    CHECK(seen["requests"].empty());
    CHECK(seen["result"]["width"][0].get<int>() <= seen["result"]["width"][1].get<int>());

    CHECK(seen["result"]["names"]["faults"].empty());
    CHECK(seen["result"]["names"]["lang"] == "en");
    CHECK(seen["result"]["names"]["main"] == 1);

    CHECK(seen["result"]["contrast"].size() == 32);
    for (const auto& [pair, ratio] : seen["result"]["contrast"].items()) {
        INFO(pair);
        CHECK(ratio.get<double>() >= 4.5);
    }

    CHECK(seen["result"]["sort"] == nlohmann::json({{"up", true},
                                            {"said", "ascending"},
                                            {"down", true},
                                            {"now", "descending"},
                                            {"rows", 48}}));

    // Every seventh channel is of sports: nine names, of which two are in SD.
    // A filter stands over a table that is not seen at a glance, and over no other.
    CHECK(seen["result"]["bare"].empty());
    CHECK(seen["result"]["filter"]["shown"].size() == 7);
    for (const auto& row : seen["result"]["filter"]["shown"])
        CHECK(row.get<std::string>().starts_with("Harbour Sports"));
    CHECK(seen["result"]["filter"]["status"] == "filtered by \u201csports HD\u201d: 7 of 61 rows");

    for (const auto* words : {"104", "ms-3", "239.192.10.7"}) {
        CHECK(seen["result"]["search"][words][0].get<std::string>().starts_with("1 of "));
        CHECK(seen["result"]["search"][words][1] == true);
        CHECK(seen["result"]["search"][words][2] == true);
    }
    CHECK(seen["result"]["search"]["104"][0].get<std::string>().ends_with("sheet 6, Channel map"));
    CHECK(seen["result"]["search"]["no such thing"][0] == "nothing found");
    CHECK(seen["result"]["search"]["focus"] == true);
}

TEST_CASE("no text of a drawing lies on another in a venue five times the usual size", "[browser]") {
    Browser browser;
    const auto seen = browser.run(sample_sheets(5), kMeasureTexts);
    INFO(seen.dump(1).substr(0, 2000));
    CHECK(seen["result"]["count"].get<int>() > 1500);
    CHECK(seen["result"]["faults"].empty());
}

TEST_CASE("at 200 % zoom no text of the demo venue's sheets lies on another, sticks out or has to be "
          "scrolled to sideways",
          "[browser]") {
    const auto [venue, plan] = sample::demo();
    Browser browser;
    const std::string widths =
        "const root = document.documentElement, wide = [root.scrollWidth, innerWidth];";
    const auto seen = browser.run(write_sheets(venue, plan),
                                  widths + " const texts = (() => {" + kMeasureTexts +
                                      "})(); return { ...texts, wide };",
                                  {640, 900});  // a window of 1,280 at 200 % zoom
    INFO(seen.dump(1).substr(0, 2000));
    CHECK(seen["errors"].empty());
    CHECK(seen["requests"].empty());
    CHECK(seen["result"]["count"].get<int>() > 300);
    CHECK(seen["result"]["faults"].empty());
    CHECK(seen["result"]["wide"][0].get<int>() <= seen["result"]["wide"][1].get<int>());
}

TEST_CASE("long and wide names do not break the drawings", "[browser]") {
    auto [venue, plan] = sample::make();
    for (auto& zone : venue.zones)
        zone.name =
            "\u5317\u7aef\u770b\u53f0\u4e0e\u8d35\u5bbe\u5305\u53a2\u8d70\u5eca " + zone.name;
    for (auto& device : venue.devices) device.model = std::string(60, 'W');
    for (auto& card : venue.cards) card.model = std::string(60, 'M');
    for (auto& model : venue.card_models) model.name = std::string(60, 'M');
    for (auto& chassis : venue.chassis) chassis.licences = 1'000'000;
    Browser browser;
    const auto seen = browser.run(write_sheets(venue, plan), kMeasureTexts);
    INFO(seen.dump(1).substr(0, 2000));
    CHECK(seen["result"]["faults"].empty());
}

namespace {

// What pdftotext sees of a printed set.
struct Print {
    std::size_t pages = 0;
    std::vector<std::string> strays;             // words outside the margins or in the title block
    std::vector<std::string> blocks;             // words of each page's title block
    std::map<std::string, std::size_t> of_sheet;  // pages of each, by number
    std::map<std::string, double> least_height;   // of a word in millimetres, by sheet number
    std::string words;                           // of all pages, one after the other
};

constexpr double kMillimetre = 72 / 25.4;

Print read_print(const std::string& pdf, double wide, double high) {
    static const std::regex page_line("<page width=\"([0-9.]+)\" height=\"([0-9.]+)\">");
    static const std::regex word_line(
        "<word xMin=\"([0-9.-]+)\" yMin=\"([0-9.-]+)\" xMax=\"([0-9.-]+)\" "
        "yMax=\"([0-9.-]+)\">(.*)</word>");
    static const std::regex sheet("SHEET ([0-9]+[a-z]?) of 10");
    Print out;
    std::string block;
    double least = 1e9;
    for (const auto& line : lines_of(test::run_command("pdftotext -bbox " + pdf + " -").output)) {
        std::smatch m;
        if (std::regex_search(line, m, page_line)) {
            ++out.pages;
            CHECK(std::stod(m[1]) == Approx(wide * kMillimetre).margin(1.5));
            CHECK(std::stod(m[2]) == Approx(high * kMillimetre).margin(1.5));
            block.clear();
            least = 1e9;
        } else if (std::regex_search(line, m, word_line)) {
            const double left = std::stod(m[1]) / kMillimetre, top = std::stod(m[2]) / kMillimetre,
                         right = std::stod(m[3]) / kMillimetre,
                         bottom = std::stod(m[4]) / kMillimetre;
            const bool in_block = top > high - 21;
            (in_block ? block : out.words) += m[5].str() + " ";
            if (!in_block) least = std::min(least, bottom - top);
            if (left < 11 || right > wide - 11 || top < 9 || bottom > high - (in_block ? 2 : 20))
                out.strays.push_back("page " + std::to_string(out.pages) + ": " + line);
        } else if (line.find("</page>") != std::string::npos) {
            std::smatch number;
            INFO("page " << out.pages << ": " << block);
            REQUIRE(std::regex_search(block, number, sheet));
            ++out.of_sheet[number[1]];
            auto& height = out.least_height.try_emplace(number[1], least).first->second;
            height = std::min(height, least);
            out.blocks.push_back(block);
        }
    }
    return out;
}

// The same document as if A4 had been chosen in the bar.
std::string on_a4(std::string html) {
    const std::string a3 = "<option>A3</option><option>A4</option>";
    return html.replace(html.find(a3), a3.size(), "<option>A4</option><option>A3</option>");
}

// Every label, name and group that the set must show, by the words of its pages.
std::vector<std::string> missing_words(const Print& print, const sample::VenueAndPlan& sample) {
    std::set<std::string> words;
    std::istringstream in(print.words);
    for (std::string word; in >> word;) words.insert(word);
    std::vector<std::string> out;
    const auto want = [&](const std::string& text) {
        std::istringstream parts(text);
        for (std::string part; parts >> part;)
            if (!words.contains(part)) out.push_back(part);
    };
    for (const auto& run : sample.venue.runs)
        for (const auto& lane : run.lanes)
            want(run.lanes.size() > 1 ? run.name + "/" + std::to_string(lane.from.value) : run.name);
    for (const auto& channel : sample.venue.channels) want(to_text(channel.number) + " " + channel.name);
    for (const auto& carriage : sample.plan.addressing.carriages) want(to_text(carriage.flow.group));
    for (const auto& link : sample.venue.links) want(link.name);
    for (const auto& device : sample.venue.devices) want(device.name);
    return out;
}

}  // namespace

TEST_CASE("printed on A3 each page has its title block and column heads, no word is lost or off the "
          "margins",
          "[browser]") {
    const auto sample = sample::make();
    Browser browser;
    const std::string pdf = browser.print(write_sheets(sample.venue, sample.plan));
    const auto print = read_print(pdf, 420, 297);
    CHECK(print.strays == std::vector<std::string>{});
    CHECK(missing_words(print, sample) == std::vector<std::string>{});
    for (std::size_t page = 0; page < print.pages; ++page) {
        INFO(print.blocks[page]);
        CHECK(print.blocks[page].find("Harbour Arena") != std::string::npos);
        CHECK(print.blocks[page].find("4f2a91c07be3, page " + std::to_string(page + 1) + " of " +
                                      std::to_string(print.pages)) != std::string::npos);
    }
    CHECK(print.of_sheet.size() == 14);
    // Findings, the guide and the agreement on one page each; sixty channels on two, sixty groups
    // side by side on one.
    for (const auto* one : {"1", "6a", "7", "8a"}) CHECK(print.of_sheet.at(one) == 1);
    for (const auto* two : {"2", "6"}) CHECK(print.of_sheet.at(two) == 2);
    // Column heads are repeated on each page that a table runs over.
    std::size_t heads = 0;
    for (const auto& line : lines_of(test::run_command("pdftotext -layout " + pdf + " -").output))
        if (line.find("Number ") <= 1 && line.find("PIDs") != std::string::npos) ++heads;
    CHECK(heads == 2);
}

TEST_CASE("the demo venue prints on A3 and A4 without a word lost or off the margins", "[browser]") {
    const auto demo = sample::demo();
    const std::string html = write_sheets(demo.venue, demo.plan);
    Browser browser;
    const auto a3 = read_print(browser.print(html), 420, 297);
    CHECK(a3.strays == std::vector<std::string>{});
    CHECK(missing_words(a3, demo) == std::vector<std::string>{});
    CHECK(a3.of_sheet.at("2") == 2);
    const auto a4 = read_print(browser.print(on_a4(html)), 297, 210);
    CHECK(a4.strays == std::vector<std::string>{});
    CHECK(missing_words(a4, demo) == std::vector<std::string>{});
    // Nothing is wider than the paper, for then the browser would shrink all of it: tables keep the size that the style
    // gives them, in points, and no drawing is smaller than A3 reduced to A4 would be.
    const auto points = [](const Print& print, const std::string& sheet) { return print.least_height.at(sheet) * kMillimetre / 1.16; };
    for (const auto* tables : {"1", "4", "4b", "6a", "7", "10"}) CHECK(points(a4, tables) >= 6.7);
    CHECK(points(a4, "6") >= 6.4);
    for (const auto& [sheet, height] : a3.least_height) {
        INFO("sheet " << sheet);
        CHECK(points(a3, sheet) >= 6);
        CHECK(points(a4, sheet) >= 6 / std::sqrt(2));
    }
    for (const auto* one : {"1", "6a", "8a"}) CHECK(a4.of_sheet.at(one) == 1);
}

TEST_CASE("a path of six lanes to four multiswitches is readable on A3", "[browser]") {
    // ISO 3098-1 begins its series of letter heights at 1.8 mm. The capitals of the drawings' font are
    // 0.73 em high, its words' boxes 1.16 em.
    const auto sample = sample::make(1, 6);
    Browser browser;
    const auto print = read_print(browser.print(write_sheets(sample.venue, sample.plan)), 420, 297);
    CHECK(print.strays == std::vector<std::string>{});
    CHECK(print.least_height.at("2") / 1.16 * 0.73 >= 1.8);
    CHECK(print.of_sheet.at("2") <= 3);
}
