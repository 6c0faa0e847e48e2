// SPDX-License-Identifier: Apache-2.0
// node shoot.mjs PICTURE.png ADDRESS WIDTH HEIGHT [ACTION...]: a page as a reader sees it. Actions, in turn:
// open=SELECTOR (clicks), type=SELECTOR=TEXT (and leaves the field), wait=SELECTOR, to=SELECTOR (brings it
// to the top), only=SELECTOR (takes that part alone), pause=MILLISECONDS.
import { withBrowser } from "./open.mjs";

const [picture, address, width, height, ...actions] = process.argv.slice(2);
const split = (text) => {
  const at = text.indexOf("=");
  return [text.slice(0, at), text.slice(at + 1)];
};

await withBrowser(async (browser) => {
  const page = await browser.newPage({ viewport: { width: Number(width), height: Number(height) }, colorScheme: "light" });
  page.setDefaultTimeout(20000);
  await page.goto(address, { waitUntil: "load" });
  let part = page;
  for (const [what, rest] of actions.map(split)) {
    if (what === "open") await page.locator(rest).first().click();
    else if (what === "wait") await page.locator(rest).first().waitFor();
    else if (what === "only") part = page.locator(rest).first();
    else if (what === "to") await page.locator(rest).first().evaluate((e) => e.scrollIntoView());
    else if (what === "pause") await page.waitForTimeout(Number(rest));
    else if (what === "type") {
      const at = rest.lastIndexOf("=");
      await page.fill(rest.slice(0, at), rest.slice(at + 1));
      await page.keyboard.press("Tab");
    } else throw new Error(`no action: ${what}`);
  }
  await part.screenshot({ path: picture });
});
