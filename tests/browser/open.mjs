// SPDX-License-Identifier: Apache-2.0
// Debian's Chromium without a window, driven by playwright-core. Pages are files; every request that
// a page makes besides its own file is recorded.
import { chromium } from "playwright-core";

export async function withBrowser(work) {
  const browser = await chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking",
           "--disable-component-update", "--disable-sync", "--no-first-run"],
  });
  try {
    return await work(browser);
  } finally {
    await browser.close();
  }
}

// A page of `file` with what went wrong on it: errors of scripts and requests.
export async function openFile(browser, file, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1500, height: 1000 }, ...options });
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (error) => faults.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error") faults.push(message.text());
  });
  page.on("request", (request) => {
    if (!request.url().startsWith("file:") && !request.url().startsWith("data:")) faults.push("asked for " + request.url());
  });
  const started = Date.now();
  await page.goto("file://" + file, { waitUntil: "load" });
  return { page, context, faults, opened_ms: Date.now() - started };
}
