// SPDX-License-Identifier: Apache-2.0
// node opening.mjs FILE: how long the page takes from the request to the end of its load event and to
// the first answer after it, the best of three; what went wrong. JSON on standard output.
import { openFile, withBrowser } from "./open.mjs";

const seen = await withBrowser(async (browser) => {
  let best;
  for (let i = 0; i < 3; ++i) {
    const { page, context, faults } = await openFile(browser, process.argv[2]);
    const load = await page.evaluate(() => performance.getEntriesByType("navigation")[0].loadEventEnd);
    const started = Date.now();
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    const ready_ms = load + (Date.now() - started);
    if (!best || ready_ms < best.ready_ms) best = { load_ms: load, ready_ms, faults };
    await context.close();
  }
  return best;
});
console.log(JSON.stringify(seen));
