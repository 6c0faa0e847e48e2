// SPDX-License-Identifier: Apache-2.0
// The script of the page of a running watch. All that comes from outside goes through textContent.
#pragma once

#include <string_view>

namespace mastline {

inline constexpr std::string_view kLivePageScript = R"JS("use strict";
const marks = { failed: "✗ failed", unsure: "? unsure", right: "✓ right" };
const ranks = { failed: 0, unsure: 1, right: 2 };
const by = (id) => document.getElementById(id);
let state = null, tiles = [], open = -1, lastWord = Date.now();

const make = (tag, name, text) => {
  const e = document.createElement(tag);
  if (name) e.className = name;
  if (text !== undefined) e.textContent = text;
  return e;
};
const draw = (tag, attributes) => {
  const e = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
  return e;
};
const put = (e, text) => { if (e.textContent !== text) e.textContent = text; };
const two = (n) => String(n).padStart(2, "0");
const clock = (ms) => { const d = new Date(ms); return two(d.getHours()) + ":" + two(d.getMinutes()) + ":" + two(d.getSeconds()); };
const length = (ms) => {
  const s = Math.max(0, Math.floor(ms / 1000)), m = Math.floor(s / 60), h = Math.floor(m / 60);
  if (s < 60) return s + " s";
  if (m < 60) return m + " min";
  return h < 24 ? h + " h " + two(m % 60) + " min" : Math.floor(h / 24) + " d " + (h % 24) + " h";
};
const rate = (bps) => bps === null ? "–" : (bps / 1e6).toFixed(2) + " Mbit/s";

// The hour as a strip: a line where something is known, a bar as high as the share of failing, a hollow
// box where it was unsure.
function hourStrip(hour) {
  const svg = draw("svg", { class: "hour", viewBox: "0 0 " + hour.length + " 10", preserveAspectRatio: "none", "aria-hidden": "true" });
  let known = "", bad = "", doubt = "";
  [...hour].forEach((c, x) => {
    if (c === " ") return;
    known += "M" + x + " 9.5h1";
    if (c === "u") doubt += "M" + (x + .1) + " 5h.8v4h-.8z";
    else if (c !== "0") { const h = 1.5 + 8 * Number(c) / 9; bad += "M" + x + " " + (9.5 - h) + "h1v" + h + "h-1z"; }
  });
  for (const [name, d] of [["known", known], ["doubt", doubt], ["bad", bad]]) if (d) svg.append(draw("path", { class: name, d }));
  return svg;
}

// The picture of a channel, or why there is none; where they were asked for.
const stillText = (c) => "Still of channel " + c.channel + (c.still.at_ms === null ? "" : " at " + clock(c.still.at_ms));
function stillBox(c, index) {
  const box = make("span", "still");
  if (c.still.none !== undefined) { box.append(make("span", "", "no still: " + c.still.none)); return box; }
  const image = make("img");
  image.alt = stillText(c); image.src = "still?index=" + index + "&at=" + c.still.at_ms;
  box.append(image);
  return box;
}

function newTile(index) {
  const item = make("li"), button = make("button", "tile");
  button.type = "button";
  button.setAttribute("aria-expanded", "false");
  button.setAttribute("aria-controls", "detail");
  const parts = {};
  for (const name of ["number", "mark", "name", "why", "rate", "since"]) button.append(parts[name] = make("span", name));
  button.addEventListener("click", () => index === open ? shut(true) : show(index));
  item.append(button);
  return { item, button, parts, hour: null, strip: null, still: null, box: null };
}

function fillTile(i) {
  const c = state.channels[i], t = tiles[i];
  t.button.classList.remove("failed", "unsure", "right");
  t.button.classList.add(c.outcome);
  put(t.parts.number, c.channel);
  put(t.parts.mark, marks[c.outcome]);
  put(t.parts.name, c.name);
  put(t.parts.why, c.why);
  put(t.parts.rate, rate(c.rate_bps));
  put(t.parts.since, "for " + length(state.now_ms - c.since_ms));
  t.button.title = c.name + ", " + c.group + (c.why ? ": " + c.why : "");
  if (c.still && t.still !== JSON.stringify(c.still)) {
    t.still = JSON.stringify(c.still);
    const box = stillBox(c, i);
    if (t.box) t.box.replaceWith(box); else t.parts.name.after(box);
    t.box = box;
  }
  if (t.hour === c.hour) return;
  t.hour = c.hour;
  const strip = hourStrip(c.hour);
  if (t.strip) t.strip.replaceWith(strip); else t.button.append(strip);
  t.strip = strip;
}

function arrange() {
  const wanted = by("filter").value.trim().toLowerCase();
  const all = document.querySelector("[name=show]:checked").value === "all";
  const worst = document.querySelector("[name=order]:checked").value === "worst";
  const order = state.channels.map((c, i) => i);
  if (worst) order.sort((a, b) => {
    const x = state.channels[a], y = state.channels[b];
    return ranks[x.outcome] - ranks[y.outcome] || (x.outcome === "right" ? 0 : y.since_ms - x.since_ms) || a - b;
  });
  const visible = order.filter((i) => {
    const c = state.channels[i];
    return (all || c.outcome !== "right") && (!wanted || (c.channel + " " + c.name + " " + c.group).toLowerCase().includes(wanted));
  });
  const wall = by("wall"), items = visible.map((i) => tiles[i].item);
  if (items.length !== wall.children.length || items.some((item, n) => wall.children[n] !== item)) {
    const focused = document.activeElement;
    wall.replaceChildren(...items);
    if (focused && focused !== document.activeElement && wall.contains(focused)) focused.focus({ preventScroll: true });
  }
  // One stop of the Tab key for the whole wall.
  const stop = items.find((item) => item.firstChild.tabIndex === 0 && item.contains(document.activeElement)) || items[0];
  for (const t of tiles) t.button.tabIndex = stop === t.item ? 0 : -1;
  put(by("shown"), visible.length === state.channels.length ? visible.length + " channels" : visible.length + " of " + state.channels.length + " channels shown");
}

function summary() {
  const n = { failed: 0, unsure: 0, right: 0 };
  for (const c of state.channels) ++n[c.outcome];
  const parts = [n.right + " of " + state.channels.length + " channels are right"];
  if (n.failed) parts.push(n.failed + " failed");
  if (n.unsure) parts.push(n.unsure + " unsure");
  put(by("result"), (n.failed ? "✗ " : n.unsure ? "? " : "✓ ") + parts.join(", "));
  by("result").className = "result " + (n.failed ? "failed" : n.unsure ? "doubt" : "right");
  document.title = (n.failed ? n.failed + " failed, " : "") + "watch of " + state.venue;
  put(by("clock"), clock(state.now_ms));
  put(by("length"), length(state.now_ms - state.start_ms));
}

function eventLine(e) {
  const item = make("li"), time = make("time", "", clock(e.at_ms));
  time.dateTime = new Date(e.at_ms).toISOString();
  const good = e.kind === "right again", word = make("span", good ? "right" : "failed");
  word.append(make("span", "mark", (good ? "✓ " : "✗ ") + e.kind));
  item.append(time, word, make("span", "", e.who + (e.text ? ": " + e.text : "") + (e.checks.length ? " (" + e.checks.join(", ") + ")" : "")));
  return item;
}

function fillLists() {
  put(by("venue"), state.venue); put(by("revision"), state.revision); put(by("where"), state.where);
  by("causes").hidden = state.causes.length === 0;
  by("causes").replaceChildren(...state.causes.slice(0, 1).map((text) => make("li", "", text)));
  by("events").replaceChildren(...state.events.map(eventLine));
  by("nothing").hidden = state.events.length > 0;
  const network = [state.querier, ...state.network].map((c) =>
    make("li", "", c.check + ", " + c.outcome + [c.found, c.evidence].filter(Boolean).map((x) => ": " + x).join("")));
  if (state.own_drops) network.push(make("li", "", "This machine dropped " + state.own_drops + " datagrams itself; they are held against nobody."));
  by("network").replaceChildren(...network);
}

function whole(next) {
  const same = state && state.channels.length === next.channels.length;
  state = next;
  if (!same) { tiles = state.channels.map((c, i) => newTile(i)); by("wall").replaceChildren(); }
  tiles.forEach((t, i) => fillTile(i));
  summary(); fillLists(); arrange();
  if (open >= 0) refresh();
}

function tick(next) {
  if (!state || next.channels.length !== state.channels.length) return;
  state.now_ms = next.now_ms;
  next.channels.forEach(([outcome, bps], i) => {
    const c = state.channels[i];
    if (c.outcome !== outcome) { c.outcome = outcome; c.since_ms = next.now_ms; }
    c.rate_bps = bps;
    fillTile(i);
  });
  summary();
  if (open >= 0) refresh();
}

// One channel in full.
function chart(c) {
  const most = Math.max(c.planned_bps, ...c.minutes.map((m) => m && m[1] !== null ? m[1] : 0)) * 1.1 || 1;
  const y = (bps) => (100 - 100 * bps / most).toFixed(2);
  const svg = draw("svg", { class: "chart", viewBox: "0 0 60 100", preserveAspectRatio: "none", role: "img",
                            "aria-label": "Rate over the last hour, minute by minute; shaded where the channel failed" });
  let line = "", bad = "", pen = "M";
  c.minutes.forEach((m, x) => {
    if (!m || m[1] === null) { pen = "M"; } else { line += pen + x + " " + y(m[1]) + "H" + (x + 1); pen = "L"; }
    if (m && m[0] > 0) { const h = Math.max(8, 100 * m[0]); bad += "M" + x + " " + (100 - h) + "h1v" + h + "h-1z"; }
  });
  if (bad) svg.append(draw("path", { class: "bad", d: bad }));
  svg.append(draw("line", { class: "planned", x1: 0, x2: 60, y1: y(c.planned_bps), y2: y(c.planned_bps) }));
  if (line) svg.append(draw("path", { class: "rate", d: line }));
  const figure = make("figure");
  figure.append(svg, make("figcaption", "", "Rate over the last hour, 0 to " + (most / 1e6).toFixed(1) + " Mbit/s; dashed: planned; shaded: failed"));
  return figure;
}

function facts(c) {
  const list = make("dl"), add = (name, text) => list.append(make("dt", "", name), make("dd", "", text));
  add("address", c.group);
  add("since", clock(c.since_ms) + ", for " + length(c.now_ms - c.since_ms));
  add("rate", rate(c.rate_bps) + ", planned " + rate(c.planned_bps));
  add("failed", c.failures === 0 ? "never since the start" : c.failures + (c.failures === 1 ? " time" : " times") + ", " + length(c.failed_for_ms) + " altogether");
  add("datagrams", c.received_datagrams + " received, " + c.lost_datagrams + " lost; " + c.continuity_errors + " continuity errors");
  if (c.parts.length) add("rests on", c.parts.join(", "));
  return list;
}

// The one that is shown stays while it is the same: nothing is loaded anew with each look.
let shownStill = { key: "", figure: null };
function stillFigure(c) {
  const key = open + JSON.stringify(c.still);
  if (shownStill.key === key) return shownStill.figure;
  const figure = make("figure");
  figure.append(stillBox(c, open));
  if (c.still.none === undefined) figure.append(make("figcaption", "", stillText(c) + "; a new one about every half minute"));
  shownStill = { key, figure };
  return figure;
}

function checkTable(c) {
  const box = make("div", "wide"), table = make("table"), head = make("tr"), body = make("tbody");
  box.tabIndex = 0; box.setAttribute("role", "region"); box.setAttribute("aria-label", "Checks");
  for (const name of ["Check", "Outcome", "Found", "Expected"]) { const th = make("th", "", name); th.scope = "col"; head.append(th); }
  for (const check of c.checks) {
    const row = make("tr", check.outcome === "failed" ? "failed" : check.outcome === "not judged" ? "doubt" : "right");
    const name = make("td", "", check.check); name.title = check.rule;
    row.append(name, make("td", "mark", check.outcome), make("td", "", [check.found, check.evidence].filter(Boolean).join("; ")), make("td", "", check.expected));
    body.append(row);
  }
  const thead = make("thead"); thead.append(head); table.append(thead, body); box.append(table);
  return box;
}

function fillDetail(c) {
  const detail = by("detail"), top = detail.scrollTop, inside = detail.contains(document.activeElement) && document.activeElement !== detail;
  const closing = make("button", "close", "Close"), title = make("h2", "", c.channel + " " + c.name), word = make("p", c.outcome);
  const failed = c.checks.find((check) => check.outcome === "failed");
  closing.type = "button"; closing.addEventListener("click", () => shut(true));
  title.id = "detail-title";
  word.append(make("span", "mark", marks[c.outcome]), " " + c.why);
  detail.replaceChildren(closing, title, word);
  if (failed && failed.rule) detail.append(make("p", "quiet", failed.rule));
  if (c.still) detail.append(stillFigure(c));
  detail.append(facts(c), chart(c), make("h3", "", "Checks"), make("p", "quiet", "Times count from " + clock(c.counts_from_ms) + "."), checkTable(c));
  if (c.events.length) {
    const list = make("ol"); list.id = "channel-events";
    list.append(...c.events.map((e) => make("li", "", clock(e.at_ms) + " " + e.kind + (e.text ? ", " + e.text : ""))));
    detail.append(make("h3", "", "What happened to it"), list);
  }
  detail.scrollTop = top;
  if (inside) closing.focus({ preventScroll: true });
}

let asking = false;
async function refresh() {
  if (asking) return;
  asking = true;
  const index = open;
  try {
    const answer = await fetch("channel?index=" + index);
    if (answer.ok && open === index) fillDetail(await answer.json());
  } catch { /* the line above the wall tells that the watch is not heard */ }
  asking = false;
  if (open >= 0 && open !== index) refresh();
}
async function show(index) {
  if (open >= 0) tiles[open].button.setAttribute("aria-expanded", "false");
  open = index;
  tiles[index].button.setAttribute("aria-expanded", "true");
  await refresh();
  if (open !== index) return;
  by("detail").hidden = false;
  by("floor").classList.add("open");
  by("detail").focus({ preventScroll: innerWidth > 1000 });
}
function shut(back) {
  if (open < 0) return;
  const tile = tiles[open].button;
  tile.setAttribute("aria-expanded", "false");
  open = -1;
  by("detail").hidden = true;
  by("floor").classList.remove("open");
  if (back) tile.focus();
}

// Arrow keys go over the wall by what stands where.
function neighbour(button, key) {
  const all = [...by("wall").querySelectorAll(".tile")], at = all.indexOf(button);
  if (key === "ArrowLeft") return all[at - 1];
  if (key === "ArrowRight") return all[at + 1];
  if (key === "Home") return all[0];
  if (key === "End") return all[all.length - 1];
  const top = all[0].offsetTop, columns = Math.max(1, all.filter((b) => b.offsetTop === top).length);
  if (key === "ArrowUp") return all[at - columns];
  return key === "ArrowDown" ? all[at + columns] : undefined;
}
by("wall").addEventListener("keydown", (e) => {
  const next = neighbour(e.target, e.key);
  if (!next) return;
  e.preventDefault();
  e.target.tabIndex = -1; next.tabIndex = 0; next.focus();
});
addEventListener("keydown", (e) => {
  if (e.key === "Escape" && e.target !== by("filter")) shut(true);
  if (e.key !== "/" || e.ctrlKey || e.altKey || e.metaKey || e.target.type === "search") return;
  e.preventDefault(); by("filter").focus(); by("filter").select();
});
for (const e of document.querySelectorAll(".controls input")) e.addEventListener("input", () => state && arrange());

const source = new EventSource("events");
const heard = () => { lastWord = Date.now(); by("stale").hidden = true; };
source.addEventListener("state", (e) => { heard(); whole(JSON.parse(e.data)); });
source.addEventListener("tick", (e) => { heard(); tick(JSON.parse(e.data)); });
source.addEventListener("error", () => { if (source.readyState === EventSource.CLOSED) setTimeout(() => location.reload(), 5000); });
setInterval(() => {
  if (Date.now() - lastWord < 5000) return;
  by("stale").hidden = false;
  put(by("stale"), "✗ Nothing heard from the watch since " + clock(lastWord) + ": what stands below is old.");
}, 1000);
)JS";

}  // namespace mastline
