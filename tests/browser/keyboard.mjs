// SPDX-License-Identifier: Apache-2.0
// node keyboard.mjs FILE: walks the document set by keys alone and tells what it saw, as JSON.
import { openFile, withBrowser } from "./open.mjs";

const seen = await withBrowser(async (browser) => {
  const { page, faults } = await openFile(browser, process.argv[2]);
  const out = { faults };
  const press = (key) => page.keyboard.press(key);
  const focused = (f) => page.evaluate(f);

  await press("Tab");
  out.first_stop = await focused(() => document.activeElement.textContent);
  await press("Enter");
  out.skipped_to = await focused(() => location.hash);

  await press("/");
  await page.keyboard.type("ms-3");
  await press("Enter");
  out.search = await focused(() => [document.activeElement.id, document.getElementById("found").textContent]);
  await press("Enter");
  out.search_again = await focused(() => document.getElementById("found").textContent);
  await press("Escape");
  out.search_cleared = await focused(() => document.getElementById("search").value + document.querySelectorAll(".hit").length);

  // From the region of a table by Tab to its first column's button, then sort.
  await page.focus("#wiring-list thead button");
  await press("Enter");
  out.sorted = await focused(() => document.querySelector("#wiring-list th").getAttribute("aria-sort"));
  await press("Space");
  out.sorted_back = await focused(() => document.querySelector("#wiring-list th").getAttribute("aria-sort"));
  await press("Tab");
  out.next_stop = await focused(() => document.activeElement.closest("th") !== null);
  out.ring = await focused(() => getComputedStyle(document.activeElement).outlineStyle);

  // A filter, by keys.
  await page.focus("input[aria-label^='Filter Channel map']");
  await page.keyboard.type("sports");
  out.filter = await focused(() => document.activeElement.closest(".filter").querySelector("[role=status]").textContent);
  await press("Escape");

  // From a row to the picture and back.
  await page.focus("#equipment-list tbody tr:last-child a");
  await press("Enter");
  const inView = () => page.evaluate(() => {
    const target = document.querySelector(":target").getBoundingClientRect();
    const bar = document.querySelector(".bar").getBoundingClientRect();
    return target.bottom > bar.bottom && target.top < innerHeight;
  });
  out.to_picture = await focused(() => document.querySelector(":target").tagName + " " + location.hash.slice(0, 6));
  out.picture_in_view = await inView();
  await page.focus(":target a");
  await press("Enter");
  out.to_row = await focused(() => document.querySelector(":target").tagName);
  out.row_in_view = await inView();

  // Nothing that takes the focus hides behind the bar.
  let hidden = 0;
  for (let i = 0; i < 60; ++i) {
    await press("Tab");
    hidden += await page.evaluate(() => {
      const e = document.activeElement, box = e.getBoundingClientRect();
      const bar = document.querySelector(".bar");
      return !bar.contains(e) && box.height > 0 && box.bottom <= bar.getBoundingClientRect().bottom ? 1 : 0;
    });
  }
  out.hidden_stops = hidden;
  // One sheet alone on paper, then all of them again.
  await page.emulateMedia({ media: "print" });
  await page.evaluate(() => {
    const shown = () => [...document.querySelectorAll(".sheet")].filter((s) => getComputedStyle(s).display !== "none").length;
    window.print = () => { window.printed = shown(); dispatchEvent(new Event("afterprint")); window.afterwards = shown(); };
    document.querySelector("#channels .head button").click();
  });
  out.printed = await page.evaluate(() => [window.printed, window.afterwards]);
  return out;
});
console.log(JSON.stringify(seen));
