// SPDX-License-Identifier: Apache-2.0
// The common look of the probe's pages, for screen, light or dark, and paper.
#pragma once

#include <string>
#include <string_view>

namespace mastline {

inline constexpr std::string_view kPageStyle = R"(
:root { color-scheme: light dark; --ink: #1b1f24; --line: #9aa3ad; --paper: #fff; --soft: #eef1f4; --quiet: #4c5661;
  --bad: #a3150f; --doubt: #8a5a00; --good: #17632e; --link: #0b4fa0; }
@media screen and (prefers-color-scheme: dark) { :root { --ink: #e6e9ec; --line: #66707a; --paper: #14181c; --soft: #23292f;
  --quiet: #aab3bc; --bad: #ff8f85; --doubt: #f0c060; --good: #7fd49b; --link: #8fc1ff; } }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 84rem; padding: 1.5rem; color: var(--ink); background: var(--paper);
  font: 15px/1.45 "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
header { display: grid; grid-template-columns: 1fr auto; border: 2px solid var(--ink); }
header > div { padding: .6rem .9rem; }
header .box { border-left: 2px solid var(--ink); min-width: 17rem; }
h1 { margin: 0; font-size: 1.35rem; } h2 { margin: 1.8rem 0 .5rem; font-size: 1.1rem; }
h3 { margin: 1.2rem 0 .3rem; font-size: 1rem; }
dl { display: grid; grid-template-columns: auto 1fr; gap: 0 .8rem; margin: 0; }
a { color: var(--link); } dt { color: var(--quiet); } dd { margin: 0; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 1px solid var(--line); padding: .25rem .5rem; text-align: left; vertical-align: top; }
th { background: var(--soft); } td.number { text-align: right; font-variant-numeric: tabular-nums; }
.mark { font-weight: bold; white-space: nowrap; }
.failed .mark { color: var(--bad); } .doubt .mark { color: var(--doubt); } .right .mark { color: var(--good); }
.result { font-size: 1.15rem; font-weight: bold; margin: 1.2rem 0; padding: .5rem .9rem; border-left: .5rem solid; }
.result.failed { border-color: var(--bad); } .result.right { border-color: var(--good); }
.result.doubt { border-color: var(--doubt); }
@media (max-width: 40rem) { header { grid-template-columns: 1fr; } header .box { border-left: 0; border-top: 2px solid; } }
@media print { @page { size: A4 landscape; margin: 12mm; @bottom-right { content: "page " counter(page) " of " counter(pages); font-size: 8pt; } } body { max-width: none; padding: 0; font-size: 8pt; line-height: 1.3; }
  th, td { padding: .1rem .35rem; } .wide { overflow: visible; }
  thead { display: table-header-group; } tr, h3, svg { break-inside: avoid; } h2, h3, h2 + p, h3 + p { break-after: avoid; } svg { print-color-adjust: exact; } }
)";

// Begins an element for what may be wider than the screen: it is scrolled by keys too (WCAG 2.1.1). REQUIRES: `name`,
// which a screen reader tells, is escaped.
inline std::string wide_region(std::string_view name, std::string_view style = "wide") {
    return "<div class=\"" + std::string(style) + "\" role=\"region\" tabindex=\"0\" aria-label=\"" + std::string(name) + "\">";
}

// A path as a relative reference (RFC 3986 section 2.1): what is no unreserved character is escaped.
inline std::string link_text(std::string_view path) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    std::string out;
    for (const char c : path) {
        const bool plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           std::string_view("-._~/").find(c) != std::string_view::npos;
        const auto byte = static_cast<unsigned char>(c);
        if (plain) out += c;
        else out += std::string("%") + digits[byte >> 4] + digits[byte & 15];
    }
    return out;
}

}  // namespace mastline
