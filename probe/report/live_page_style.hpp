// SPDX-License-Identifier: Apache-2.0
// What the page of a running watch adds to the common look. A channel's standing is told by its word,
// its mark and the weight of its frame; colour only repeats it.
#pragma once

#include <string_view>

namespace mastline {

inline constexpr std::string_view kLivePageStyle = R"(
body { max-width: none; }
.quiet { color: var(--quiet); }
header p { margin: .2rem 0 0; }
#causes { margin: -.6rem 0 1.2rem; padding: 0; list-style: none; }
#causes li::before { content: "Shared: "; font-weight: bold; }
.controls { display: flex; flex-wrap: wrap; gap: .4rem 1.6rem; align-items: baseline; margin: 0 0 .8rem; }
.controls p { margin: 0 0 0 auto; } fieldset { border: 0; padding: 0; margin: 0; } legend { float: left; margin-right: .5rem; }
input[type=search] { font: inherit; color: inherit; background: var(--paper); border: 1px solid var(--line); padding: .15rem .4rem; width: 15rem; max-width: 100%; }
:focus-visible { outline: 3px solid var(--ink); outline-offset: 2px; }
#floor { display: grid; grid-template-columns: minmax(0, 1fr); gap: 1.2rem; align-items: start; }
#floor.open { grid-template-columns: minmax(0, 1fr) minmax(24rem, 34rem); }
#wall { display: grid; grid-template-columns: repeat(auto-fill, minmax(11.5rem, 1fr)); gap: .5rem; margin: 0; padding: 0; list-style: none; }
.tile { display: grid; grid-template-columns: 1fr auto; gap: 0 .5rem; width: 100%; height: 100%; font: inherit; text-align: left;
  color: var(--ink); background: var(--paper); border: 1px solid var(--line); padding: .35rem .5rem; cursor: pointer; align-content: start; align-items: start; }
.tile[aria-expanded=true] { background: var(--soft); }
.tile .number { font-size: 1.15rem; font-weight: bold; font-variant-numeric: tabular-nums; overflow: hidden; text-overflow: ellipsis; }
.tile .name, .tile .why { grid-column: 1 / -1; overflow: hidden; text-overflow: ellipsis; white-space: nowrap; }
.tile .why { font-size: .85rem; min-height: 1.25rem; }
.tile .rate, .tile .since { font-size: .85rem; color: var(--quiet); font-variant-numeric: tabular-nums; }
.tile .since { text-align: right; }
.tile.failed { border: 4px solid var(--bad); padding: calc(.35rem - 3px) calc(.5rem - 3px); }
.tile.failed .mark { background: var(--bad); color: var(--paper); padding: 0 .35rem; }
.tile.unsure { border: 3px dashed var(--doubt); padding: calc(.35rem - 2px) calc(.5rem - 2px); }
.unsure .mark { color: var(--doubt); }
.still { display: grid; aspect-ratio: 16 / 9; background: var(--soft); overflow: hidden; }
.tile .still { grid-column: 1 / -1; margin: .15rem 0; }
.still img { width: 100%; height: 100%; min-height: 0; object-fit: contain; }
.still > span { align-self: center; justify-self: center; padding: .3rem; font-size: .85rem; color: var(--quiet); text-align: center; }
.tile[aria-expanded=true] .still { background: var(--paper); }
#detail .still { max-width: 24rem; }
.hour { grid-column: 1 / -1; width: 100%; height: 1.1rem; display: block; margin-top: .15rem; background: var(--soft); }
.tile[aria-expanded=true] .hour { background: var(--paper); }
.hour .known { stroke: var(--quiet); stroke-width: 1.5; fill: none; vector-effect: non-scaling-stroke; }
.hour .bad { fill: var(--bad); } .hour .doubt { fill: none; stroke: var(--doubt); stroke-width: 1; vector-effect: non-scaling-stroke; }
#detail { border: 2px solid var(--ink); padding: .7rem .9rem; position: sticky; top: .5rem; max-height: calc(100vh - 1rem); overflow: auto; }
#detail h2 { margin: 0 2.5rem .3rem 0; font-size: 1.2rem; } #detail h3 { margin: 1rem 0 .3rem; }
#detail .close { position: absolute; right: .6rem; top: .6rem; font: inherit; color: inherit; background: var(--paper); border: 1px solid var(--line); cursor: pointer; padding: .1rem .5rem; }
#detail figure { margin: .6rem 0; } #detail figcaption { font-size: .85rem; color: var(--quiet); }
#detail .chart { width: 100%; height: 6rem; display: block; border: 1px solid var(--line); }
.chart .rate { fill: none; stroke: var(--ink); stroke-width: 1.5; vector-effect: non-scaling-stroke; }
.chart .planned { stroke: var(--quiet); stroke-width: 1; stroke-dasharray: 4 4; vector-effect: non-scaling-stroke; }
.chart .bad { fill: var(--bad); fill-opacity: .35; }
#detail table { font-size: .85rem; } #detail td { overflow-wrap: anywhere; }
#detail td:first-child, #detail td.mark { overflow-wrap: normal; }
#events { margin: 0; padding: 0; list-style: none; }
#events li { display: grid; grid-template-columns: 5.2rem 9rem minmax(0, 1fr); gap: .8rem; padding: .15rem 0; border-bottom: 1px solid var(--line); }
#events time { font-variant-numeric: tabular-nums; }
@media (max-width: 62rem) { #floor.open { grid-template-columns: minmax(0, 1fr); } #floor.open #detail { grid-row: 1; position: relative; top: 0; max-height: none; } }
@media (max-width: 40rem) { #detail td { min-width: 9rem; overflow-wrap: normal; } #events li { grid-template-columns: 1fr; gap: 0; } body { padding: .7rem; } }
@media print { .controls, #detail .close { display: none; } }
)";

}  // namespace mastline
