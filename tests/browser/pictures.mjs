// Takes the pictures of the README. Usage: node pictures.mjs http://127.0.0.1:8420 docs/pictures [boat]
// The boat is named as in the address; without it, the first one is taken.
import { mkdir, stat } from "node:fs/promises";
import { join } from "node:path";
import { launch, open } from "./browser.mjs";

const [site, folder, name] = [process.argv[2]?.replace(/\/$/, ""), process.argv[3], process.argv[4]];
if (!site || !folder) {
  console.error("Say which site and where to: node pictures.mjs http://127.0.0.1:8420 docs/pictures");
  process.exit(2);
}
const MOST_BYTES = 200_000;

const browser = await launch();
try {
  await mkdir(folder, { recursive: true });
  const page = await open(browser, "desktop");
  await page.goto(`${site}/boats`);
  const boat = name ? `/boat/${name}` : await page.getAttribute(".fleet-card h2 a >> nth=0", "href");
  await page.goto(`${site}${boat}`);
  const places = await page.$$eval("svg.plan a.spot", (all) => all.map((a) => a.getAttribute("href")));
  const setUp = `/setup/${boat.split("/").at(-1)}/places/galley`;
  const place = places.find((href) => /chart|galley/.test(href)) ?? places[0];
  await page.goto(`${site}${boat}/steps`);
  const lists = await page.$$eval("a.list-link", (all) => all.map((a) => a.getAttribute("href")));
  await page.goto(`${site}${boat}/wrong`);
  const cases = await page.$$eval("a.list-link", (all) => all.map((a) => a.getAttribute("href")));
  const wrong = cases.find((href) => /raw_water_flows|engine_cooled/.test(href)) ?? cases.at(-1);
  const prefer = (...words) => words.map((word) => lists.find((href) => href.includes(word))).find(Boolean) ?? lists[0];
  const list = prefer("thruster", "windlass", "engine");
  const want = `list:${prefer("hot_water", "shower", "stove").split("/").at(-1)}`;

  await page.goto(`${site}/charters`);
  const charters = await page.$$eval("a[href^='/charter/']", (all) => all.map((a) => a.getAttribute("href")));
  const hers = charters.find((href) => href.includes(boat.split("/").at(-1)) && href.endsWith("-now")) ?? charters[0];
  const talk = `${hers}/briefing/run?minutes=60&crew=new&anchoring=yes&topic=gas`;
  await page.goto(`${site}${hers}/walk/check-out`);
  const stop = (await page.getAttribute("#next-stop", "href").catch(() => null)) ?? `${hers}/walk/check-out`;
  await page.context().close();

  const shots = [
    ["today", "desktop", "day", "/"],
    ["plan", "desktop", "day", place],
    ["place", "phone", "day", place],
    ["list", "phone", "day", list],
    ["list", "phone-night", "night", list],
    ["slips", "desktop", "day", `${boat}/slips`],
    ["now", "desktop", "day", `${boat}/now?want=${encodeURIComponent(want)}`],
    ["wrong", "phone", "day", wrong],
    ["briefing", "desktop", "day", `${boat}/briefing?minutes=60&crew=new&anchoring=yes`, "#plan"],
    ["count", "phone", "day", stop],
    ["talk", "phone", "day", talk],
    ["forecast", "desktop", "day", `${boat}/forecast`, "#stores"],
    ["set-up", "desktop", "day", setUp, ".spot-field"],
  ];
  for (const [picture, size, look, path, part] of shots) {
    const page = await open(browser, size.split("-")[0], { look });
    await page.goto(site + path.split("#")[0]);
    if (part) await page.evaluate((part) => window.scrollBy(0, document.querySelector(part).getBoundingClientRect().top - 70), part);
    const file = join(folder, `${picture}-${size}.png`);
    await page.screenshot({ path: file });
    const { size: bytes } = await stat(file);
    console.log(`${file} ${Math.round(bytes / 1000)} kB`);
    if (bytes > MOST_BYTES) {
      console.error(`${file} is larger than ${MOST_BYTES / 1000} kB.`);
      process.exitCode = 1;
    }
    await page.context().close();
  }
} finally {
  await browser.close();
}
