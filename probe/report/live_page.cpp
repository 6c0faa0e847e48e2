// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/live_page.hpp"

#include "mastline/text/escape.hpp"
#include "probe/report/live_page_script.hpp"
#include "probe/report/live_page_style.hpp"
#include "probe/report/page_style.hpp"

namespace mastline {

std::string live_page(const std::string& venue) {
    return "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">"
           "<meta name=\"color-scheme\" content=\"light dark\"><title>Watch of " + escape_markup(venue) +
           "</title>\n<link rel=\"icon\" href=\"data:,\"><link rel=\"stylesheet\" href=\"watch.css\">"
           "<script src=\"watch.js\" defer></script></head>\n<body>\n"
           R"(<header><div><h1>Watch of the lineup</h1><p id="venue"></p></div>
<div class="box"><dl><dt>plan</dt><dd id="revision"></dd><dt>listening on</dt><dd id="where"></dd>
<dt>watching for</dt><dd id="length"></dd><dt>last look</dt><dd id="clock"></dd></dl></div></header>
<noscript><p class="result failed">This page needs scripts. Without them: the addresses state and metrics.</p></noscript>
<p id="stale" class="result failed" role="alert" hidden></p>
<p id="result" class="result doubt" role="status">Waiting for the first look …</p>
<ul id="causes" aria-label="What would explain the failures" hidden></ul>
<main>
<div class="controls">
<label>Find <input id="filter" type="search" autocomplete="off" placeholder="number, name or group" aria-keyshortcuts="/"></label>
<fieldset><legend>Show</legend><label><input type="radio" name="show" value="all" checked> all</label>
<label><input type="radio" name="show" value="wrong"> not right</label></fieldset>
<fieldset><legend>Order</legend><label><input type="radio" name="order" value="lineup" checked> lineup</label>
<label><input type="radio" name="order" value="worst"> worst first</label></fieldset>
<p id="shown" class="quiet" role="status"></p></div>
<div id="floor">
<ul id="wall" aria-label="Channels; arrow keys move, Enter opens"></ul>
<section id="detail" aria-labelledby="detail-title" tabindex="-1" hidden></section></div>
<h2>What happened</h2>
<ol id="events" reversed></ol>
<p id="nothing" class="quiet">Nothing so far.</p>
<h2>The network</h2>
<ul id="network"></ul>
</main>
</body></html>
)";
}

std::string live_page_style() { return std::string(kPageStyle) + std::string(kLivePageStyle); }
std::string_view live_page_script() { return kLivePageScript; }

}  // namespace mastline
