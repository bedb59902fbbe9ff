// The browser that both scripts drive, and the sizes and looks in which pages are seen.
import { chromium } from "playwright-core";

export const sizes = {
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 1 },
  desktop: { viewport: { width: 1280, height: 900 }, deviceScaleFactor: 1 },
};

/** The site that a script is asked to look at, and where it tells what does not hold there. */
export const begin = (script) => {
  const site = process.argv[2]?.replace(/\/$/, "");
  if (!site) {
    console.error(`Say which site, such as: node ${script} http://127.0.0.1:8420`);
    process.exit(2);
  }
  const faults = [];
  const expect = (where, holds, what) => {
    if (holds) return;
    faults.push(`${where}: ${what}`);
    console.log(`FAULT ${where}: ${what}`);
  };
  return { site, faults, expect };
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

/** Pages that look alike: which they are, and how many of each kind are visited. */
const ALIKE = [
  [/^\/charter\/[^/]+\/walk\/([^/]+)\/[^/]+$/, "stop of a walk", 3],
  [/^\/charter\/[^/]+\/(.+)$/, "page of a charter", 2],
  [/^\/charter\/[^/]+$/, "charter", 7],
  [/^\/setup\/[^/]+\/(revisions|drafts|file)(\/[^/]+)?$/, "set-up of", 1],
  [/^\/setup\/[^/]+\/([^/]+)\/[^/]+$/, "entry of", 1],
  [/^\/setup\/[^/]+\/([^/]+)$/, "section", 1],
  [/^\/setup\/[^/]+$/, "set-up", 1],
  [/^\/defect\/.+$/, "defect", 4],
  [/^\/told\/[^/]+\/cross-out$/, "crossed out", 3],
  [/^\/boat\/[^/]+\/month\/[^/]+$/, "month", 2],
  [/^\/boat\/[^/]+\/costs\/[^/]+$/, "costs", 2],
  [/^\/upkeep\/([^/]+)\/[^/]+$/, "service of", 2],
];

/** What a link leads to is no page: programs ask for it, or it is a file to keep. */
const NO_PAGE = /\.(json|toml|csv|ics)$|^\/(photo|calendar)\/|^\/export\/./;

/** The addresses of the pages to visit, found by following the site's own links from its first page. */
export const everyPage = async (page, site) => {
  await page.goto(site);
  const found = new Set(["/"]);
  const queue = ["/"];
  const visited = new Map();
  while (queue.length > 0) {
    await page.goto(site + queue.shift());
    const links = await page.$$eval("a[href^='/']:not([download])", (all) => all.map((a) => a.getAttribute("href").split(/[?#]/)[0]));
    for (const link of links) {
      if (found.has(link) || NO_PAGE.test(link)) continue;
      const kind = ALIKE.find(([pattern]) => pattern.test(link));
      if (kind) {
        const [pattern, name, most] = kind;
        const key = `${name} ${link.match(pattern)[1] ?? ""}`;
        visited.set(key, (visited.get(key) ?? 0) + 1);
        if (visited.get(key) > most) continue;
      }
      found.add(link);
      // Step lists look alike: they are all visited, but not searched for further links.
      if (/^\/boat\/[^/]+\/steps\/[^/]+$/.test(link)) continue;
      // Cases lead to each other by their answers.
      if (/^\/boat\/[^/]+\/wrong\/./.test(link)) continue;
      queue.push(link);
    }
  }
  return [...found];
};
