// SPDX-License-Identifier: Apache-2.0
// node live.mjs ADDRESS TOKEN COUNT CHANNEL...: the page of a running watch of COUNT channels, asked for
// with and without its token; when each CHANNEL is shown as failed (ms since the Unix epoch); then the
// page by keys alone and against WCAG 2.2. JSON on standard output.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { withBrowser } from "./open.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const [address, token, count, ...channels] = process.argv.slice(2);

async function watched(browser, options) {
  const context = await browser.newContext({ viewport: { width: 1500, height: 1000 }, ...options });
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (error) => faults.push(String(error)));
  page.on("console", (message) => { if (message.type() === "error") faults.push(message.text()); });
  page.on("request", (request) => {
    if (!request.url().startsWith(address) && !request.url().startsWith("data:")) faults.push("asked for " + request.url());
  });
  await page.goto(address + "?token=" + token);
  await page.locator(".tile").nth(Number(count) - 1).waitFor();
  return { context, page, faults };
}

async function violations(page) {
  await page.evaluate(axe);
  const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
  const result = await page.evaluate((tags) => window.axe.run(document, { runOnly: { type: "tag", values: tags }, resultTypes: ["violations"] }), tags);
  return result.violations.map((v) => v.id + ": " + v.nodes[0].html.slice(0, 200) + " | " + v.nodes[0].failureSummary.slice(0, 300));
}

const seen = await withBrowser(async (browser) => {
  const out = {};
  const stranger = await (await browser.newContext()).newPage();
  out.without_token = (await stranger.goto(address)).status();
  out.wrong_token = (await stranger.goto(address + "?token=" + "x".repeat(token.length))).status();

  const { context, page, faults } = await watched(browser, { colorScheme: "light" });
  out.address = page.url();
  out.cookies = (await context.cookies()).map((c) => [c.httpOnly, c.sameSite]);
  out.failed_at = {};
  for (const channel of channels) {
    await page.locator(".tile.failed", { has: page.locator(".number", { hasText: channel }) }).waitFor();
    out.failed_at[channel] = Date.now();
  }
  out.result = await page.textContent("#result");
  out.first_event = await page.textContent("#events li");

  // By keys alone: find, to the wall, over it, into a channel, back.
  const focused = (f) => page.evaluate(f);
  await page.keyboard.press("/");
  await page.keyboard.type("channel 1");
  out.found = await page.textContent("#shown");
  await page.keyboard.press("Control+A");
  await page.keyboard.press("Delete");
  for (let i = 0; i < 8 && !await focused(() => document.activeElement.classList.contains("tile")); ++i) await page.keyboard.press("Tab");
  await page.keyboard.press("ArrowRight");
  out.second = await focused(() => document.activeElement.querySelector(".number").textContent);
  await page.keyboard.press("Enter");
  await page.waitForSelector("#detail:not([hidden]) table");
  out.detail = await page.textContent("#detail-title");
  out.in_detail = await focused(() => document.activeElement.id);
  out.light = await violations(page);
  await page.keyboard.press("Escape");
  out.back = await focused(() => document.activeElement.querySelector(".number").textContent);
  out.faults = faults;
  await context.close();

  // Dark, at 200 % zoom.
  const dark = await watched(browser, { colorScheme: "dark", viewport: { width: 750, height: 500 } });
  await dark.page.click(".tile.failed");
  await dark.page.waitForSelector("#detail:not([hidden]) table");
  out.dark = await violations(dark.page);
  out.sideways = await dark.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  out.faults.push(...dark.faults);
  return out;
});
console.log(JSON.stringify(seen));
