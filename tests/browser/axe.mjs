// SPDX-License-Identifier: Apache-2.0
// node axe.mjs VIEW FILE...: the violations of WCAG 2.2 A and AA that axe-core finds on each page. VIEW
// is "light" (full size) or "dark" (200 % zoom: half the width). One JSON array on standard output.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { openFile, withBrowser } from "./open.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
const sizes = { light: { width: 1500, height: 1000 }, dark: { width: 750, height: 500 } };
const [colorScheme, ...files] = process.argv.slice(2);

const found = await withBrowser(async (browser) => {
  const out = [];
  for (const file of files) {
    const { page, context, faults } = await openFile(
      browser, file, { colorScheme, viewport: sizes[colorScheme], bypassCSP: true });
    await page.evaluate(axe);
    const result = await page.evaluate((tags) => window.axe.run(document, {
      runOnly: { type: "tag", values: tags }, resultTypes: ["violations"] }), tags);
    out.push({
      file, faults, passes: result.passes.length,
      violations: result.violations.map((v) => ({
        id: v.id, help: v.help, count: v.nodes.length,
        first: v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160) + " | " + n.failureSummary.slice(0, 300)) })),
    });
    await context.close();
  }
  return out;
});
console.log(JSON.stringify(found));
