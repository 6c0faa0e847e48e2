// SPDX-License-Identifier: Apache-2.0
// node desk.mjs ADDRESS FOLDER: a desk as a person uses it, with saves into the venue's files in FOLDER
// while the page is open. What was seen, as JSON.
import { readFileSync, renameSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { withBrowser } from "./open.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
const [address, folder] = process.argv.slice(2);
const roof = join(folder, "roof.toml");

// As editors save: a new file in the place of the old one.
function save(text) {
  writeFileSync(roof + "~", text);
  renameSync(roof + "~", roof);
}
const replaced = (text, from, to) => {
  if (!text.includes(from)) throw new Error(`nothing like ${from}`);
  return text.replace(from, to);
};

const seen = await withBrowser(async (browser) => {
  const out = { faults: [], elsewhere: [], violations: {}, passes: {} };
  const context = await browser.newContext({ viewport: { width: 1500, height: 1000 }, bypassCSP: false });
  const page = await context.newPage();
  page.on("pageerror", (error) => out.faults.push(String(error)));
  page.on("console", (message) => { if (message.type() === "error") out.faults.push(message.text()); });
  page.on("request", (request) => {
    if (!request.url().startsWith(address) && !request.url().startsWith("data:")) out.elsewhere.push(request.url());
  });
  // axe-core is put in over the inspector, which the page's policy does not concern. It looks at what the
  // desk adds: the sheets themselves are looked at where they are made.
  const violations = async (name, include) => {
    await page.evaluate(axe);
    const result = await page.evaluate(([tags, include]) => window.axe.run({ include },
      { runOnly: { type: "tag", values: tags }, resultTypes: ["violations"] }), [tags, include]);
    out.violations[name] = result.violations.map((v) => `${v.id}: ${v.nodes.slice(0, 2).map((n) => n.html.slice(0, 120))}`);
    out.passes[name] = result.passes.length;
  };
  // Asked from outside: the page's policy lets nobody evaluate texts inside.
  const until = async (what, argument) => {
    for (const last = Date.now() + 30000; !(await page.evaluate(what, argument));) {
      if (Date.now() > last) throw new Error(`in vain: ${what}`);
      await new Promise((done) => setTimeout(done, 20));
    }
  };

  const opened = Date.now();
  await page.goto(address, { waitUntil: "load" });
  out.open_ms = Date.now() - opened;
  await until(() => document.getElementById("desk-news").textContent.includes("watching"));

  // A reader's place: a filter, a sorted column, a row of a long table at the top.
  await page.fill("input[aria-label^='Filter Wiring list']", "splitter");
  await page.click("#wiring-list thead th:nth-child(1) button");
  const reading = await page.evaluate(() => {
    const row = [...document.querySelectorAll("#wiring-list tbody tr")].filter((r) => !r.hidden)[4];
    row.scrollIntoView();
    return row.cells[0].textContent;
  });
  const top = () => page.evaluate((reading) => {
    const rows = [...document.querySelectorAll("#wiring-list tbody tr")];
    return Math.round(rows.find((r) => r.cells[0].textContent === reading).getBoundingClientRect().top);
  }, reading);
  const was = await top();

  // Whose focus, and which sheets are still the elements that were marked.
  const focused = () => page.evaluate(() => [document.activeElement.closest("table").id, document.activeElement.closest("th").cellIndex]);
  await page.evaluate(() => document.querySelectorAll(".sheet").forEach((sheet) => { sheet.wasThere = true; }));
  const focus = await focused();

  // A save: a longer cable.
  const first = readFileSync(roof, "utf8");
  let started = Date.now();
  save(replaced(first, 'name = "R6"\nfrom = "tap-trunk.out"\nto = "splitter.in"\ncable = "rg6"\nlength = "2 m"',
    'name = "R6"\nfrom = "tap-trunk.out"\nto = "splitter.in"\ncable = "rg6"\nlength = "7 m"'));
  await until(() => [...document.querySelectorAll("#wiring-list tbody tr")].some((r) => r.cells[0].textContent === "R6/1" && r.cells[11].textContent.startsWith("7.0")));
  out.save_ms = Date.now() - started;
  out.moved = [was, await top()];
  out.focus = [focus, await focused()];
  out.replaced = await page.evaluate(() => Object.fromEntries([...document.querySelectorAll(".sheet")].map((s) => [s.id, !s.wasThere])));
  out.kept = await page.evaluate(() => [document.querySelector("input[aria-label^='Filter Wiring list']").value,
    document.querySelector("#wiring-list th:nth-child(1)").getAttribute("aria-sort")]);
  out.marked = await page.evaluate(() => [...document.querySelectorAll("#wiring-list tbody tr")].find((r) => r.cells[0].textContent === "R6/1")
    .cells[11].querySelector(".was").textContent);
  await page.click("#unmark");
  out.unmarked = await page.evaluate(() => document.querySelectorAll(".marked, .was").length);

  // A broken save and its cure.
  const second = readFileSync(roof, "utf8");
  save(replaced(second, 'from = "inserter.out"', 'from = "insorter.out"'));
  await until(() => !document.getElementById("faults").hidden);
  out.fault = await page.textContent("#faults li");
  await page.fill("input[aria-label^='Filter Wiring list']", "");
  await until(() => document.querySelectorAll(".flag").length === 2);
  await page.fill("input[aria-label^='Filter Wiring list']", "splitter");
  await until(() => document.querySelectorAll(".flag").length === 1);
  await page.click("#faults button");
  await until(() => document.querySelectorAll(".flag").length === 2);
  out.flag = await page.evaluate(() => [...document.querySelectorAll(".flag")].map((f) => f.textContent));
  out.faulty = await page.evaluate(() => [...document.querySelectorAll(".faulty")].map((e) => e.cells ? e.cells[0].textContent : e.tagName));
  out.sheets_with_fault = await page.evaluate(() => document.querySelectorAll(".sheet").length);
  out.fault_in_view = await page.evaluate(() => {
    const box = document.querySelector("tr.faulty").getBoundingClientRect();
    return box.top >= document.getElementById("faults").getBoundingClientRect().bottom && box.bottom <= innerHeight;
  });
  await violations("fault", [".desk", "#faults"]);
  save(second);
  await until(() => document.getElementById("faults").hidden);
  out.flags_after = await page.evaluate(() => document.querySelectorAll(".flag, .faulty").length);

  // Twenty saves, most before the one before is planned: the last text is what is shown, and stays.
  const lengthIs = (metres) => parseFloat([...document.querySelectorAll("#wiring-list tbody tr")]
    .find((r) => r.cells[0].textContent === "R6/1").cells[11].firstChild.textContent) === metres;
  await page.evaluate((reading) => [...document.querySelectorAll("#wiring-list tbody tr")]
    .find((r) => r.cells[0].textContent === reading).scrollIntoView(), reading);
  const before = await top();
  for (let metres = 10; metres < 30; ++metres) {
    save(replaced(second, 'length = "7 m"', `length = "${metres}.5 m"`));
    await new Promise((done) => setTimeout(done, 30));
  }
  await until(lengthIs, 29.5);
  await new Promise((done) => setTimeout(done, 1000));
  out.after_flood = { last_shown: await page.evaluate(lengthIs, 29.5), moved: await top() - before };
  save(second);
  await until(lengthIs, 7);
  await page.click("#unmark");

  // The slip: a trim is turned, a link taken out.
  await page.click("#slip-open");
  const lane1 = () => page.evaluate(() => {
    const row = [...document.querySelectorAll("#settings-list tbody tr")].find((r) => r.cells[0].textContent === "amplifier" && r.cells[5].textContent === "1");
    return [row.cells[6].firstChild.textContent, row.cells[6].querySelector(".was")?.textContent];
  });
  const [found] = await lane1();
  await page.fill('input[aria-label="amplifier, trim, lane 1"]', "-1");
  await until(() => document.documentElement.classList.contains("trial"));
  out.trial = await lane1();
  out.found = found;
  out.levels_told = await page.evaluate(() => document.querySelector("#slip-tables").textContent.includes("ms-1.in, south-dish/1"));
  await page.click("#slip summary >> text=Remove a link");
  await page.click("#slip-link button");
  await until(() => document.querySelectorAll("#slip-edits li").length === 2 && document.getElementById("slip-tables").textContent.includes("gone"));
  await violations("trial", [".desk", "#slip", "#settings-list .marked"]);
  await page.emulateMedia({ colorScheme: "dark" });
  await page.setViewportSize({ width: 750, height: 500 });
  await violations("dark at 200 %", [".desk", "#slip", "#settings-list .marked"]);
  await page.emulateMedia({ colorScheme: "light" });
  await page.setViewportSize({ width: 1500, height: 1000 });
  out.untouched = readFileSync(roof, "utf8") === second;
  await page.click("#slip-edits li:nth-child(2) button");
  await until(() => document.querySelectorAll("#slip-edits li").length === 1);

  // Someone else saves before the slip is written: refused, then tried anew on what is there.
  await until(() => !document.getElementById("slip-write").disabled);
  const routed = new Promise((done) => page.route("**/write", async (route) => {
    save(second + "# a remark of someone else\n");
    await page.unroute("**/write");
    await route.continue();
    done();
  }));
  await page.click("#slip-write");
  await routed;
  await until(() => document.getElementById("slip-said").textContent !== "");
  await until(() => document.getElementById("desk-news").textContent.includes("planned anew"));
  await until(() => document.documentElement.classList.contains("trial") && !document.getElementById("slip-write").disabled);
  out.refused = await page.textContent("#slip-said");  // still to be read when all is tried anew
  await page.click("#slip-write");
  await until(() => document.getElementById("slip-said").textContent.startsWith("written"));
  out.written = await page.textContent("#slip-said");
  await until(() => !document.documentElement.classList.contains("trial"));
  out.slip_after = await page.evaluate(() => document.querySelectorAll("#slip-edits li").length);
  await context.close();
  return out;
});
console.log(JSON.stringify(seen));
