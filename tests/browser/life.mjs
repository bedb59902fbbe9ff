// The whole life of a charter in a browser, at both sizes, as the base's people and its crew do it: planned, made ready,
// briefed, handed over with signatures, the rest read, a defect told by the crew, taken back with a tether missing and
// diesel burnt, charged and settled. Usage: node life.mjs http://127.0.0.1:8420
import { begin, launch, open, sizes } from "./browser.mjs";

const { site, faults, expect } = begin("life.mjs");

/** What is typed for a meter: the last reading of an engine and what it ran since; else a likely figure. */
const figure = async (thing, field, hours, level) => {
  if (field.startsWith("read.hours.") || field.includes("hours.")) {
    const last = (await thing.textContent()).match(/([\d,]+(?:\.\d+)?)\s*h\b/)?.[1].replaceAll(",", "");
    return String((Number(last ?? 1200) + hours).toFixed(1));
  }
  if (field.includes("volts.")) return "12.7";
  if (field.includes("gas.")) return "2.5";
  return String(level);
};

/** Fills one stop of a walk in: all there, all well, all shown; `short` names a kit line of which one is missing. */
const fillStop = async (page, { hours, level, short }) => {
  // What need not be looked at is folded away; here all of it is.
  const folded = page.locator("form.stop-form details:not([open]) > summary");
  while (await folded.count()) await folded.first().click();
  const things = page.locator("form.stop-form fieldset");
  let missed = false;
  for (const thing of await things.all()) {
    const all = thing.locator("button[data-all]");
    if (await all.count()) {
      await all.click();
      const input = thing.locator("input[type=number]");
      if (short && !missed && Number(await input.inputValue()) > 1) {
        await thing.locator("button[data-step='-1']").click();
        missed = true;
      }
      continue;
    }
    const decimal = thing.locator("input[inputmode=decimal]").first();
    if (await decimal.count()) {
      const field = await decimal.getAttribute("name");
      if (!field.includes("fill") && !field.includes("new.")) await decimal.fill(await figure(thing, field, hours, level));
      continue;
    }
    for (const value of ["ok", "shown"]) {
      const radio = thing.locator(`input[type=radio][value=${value}]`);
      if (await radio.count()) await thing.locator("label", { has: page.locator(`input[type=radio][value=${value}]`) }).click();
    }
  }
  return missed;
};

/** Goes through all stops of a walk. Whether a piece of kit was left out. */
const walk = async (page, where, address, how) => {
  await page.goto(site + address);
  await page.locator("#next-stop").click();
  let missed = false;
  for (let stop = 0; stop < 60; stop += 1) {
    missed = (await fillStop(page, { ...how, short: how.short && !missed })) || missed;
    const here = page.url();
    await page.locator("#save-next, #save-end").first().click();
    const again = page.locator("form.stop-form input[name^='sure.']");
    if (page.url().split("?")[0] === here.split("?")[0] && (await again.count())) {
      // What is unlikely is asked again, with all that was typed.
      for (const tick of await again.all()) await tick.check();
      await page.locator("#save-next, #save-end").first().click();
    }
    if (page.url().includes("/sign/")) return missed;
    expect(where, page.url() !== here, `stuck at ${here}: ${await page.locator("[role=alert]").allTextContents()}`);
    if (page.url() === here) return missed;
  }
  expect(where, false, "the walk has no end");
  return missed;
};

/** Draws a name with the pointer. */
const sign = async (page, where, role, name) => {
  await page.locator("label", { has: page.locator(`input[name=role][value=${role}]`) }).click();
  await page.locator("#name").fill(name);
  const pad = page.locator("#pad");
  await pad.scrollIntoViewIfNeeded();
  const box = await pad.boundingBox();
  await page.mouse.move(box.x + 20, box.y + box.height / 2);
  await page.mouse.down();
  for (let i = 1; i <= 12; i += 1) await page.mouse.move(box.x + 20 + i * 12, box.y + box.height / 2 + (i % 2 ? -20 : 20));
  await page.mouse.up();
  await page.locator("#sign-button").click();
  expect(where, (await page.locator("#signed").textContent()).includes(name), `${name} has not signed`);
};

const complete = async (page, where) => {
  // A boat with a defect that could hurt somebody goes only with the manager's reason.
  for (let i = 0; i < 5; i += 1) {
    const reason = page.locator("form:has(input[name=reason])").first();
    if ((await page.locator("#complete-button").count()) || !(await reason.count())) break;
    await reason.locator("input[name=reason]").fill("Looked at by the yard today; the crew has been told.");
    await reason.locator("button[type=submit]").click();
  }
  const button = page.locator("#complete-button");
  expect(where, (await button.count()) === 1, `it can't be completed: ${(await page.locator("#missing").allTextContents()).join(" ").slice(0, 400)}`);
  if (await button.count()) await button.click();
};

/** Runs the briefing from its plan to its end: one topic after the other is shown, told or left. */
const brief = async (page, where, charter) => {
  await page.goto(`${site}${charter}/briefing`);
  await page.fill("#minutes", "45");
  await page.locator("label", { has: page.locator("input[name=crew][value=some]") }).click();
  await page.locator(".brief-ask button").click();
  expect(where, (await page.locator(".walk-sheet svg").count()) > 0, "the walk is not drawn");
  await page.locator("button[name=begin]").click();
  const answers = ["shown", "told", "shown", "not-done"];
  const seen = new Set();
  let topics = 0;
  while (new URL(page.url()).pathname.endsWith("/run") && topics < 90) {
    const topic = await page.locator("input[name=topic]").inputValue();
    expect(where, !seen.has(topic), `${topic} comes twice`);
    seen.add(topic);
    expect(where, await page.locator("[data-talk-words]").isVisible(), "the clock is not seen");
    await page.locator(`button[name=answer][value=${answers[topics % 4]}]`).click();
    topics += 1;
  }
  expect(where, topics > 8 && new URL(page.url()).pathname.endsWith("/end"), `after ${topics} topics it is at ${page.url()}`);
  const end = await page.locator("main").textContent();
  expect(where, end.includes("The crew did it themselves") && end.includes("Left to reading"), "the end does not say what is left");
};

/** The crew reads what the briefing left, and ticks it off. */
const read = async (crew, where) => {
  const link = crew.locator("a[href$='/reading']");
  expect(where, (await link.count()) === 1, "nothing says what is left to read");
  await link.click();
  const ticks = crew.locator("input[name=read]");
  const all = await ticks.count();
  for (const tick of (await ticks.all()).slice(0, all - 1)) await tick.check();
  await crew.locator(".stop-go button").click();
  expect(where, (await crew.locator("input[name=read]").count()) === 1, `of ${all} topics one should be left to read`);
};

const life = async (browser, size, boat, years) => {
  const page = await open(browser, size);
  let where = `${boat} (${size})`;
  page.on("pageerror", (error) => expect(where, false, `script: ${error.message}`));
  page.on("response", (response) => expect(where, response.status() < 500, `${response.status()} ${response.url()}`));
  page.on("dialog", (dialog) => dialog.accept());

  where = `${boat} plan (${size})`;
  await page.goto(`${site}/charters/new`);
  await page.selectOption("#boat", boat);
  const day = (days) => new Date(Date.now() + (years * 365 + days) * 86400000).toISOString().slice(0, 10);
  await page.fill("#from_day", day(0));
  await page.fill("#from_time", "16:00");
  await page.fill("#until_day", day(7));
  await page.fill("#until_time", "10:00");
  await page.fill("#crew", "2");
  await page.fill("#name", "Kit");
  await page.locator("#plan-button").click();
  const charter = new URL(page.url()).pathname;
  expect(where, /^\/charter\/[^/]+$/.test(charter) && charter !== "/charters/new", `it went to ${charter}`);

  where = `${boat} readying (${size})`;
  await walk(page, where, `${charter}/walk/readying`, { hours: 0.2, level: 90 });
  await complete(page, where);

  where = `${boat} briefing (${size})`;
  await brief(page, where, charter);

  where = `${boat} check-out (${size})`;
  await walk(page, where, `${charter}/walk/check-out`, { hours: 0.1, level: 90 });
  await sign(page, where, "skipper", "Kit");
  await sign(page, where, "base", "Sam");
  await complete(page, where);

  where = `${boat} crew's link (${size})`;
  await page.goto(`${site}${charter}/links`);
  await page.locator(`form[action$='/links'] button`).click();
  const link = new URL((await page.locator(".address").textContent()).trim()).pathname;
  const crew = await open(browser, size);
  await crew.goto(site + link);
  expect(where, new URL(crew.url()).pathname === "/crew", `it opens ${crew.url()}`);
  await read(crew, where);
  await crew.goto(`${site}/boat/${boat}/found`);
  await crew.selectOption("#item", { index: 1 });
  await crew.fill("#words", "Rattles when the boat heels.");
  await crew.locator("label", { has: crew.locator("input[name=severity][value=hinders]") }).click();
  await crew.locator("main form button[type=submit]").last().click();
  // Somebody has told something of this item before: it is something else.
  const again = crew.locator("label", { has: crew.locator("input[name=again][value=new]") });
  if (await again.count()) {
    await again.click();
    await crew.locator("main form button[type=submit]").last().click();
  }
  expect(where, !(await crew.locator(".answer-wrong").count()), `refused: ${await crew.locator(".answer-wrong").allTextContents()}`);
  expect(where, (await crew.goto(`${site}/charters`)).status() === 403, "a crew sees all charters");

  where = `${boat} hand-back (${size})`;
  const missed = await walk(page, where, `${charter}/walk/hand-back`, { hours: 9.5, level: 60, short: true });
  expect(where, missed, "no kit could be left out");
  await sign(page, where, "skipper", "Kit");
  await sign(page, where, "base", "Alex");
  await complete(page, where);
  const ended = await crew.goto(`${site}/crew`);
  expect(where, !(await crew.content()).includes("Yours from"), `the crew's link still opens (${ended.status()})`);
  await crew.context().close();

  where = `${boat} charges (${size})`;
  await page.goto(`${site}${charter}/charges`);
  const bill = await page.locator("main").textContent();
  expect(where, /missing|fewer/i.test(bill) || /1 of/.test(bill), "the missing piece is not told");
  const settle = page.locator("#settle-button");
  expect(where, (await settle.count()) === 1, "it can't be settled");
  if (await settle.count()) await settle.click();
  await page.goto(site + charter);
  expect(where, /settled/i.test(await page.locator("main").textContent()), "it is not settled");
  for (const sheet of ["check-out", "hand-back"]) {
    const answer = await page.goto(`${site}${charter}/sheet/${sheet}`);
    expect(where, answer.status() === 200 && (await page.locator("main").textContent()).includes("Kit"), `the sheet of the ${sheet}`);
  }
  await page.context().close();
};

const browser = await launch();
try {
  let years = 1;
  for (const size of Object.keys(sizes)) {
    await life(browser, size, "dunlin", years);
    years += 1;
  }
} finally {
  await browser.close();
}
if (faults.length > 0) {
  console.error(`${faults.length} faults.`);
  process.exit(1);
}
console.log("Both charters were planned, briefed, handed over, taken back and settled.");
