// SPDX-License-Identifier: Apache-2.0
// node stills.mjs ADDRESS TOKEN COUNT SHOWN LACKING [FOLDER]: the page of a running watch of COUNT channels with
// stills: that of the channel SHOWN and the reason of LACKING, on the wall and in full, how they are served, and the
// page against WCAG 2.2, light and dark; pictures of the page go into FOLDER. JSON on standard output.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { withBrowser } from "./open.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const [address, token, count, shown, lacking, folder] = process.argv.slice(2);

async function opened(browser, colorScheme, viewport = { width: 1500, height: 1000 }) {
  const page = await (await browser.newContext({ colorScheme, viewport })).newPage();
  const faults = [];
  page.on("pageerror", (error) => faults.push(String(error)));
  page.on("console", (message) => { if (message.type() === "error") faults.push(message.text()); });
  await page.goto(address + "?token=" + token);
  await page.locator(".tile").nth(Number(count) - 1).waitFor();
  return { page, faults };
}

async function violations(page) {
  await page.evaluate(axe);
  const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
  const result = await page.evaluate((tags) => window.axe.run(document, { runOnly: { type: "tag", values: tags }, resultTypes: ["violations"] }), tags);
  return result.violations.map((v) => v.id + ": " + v.nodes[0].html.slice(0, 200) + " | " + v.nodes[0].failureSummary.slice(0, 300));
}

const tile = (page, number) => page.locator(".tile", { has: page.locator(".number", { hasText: number }) });

const seen = await withBrowser(async (browser) => {
  const out = {};
  const stranger = await (await browser.newContext()).newPage();
  out.without_token = (await stranger.goto(address + "still?index=0")).status();

  const { page, faults } = await opened(browser, "light");
  out.height_before = await tile(page, shown).evaluate((e) => e.offsetHeight);
  const image = tile(page, shown).locator(".still img");
  await image.waitFor({ timeout: 40000 });
  await page.waitForFunction((e) => e.complete && e.naturalWidth > 0, await image.elementHandle());
  out.height_after = await tile(page, shown).evaluate((e) => e.offsetHeight);
  out.alt = await image.getAttribute("alt");
  out.size = await image.evaluate((e) => [e.naturalWidth, e.naturalHeight]);
  // The mean of what is drawn, as the browser decodes it.
  out.mean = await image.evaluate((e) => {
    const canvas = document.createElement("canvas");
    canvas.width = e.naturalWidth; canvas.height = e.naturalHeight;
    const context = canvas.getContext("2d");
    context.drawImage(e, 0, 0);
    const { data } = context.getImageData(0, 0, canvas.width, canvas.height), sum = [0, 0, 0];
    for (let i = 0; i < data.length; ++i) if (i % 4 < 3) sum[i % 4] += data[i];
    return sum.map((s) => s / (data.length / 4));
  });
  const answer = await page.request.get(new URL(await image.getAttribute("src"), page.url()).href);
  out.headers = Object.fromEntries(["content-type", "x-content-type-options", "cache-control"].map((name) => [name, answer.headers()[name]]));
  await tile(page, lacking).locator(".still", { hasText: "scrambled" }).waitFor({ timeout: 40000 });
  out.lacking = await tile(page, lacking).locator(".still").textContent();
  await image.click();
  const large = page.locator("#detail .still img");
  await large.waitFor();
  out.detail = await page.textContent("#detail figcaption");
  const kept = await large.elementHandle();
  await page.waitForTimeout(1500);  // three looks
  out.kept = await kept.evaluate((e) => e.isConnected);
  out.light = await violations(page);
  if (folder) await page.screenshot({ path: folder + "/light.png" });
  // Dark, at 200 % zoom, by keys alone.
  const dark = await opened(browser, "dark", { width: 750, height: 500 });
  await tile(dark.page, shown).locator(".still img").waitFor();
  await tile(dark.page, lacking).focus();
  await dark.page.keyboard.press("Enter");
  await dark.page.waitForSelector("#detail:not([hidden]) table");
  out.dark = await violations(dark.page);
  out.sideways = await dark.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  if (folder) await dark.page.screenshot({ path: folder + "/dark.png" });
  out.faults = [...faults, ...dark.faults];
  return out;
});
console.log(JSON.stringify(seen));
