// Walks through every page at both sizes and in both looks, with and without scripts, and does what people do:
// tap a place, look for a thing, ask for a way, switch the look. Usage: node walk.mjs http://127.0.0.1:8420
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { everyPage, launch, open, sizes } from "./browser.mjs";

const site = process.argv[2]?.replace(/\/$/, "");
if (!site) {
  console.error("Say which site to walk, such as: node walk.mjs http://127.0.0.1:8420");
  process.exit(2);
}
const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

const faults = [];
const fault = (where, what) => {
  faults.push(`${where}: ${what}`);
  console.log(`FAULT ${where}: ${what}`);
};
const expect = (where, holds, what) => {
  if (!holds) fault(where, what);
};

/** Collects what the page complains of. */
const listen = (page, where) => {
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) fault(where(), `console: ${message.text()}`);
  });
  page.on("pageerror", (error) => fault(where(), `script: ${error.message}`));
  page.on("requestfailed", (request) => {
    if (request.failure()?.errorText !== "net::ERR_ABORTED") fault(where(), `not loaded: ${request.url()}`);
  });
};

const noSideScroll = async (page, where) => {
  const [wide, seen] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  expect(where, wide <= seen, `scrolls sideways: ${wide} px of ${seen}`);
};

/** Links and buttons are large enough for a wet thumb (WCAG 2.5.8 asks for 24 px; links within a line are exempt). */
const largeTargets = async (page, where) => {
  const small = await page.evaluate(() => {
    const shown = (box) => box.width > 0 && box.height > 0;
    return [...document.querySelectorAll("button, select, textarea, input:not([type=hidden]), .jumps a, .bar a, .side a, .tabs a, .list-link, .alarm-link, .alarm-bar, .reply, .tick")]
      .map((element) => [element, (element.closest("label") ?? element).getBoundingClientRect()])
      .filter(([, box]) => shown(box) && box.height < 47.5)
      .map(([element, box]) => `${element.tagName} "${element.textContent.trim().slice(0, 30)}" ${Math.round(box.height)} px`);
  });
  for (const target of small) fault(where, `small target: ${target}`);
};

const accessible = async (page, where) => {
  await page.evaluate(axe);
  const result = await page.evaluate(() =>
    window.axe.run(document, {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
      resultTypes: ["violations"],
    }),
  );
  for (const rule of result.violations) {
    for (const node of rule.nodes.slice(0, 3)) {
      fault(where, `${rule.id}: ${rule.help} at ${node.target.join(" ")} (${node.any[0]?.message ?? node.all[0]?.message ?? ""})`);
    }
  }
};

/** No two words on a drawing overlap. */
const clearDrawing = async (page, where) => {
  const clashes = await page.evaluate(() => {
    const words = [...document.querySelectorAll("svg.plan text, svg.course text, svg.day-bar text, svg.scene text, svg.tide-curve text")].map((text) => [text.textContent, text.getBoundingClientRect()]);
    const found = [];
    words.forEach(([a, boxA], i) => {
      for (const [b, boxB] of words.slice(i + 1)) {
        const x = Math.min(boxA.right, boxB.right) - Math.max(boxA.left, boxB.left);
        const y = Math.min(boxA.bottom, boxB.bottom) - Math.max(boxA.top, boxB.top);
        if (x > 1 && y > 3) found.push(`${a} / ${b}`);
      }
    });
    return found;
  });
  for (const clash of clashes) fault(where, `words overlap: ${clash}`);
};

/** Cases of fault finding are many and alike: a few of each boat are visited, as a screen, for the base and on paper. */
const CASES = 4;

const fewCases = (paths) => {
  const seen = new Map();
  return paths.filter((path) => {
    const boat = path.match(/^\/boat\/([^/]+)\/wrong\/./)?.[1];
    if (!boat) return true;
    seen.set(boat, (seen.get(boat) ?? 0) + 1);
    return seen.get(boat) <= CASES;
  });
};

/** Opens a page and checks what must hold everywhere. */
const visit = async (page, path, where, { deep }) => {
  const answer = await page.goto(site + path);
  expect(where, answer.status() === 200, `status ${answer.status()}`);
  await noSideScroll(page, where);
  await largeTargets(page, where);
  await clearDrawing(page, where);
  if (deep) await accessible(page, where);
};

/** Step lists are many and alike: a few of each boat are looked at in depth, all are opened. */
const deepOnes = (paths) => {
  const seen = new Map();
  return new Set(
    paths.filter((path) => {
      const boat = path.match(/^\/boat\/([^/]+)\/steps\/./)?.[1];
      if (!boat) return true;
      seen.set(boat, (seen.get(boat) ?? 0) + 1);
      return seen.get(boat) <= 4;
    }),
  );
};

/** Questions about what lies ahead: with what is done otherwise, with a plan as text, at anchor. */
const PLAN = 'trip = 1\n[plan]\ncrew = 3\nstarts = 2027-07-10\n[[days]]\n[[days]]\nlegs = [{ by = "sail", from = "10:00", for = "4 h" }]\n[[days]]\n';
const QUESTIONS = [
  "/forecast?starts=2027-07-10&days=4&careful=1&charge=evening&pump=1&marina=2",
  "/forecast?starts=2027-07-10&days=14",
  `/forecast?plan=${encodeURIComponent(PLAN)}`,
  "/anchor?depth=5&rise=2.8&fall=0.5&wind=20&bottom=mud",
  "/anchor?depth=30&wind=40",
  "/equipment?rules=canada&from=2027-10-20&until=2027-11-03&adults=5&children=14+kg",
  "/equipment?rules=other",
  "/waste?waters=coastal&off=2",
  "/waste?rules=canada",
  "/wrong?q=no+watter",
  "/wrong?q=xylophone",
];

const browser = await launch();
try {
  const scout = await open(browser, "desktop");
  const paths = fewCases(await everyPage(scout, site));
  await scout.context().close();
  const boats = paths.filter((path) => /^\/boat\/[^/]+$/.test(path));
  expect(site, boats.length > 0, "no boat");
  console.log(`${paths.length} pages, ${boats.length} boats`);

  for (const size of Object.keys(sizes)) {
    for (const look of ["day", "night"]) {
      const page = await open(browser, size, { look });
      let where = "";
      listen(page, () => where);
      const deep = deepOnes(paths);
      for (const path of paths) {
        where = `${path} (${size}, ${look})`;
        if (look === "night" && !deep.has(path)) continue;
        // Night is for phones; on a desktop one boat and the base's own pages show whether its colours hold.
        const another = boats.slice(1).some((boat) => path === boat || path.startsWith(`${boat}/`));
        if (look === "night" && size === "desktop" && another) continue;
        await visit(page, path, where, { deep: deep.has(path) });
      }
      const some = look === "night" && size === "desktop" ? boats.slice(0, 1) : boats;
      for (const boat of some) {
        for (const level of ["deck", "below", "bilge", "around"]) {
          where = `${boat}?level=${level} (${size}, ${look})`;
          await visit(page, `${boat}?level=${level}`, where, { deep: true });
        }
        for (const question of QUESTIONS) {
          where = `${boat}${question} (${size}, ${look})`;
          await visit(page, boat + question, where, { deep: true });
        }
      }
      await page.context().close();
    }
    for (const boat of boats) await tasks(browser, size, boat);
  }
  await withoutScripts(browser, boats[0]);
} finally {
  await browser.close();
}
if (faults.length > 0) {
  console.error(`${faults.length} faults.`);
  process.exit(1);
}
console.log("No faults.");

/** What people do, with scripts. */
async function tasks(browser, size, boat) {
  const page = await open(browser, size);
  let where = `${boat} (${size})`;
  listen(page, () => where);

  // Tap the first place on the drawing: what is there is shown, the address can be shared, and Back goes back.
  where = `${boat} tap a place (${size})`;
  await page.goto(site + boat);
  const spot = page.locator("svg.plan:visible a.spot").last();
  const name = await spot.getAttribute("aria-label");
  await spot.locator(".shape").click({ force: true });
  await page.waitForSelector(".panel.held #there");
  const heading = await page.textContent("#there");
  expect(where, name.endsWith(heading), `tapped ${name}, got ${heading}`);
  expect(where, new URL(page.url()).searchParams.has("place"), "the address does not name the place");
  const reachable = await page.evaluate(() => {
    const box = document.querySelector("#there").getBoundingClientRect();
    return box.top < innerHeight && box.bottom > 0;
  });
  expect(where, reachable, "what is there is out of sight");
  await noSideScroll(page, where);
  await accessible(page, where);
  await page.goBack();
  await page.waitForFunction(() => !document.querySelector(".panel.held"));

  // Look for a thing while typing: it is listed and its place is marked.
  where = `${boat} look for a thing (${size})`;
  await page.goto(`${site}${boat}/items`);
  const item = (await page.textContent(".card h2")).trim().split(/\s+/)[0].replace(/[^\p{L}\p{N}]/gu, "");
  await page.goto(site + boat);
  await page.locator("#q").pressSequentially(item.slice(0, 6));
  await page.waitForSelector("ul.results li");
  expect(where, (await page.locator("#q").inputValue()).length > 0, "the words typed were lost");
  expect(where, await page.evaluate(() => document.activeElement?.id === "q"), "the field lost the focus");
  expect(where, (await page.locator("svg.plan .found, .tabs .tally").count()) > 0, "no place is marked");
  await page.locator("ul.results a.result").first().click();
  await page.waitForSelector("#there");
  await page.locator("#q").fill("zzzz");
  await page.waitForFunction(() => document.querySelector(".panel h2")?.textContent.startsWith("No things fit"));

  // Switch the look, and find it as it was left.
  where = `${boat} switch the look (${size})`;
  const look = () => page.evaluate(() => document.documentElement.dataset.look);
  await page.click("[data-look-toggle]");
  expect(where, (await look()) === "night", "it is not night");
  await page.goto(`${site}${boat}/steps`);
  expect(where, (await look()) === "night", "the look was forgotten");
  await page.click("[data-look-toggle]");

  // Tick a step off; nothing else changes.
  where = `${boat} tick a step (${size})`;
  await page.locator("a.list-link").first().click();
  await page.waitForSelector("ol.steps");
  await page.locator(".tick").first().click();
  expect(where, await page.locator(".tick input").first().isChecked(), "the tick does not hold");

  // Ask for a way to what some step list brings about.
  where = `${boat} ask for a way (${size})`;
  await page.goto(`${site}${boat}/now`);
  const wants = await page.$$eval("#want optgroup:first-of-type option", (all) => all.map((option) => option.value));
  let found = 0;
  for (const want of wants.slice(0, 6)) {
    await page.goto(`${site}${boat}/now`);
    await page.selectOption("#want", want);
    await page.click("form.now button[type=submit]");
    await page.waitForSelector("#answer");
    expect(where, page.url().length - site.length < 200, `the address is long: ${page.url()}`);
    found += await page.locator("#answer ol.steps").count();
  }
  expect(where, found > 0, "no way was found to any of six things");
  await noSideScroll(page, where);
  await accessible(page, where);

  // Say what is wrong, answer until it ends, and undo the last answer.
  where = `${boat} what is wrong (${size})`;
  await page.goto(`${site}${boat}/wrong`);
  expect(where, (await page.locator(".alarm-link:visible").count()) >= 4, "the emergencies are not first");
  await page.locator(".subjects details summary").first().click();
  await page.locator(".subjects .list-link:visible").first().click();
  let answers = 0;
  while ((await page.locator(".reply").count()) > 0 && answers < 40) {
    expect(where, (await page.locator(".reply").count()) === 3, "a question has three replies");
    if (answers === 0) await accessible(page, where);
    await page.locator(".reply").nth(answers % 2).click();
    answers += 1;
  }
  expect(where, answers < 40, "the case has no end");
  await noSideScroll(page, where);
  await accessible(page, where);
  if (answers > 0) {
    await page.click("text=Undo the last");
    expect(where, (await page.locator(".reply").count()) === 3, "the last answer was not undone");
  }
  const paper = await page.locator("a[href*='/guide']").first().getAttribute("href");
  await page.goto(site + paper);
  await noSideScroll(page, `${where} on paper`);
  await accessible(page, `${where} on paper`);
  await page.goto(site + paper.replace("/guide", "").replace(/\?|$/, "?who=base&").replace(/&$/, ""));
  await noSideScroll(page, `${where} for the base`);
  await accessible(page, `${where} for the base`);

  // Tick what could be done otherwise: before and after are told in place, and the address can be shared.
  where = `${boat} what if (${size})`;
  await page.goto(`${site}${boat}/forecast?starts=2027-07-10&days=4`);
  expect(where, (await page.locator(".versus").count()) === 0, "before and after stand there at once");
  await page.locator(".switches .tick").first().click();
  await page.waitForSelector(".versus");
  expect(where, await page.locator(".switches .tick input").first().isChecked(), "the tick was lost");
  expect(where, new URL(page.url()).searchParams.get("days") === "4", `the address lost the trip: ${page.url()}`);
  expect(where, (await page.locator("svg.course").count()) > 0, "no course is drawn");
  await page.locator("#f-days").fill("");
  await page.locator("#f-days").pressSequentially("6");
  await page.waitForFunction(() => document.querySelectorAll("#nights select").length === 5);
  expect(where, await page.evaluate(() => document.activeElement?.id === "f-days"), "the field lost the focus");
  await noSideScroll(page, where);
  // The page stands somewhere in its middle: what the lines at its top and bottom cover there can be scrolled clear.
  await page.evaluate(() => document.querySelectorAll("nav.bar, header.top").forEach((line) => line.toggleAttribute("hidden", true)));
  await accessible(page, where);
  await page.context().close();
}

/** The same without scripts. */
async function withoutScripts(browser, boat) {
  const where = `${boat} without scripts`;
  const page = await open(browser, "phone", { scripts: false });
  await page.goto(site + boat);
  expect(where, !(await page.locator("[data-look-toggle]").isVisible()), "a button that does nothing is shown");
  await page.locator("svg.plan:visible a.spot").last().locator(".shape").click({ force: true });
  expect(where, (await page.locator(".panel.held").count()) === 1, "a place cannot be tapped");
  await page.fill("#q", "a");
  await page.press("#q", "Enter");
  expect(where, (await page.locator("ul.results li, .panel.held").count()) > 0, "nothing can be looked for");
  await page.goto(`${site}${boat}/now`);
  const want = await page.locator("#want optgroup option").first().getAttribute("value");
  await page.selectOption("#want", want);
  await page.click("form.now button[type=submit]");
  expect(where, (await page.locator("#answer").count()) === 1, "no way can be asked for");
  expect(where, page.url().length - site.length < 200, `the address is long: ${page.url()}`);
  await page.goto(`${site}${boat}/forecast?starts=2027-07-10&days=4`);
  await page.locator(".switches .tick").first().click();
  await page.locator("form.trip button[type=submit]").first().click();
  expect(where, (await page.locator(".versus").count()) === 1, "before and after cannot be asked for");
  expect(where, page.url().length - site.length < 200, `the address is long: ${page.url()}`);
  await page.locator("#plan-text > summary").click();
  await page.fill("#plan-lines", "trip = 2");
  await page.click("form.plan-form button[type=submit]");
  expect(where, (await page.locator(".finding").count()) > 0, "a wrong plan is not told");
  expect(where, (await page.inputValue("#plan-lines")) === "trip = 2", "the plan was lost");
  await page.goto(`${site}${boat}/wrong`);
  await page.fill("#q", "no water");
  await page.press("#q", "Enter");
  await page.locator("#live .list-link:not(.alarm-found)").first().click();
  expect(where, (await page.locator("#question").count()) === 1, "nothing can be said to be wrong");
  await page.goto(`${site}${boat}/anchor`);
  await page.fill("#depth", "5");
  await page.fill("#wind", "18");
  await page.click("form.anchoring button[type=submit]");
  expect(where, (await page.locator("#advice").count()) === 1, "no advice can be asked for");
  await page.goto(`${site}${boat}/equipment`);
  await page.selectOption("#rules", "canada");
  await page.fill("#children", "14,22");
  await page.click("form.law-ask button[type=submit]");
  expect(where, (await page.locator("#children-wrong").count()) === 1, "what is wrong is not told at its field");
  await page.fill("#children", "14 22");
  await page.click("form.law-ask button[type=submit]");
  expect(where, (await page.locator(".law").count()) > 3, "no rule is shown");
  await page.goto(`${site}/tides?boat=${boat.split("/").at(-1)}`);
  await page.locator(".ask-fold > summary").click();
  await page.locator(".ask-more > summary").click();
  await page.fill("#depth", "1.5");
  await page.fill("#clearance", "0.5");
  await page.click("form.law-ask button[type=submit]");
  expect(where, (await page.locator("#enough").count()) === 1, "water enough cannot be asked for");
  expect(where, (await page.locator("svg.tide-curve").count()) === 1, "no curve is drawn");
  await page.context().close();
}
