// SPDX-License-Identifier: Apache-2.0
// node slip.mjs ADDRESS FOLDER: each kind of change on the trial slip by itself, what of a reader's place a save of
// someone else leaves, then all changes written into the files in FOLDER. What was seen, as JSON.
import { readFileSync, readdirSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { withBrowser } from "./open.mjs";

const [address, folder] = process.argv.slice(2);
const texts = () => Object.fromEntries(readdirSync(folder).filter((name) => /\.(toml|csv)$/.test(name)).map((name) => [name, readFileSync(join(folder, name), "utf8")]));
const lines = (text) => text.split("\n");

// Lines that went and came between two texts whose common lines keep their order (longest common subsequence).
function lineChanges(was, now) {
  const a = lines(was), b = lines(now), best = Array.from({ length: a.length + 1 }, () => new Uint16Array(b.length + 1));
  for (let i = a.length - 1; i >= 0; --i)
    for (let j = b.length - 1; j >= 0; --j) best[i][j] = a[i] === b[j] ? best[i + 1][j + 1] + 1 : Math.max(best[i + 1][j], best[i][j + 1]);
  const out = { gone: [], come: [] };
  for (let i = 0, j = 0; i < a.length || j < b.length;) {
    if (i < a.length && j < b.length && a[i] === b[j]) ++i, ++j;
    else if (j === b.length || (i < a.length && best[i + 1][j] >= best[i][j + 1])) out.gone.push(a[i++]);
    else out.come.push(b[j++]);
  }
  return out;
}

const seen = await withBrowser(async (browser) => {
  const out = { faults: [], tried: {} };
  const page = await (await browser.newContext({ viewport: { width: 1500, height: 1000 } })).newPage();
  page.on("pageerror", (error) => out.faults.push(String(error)));
  page.on("console", (message) => { if (message.type() === "error") out.faults.push(message.text()); });
  const until = async (what, argument) => {
    for (const last = Date.now() + 30000; !(await page.evaluate(what, argument));) {
      if (Date.now() > last) throw new Error(`in vain: ${what}`);
      await new Promise((done) => setTimeout(done, 20));
    }
  };
  const settled = (edits) => until((edits) => document.querySelectorAll("#slip-edits li").length === edits &&
    document.documentElement.classList.contains("trial") === edits > 0 && document.getElementById("slip-write").disabled === (edits === 0), edits);

  await page.goto(address, { waitUntil: "load" });
  await until(() => document.getElementById("desk-news").textContent.includes("watching"));
  await page.click("#slip-open");
  for (const summary of ["Add a card", "Remove a link"]) await page.click(`#slip summary >> text=${summary}`);

  const put = {
    trim: () => page.fill('input[aria-label="amplifier, trim, lane 1"]', "-1"),
    slope: () => page.fill('input[aria-label="amplifier, slope"]', "1"),
    pads: () => page.selectOption('select[aria-label="pads, pads, lane 2"]', { label: "6 dB" }),
    loss: () => page.fill('input[aria-label="pad-air, loss"]', "4"),
    card: async () => {
      await page.selectOption("#card-model", "tuner-16");
      await page.selectOption("#card-chassis", "B");
      await page.selectOption("#card-like", "B2");
      await page.click("#slip-card button");
    },
    link: async () => {
      await page.selectOption("#link-name", "core");
      await page.click("#slip-link button");
    },
  };
  // A trial that takes long tells how long it still will.
  const slow = (route) => setTimeout(() => route.continue(), 2500);
  await page.route("**/try", slow);
  await put.trim();
  await until(() => !document.getElementById("desk-wait").hidden);
  out.waited = await page.textContent("#desk-wait span");
  await settled(1);
  await page.unroute("**/try", slow);
  await page.click("#slip-edits li button");
  await settled(0);
  out.waits_after = await page.evaluate(() => !document.getElementById("desk-wait").hidden);

  const before = texts();
  for (const [kind, act] of Object.entries(put)) {
    await act();
    await settled(1);
    out.tried[kind] = await page.evaluate(() => ({
      edit: document.querySelector("#slip-edits li").firstChild.textContent,
      told: [...document.querySelectorAll("#slip-tables caption")].map((c) => c.textContent),
      outcome: document.getElementById("slip-outcome").textContent,
      marked: [...new Set([...document.querySelectorAll(".sheet .marked")].map((e) => e.closest("table[id], svg[id]")?.id))],
    }));
    await page.click("#slip-edits li button");
    await settled(0);
    out.tried[kind].left = await page.evaluate(() => document.querySelectorAll(".sheet .marked, .sheet .was").length);
  }
  out.untouched = JSON.stringify(before) === JSON.stringify(texts());

  // A save of someone else while a reader is somewhere: at a field of the slip, at a link of a row, in a table that is
  // scrolled sideways, at a drawing's link, at a sheet's button.
  const roof = join(folder, "roof.toml");
  let metres = 2;
  async function saved() {
    const text = readFileSync(roof, "utf8"), r6 = /(name = "R6"\n(?:.*\n){3}length = ")[0-9.]+ m"/;
    if (!r6.test(text)) throw new Error("no R6");
    metres += 1;
    writeFileSync(roof + "~", text.replace(r6, `$1${metres} m"`));
    renameSync(roof + "~", roof);
    await until((metres) => document.getElementById("desk-news").textContent.includes("planned anew") &&
      [...document.querySelectorAll("#wiring-list tbody tr")].some((r) => r.cells[0].textContent === "R6/1" && parseFloat(r.cells[11].firstChild.textContent) === metres), metres);
    await until(() => document.getElementById("slip-edits").children.length === 0 || document.documentElement.classList.contains("trial"));
  }
  const focused = () => page.evaluate(() => {
    const e = document.activeElement, row = e.closest("tr");
    return [e.tagName, e.getAttribute("aria-label") || e.textContent.trim(), row && row.cells[0].firstChild.textContent, (e.closest("[id]") || e).id];
  });
  out.kept = {};
  const stay = async (name, focus) => {
    await focus();
    const was = await focused();
    await saved();
    out.kept[name] = [was, await focused()];
  };
  await stay("field", () => page.focus('input[aria-label="amplifier, trim, lane 2"]'));
  await page.fill("#card-name", "spare");
  await stay("card", () => page.focus("#card-name"));
  out.card_name = await page.inputValue("#card-name");
  out.open = await page.evaluate(() => [...document.querySelectorAll("#slip details")].map((d) => d.open));
  await page.click("#wiring-list thead th:nth-child(12) button");
  await stay("link of a row", () => page.focus('#wiring-list tbody tr:nth-child(7) a'));
  out.sorted = await page.getAttribute("#wiring-list thead th:nth-child(12)", "aria-sort");
  await stay("link of a drawing", () => page.focus("#signal svg a"));
  await stay("button of a sheet", () => page.focus("#wiring .head button"));
  await stay("region", () => page.focus("#wiring .scroll"));
  await page.setViewportSize({ width: 800, height: 700 });
  const boxes = ["#wiring .scroll:has(#wiring-list)", "#signal .scroll.drawing"];
  const scrolls = () => page.evaluate((boxes) => boxes.map((box) => Math.round(document.querySelector(box).scrollLeft)), boxes);
  await page.evaluate((boxes) => boxes.forEach((box) => { document.querySelector(box).scrollLeft = 120; }), boxes);
  const left = await scrolls();
  await saved();
  out.scrolled = [left, await scrolls()];
  await page.setViewportSize({ width: 1500, height: 1000 });
  await page.focus("#search");
  await page.fill("#search", "splitter");
  for (let i = 0; i < 3; ++i) await page.keyboard.press("Enter");
  const third = await page.textContent("#found");
  await saved();
  await page.keyboard.press("Enter");
  out.searched = [third, await page.textContent("#found")];
  await page.fill("#card-name", "new-1");

  // All of them, written.
  const unwritten = texts();
  let count = 0;
  for (const act of Object.values(put)) {
    await act();
    await settled(++count);
  }
  await page.click("#slip-write");
  await until(() => document.getElementById("slip-said").textContent !== "");
  out.written = await page.textContent("#slip-said");
  await settled(0);
  out.next_name = await page.inputValue("#card-name");
  const after = texts();
  out.changes = Object.fromEntries(Object.keys(after).filter((name) => after[name] !== unwritten[name]).map((name) => [name, lineChanges(unwritten[name], after[name])]));
  return out;
});
console.log(JSON.stringify(seen));
