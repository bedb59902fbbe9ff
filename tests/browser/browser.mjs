// The browser that both scripts drive, and the sizes and looks in which pages are seen.
import { chromium } from "playwright-core";

export const sizes = {
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 1 },
  desktop: { viewport: { width: 1280, height: 900 }, deviceScaleFactor: 1 },
};

/** Starts the browser that is installed here; set CHROMIUM to use another. */
export const launch = () =>
  chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: [
      "--headless",
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });

/** A page of its own at a size, in a look ("day" or "night"), with or without scripts. */
export const open = async (browser, size, { look = "day", scripts = true } = {}) => {
  const context = await browser.newContext({
    ...sizes[size],
    javaScriptEnabled: scripts,
    colorScheme: "light",
    reducedMotion: "reduce",
  });
  if (scripts) {
    await context.addInitScript((look) => {
      try {
        if (!localStorage.getItem("becket-look")) localStorage.setItem("becket-look", look);
      } catch {
        // A page without an origin has no storage.
      }
    }, look);
  }
  return context.newPage();
};

/** The addresses of the pages to visit, found by following the site's own links from its first page. */
export const everyPage = async (page, site) => {
  await page.goto(site);
  const found = new Set(["/"]);
  const queue = ["/"];
  const boats = new Map();
  while (queue.length > 0) {
    await page.goto(site + queue.shift());
    const links = await page.$$eval("a[href^='/']", (all) => all.map((a) => a.getAttribute("href").split(/[?#]/)[0]));
    for (const link of links) {
      if (found.has(link)) continue;
      found.add(link);
      const list = link.match(/^\/boat\/([^/]+)\/steps\/[^/]+$/);
      if (list) {
        // Step lists look alike: they are all visited, but not searched for further links.
        boats.set(list[1], (boats.get(list[1]) ?? 0) + 1);
        continue;
      }
      // Cases lead to each other by their answers, and what is asked of programs is no page.
      if (link.endsWith(".json")) {
        found.delete(link);
        continue;
      }
      if (/^\/boat\/[^/]+\/wrong\/./.test(link)) continue;
      queue.push(link);
    }
  }
  return [...found];
};
