// Something new comes aboard through the set-up, as a manager does it in a browser: a place by tapping the picture, an
// item there, a control with its positions, a step list, a kit line; then two people at once, an older revision, the text
// out and in. At both sizes, and once without scripts. Usage: node setup.mjs http://127.0.0.1:8420
import { begin, launch, open } from "./browser.mjs";

const { site, faults, expect } = begin("setup.mjs");
const boat = `${site}/setup/whimbrel`;

/** One way to set up: at a size, with or without scripts; `name` tells what it makes from what others made. */
const round = async (browser, size, scripts, name) => {
  const where = (what) => `${what} (${size}${scripts ? "" : ", no script"})`;
  const page = await open(browser, size, { scripts });
  page.on("pageerror", (error) => expect(where("script"), false, error.message));
  page.on("response", (response) => expect(where("answer"), response.status() < 500, `${response.status()} ${response.url()}`));
  const press = (input) => page.locator("label", { has: page.locator(input) }).click();
  const save = () => page.locator("form.set-form button[value=save]").click();
  const saved = async (what) => {
    const told = page.locator(".saved");
    const alerts = (await page.locator("[role=alert]").allTextContents()).join(" ");
    expect(where(what), (await told.count()) === 1, `it is not said to be saved: ${alerts}`);
    if (await told.count()) expect(where(what), (await told.textContent()).includes("by Robin"), "its author is not told");
  };
  const id = (words) => words.toLowerCase().replaceAll(" ", "_");

  // A place: what is missing is asked for, and nothing typed is lost.
  await page.goto(`${boat}/places/new`);
  await page.fill("#f-name", `${name} bin`);
  await press('input[name="f.level"][value=deck]');
  if (scripts) {
    const picture = page.locator("svg.placing.aboard");
    await picture.scrollIntoViewIfNeeded();
    const at = await picture.evaluate((svg) => {
      const { metre, middle, bow } = svg.dataset;
      const spot = new DOMPoint(Number(middle) - 1.1 * metre, Number(bow) + 4.2 * metre).matrixTransform(svg.getScreenCTM());
      return { x: spot.x, y: spot.y };
    });
    if (size === "phone") await page.touchscreen.tap(at.x, at.y);
    else await page.mouse.click(at.x, at.y);
    const near = async (field, wanted) => Math.abs(Number(await page.inputValue(field)) - wanted) < 0.11;
    expect(where("tap"), await near("#f-aft", 4.2), `4.2 m from the bow was tapped, ${await page.inputValue("#f-aft")} is said`);
    expect(where("tap"), await near("#f-side", 1.1), `1.1 m to port was tapped, ${await page.inputValue("#f-side")} is said`);
    expect(where("tap"), await page.locator('input[name="f.side~to"][value=port]').isChecked(), "port is not chosen");
    expect(where("tap"), await picture.locator(".here-mark").isVisible(), "the mark is not seen");
    // The mark follows a figure.
    const before = await picture.locator(".here-mark").getAttribute("transform");
    await page.fill("#f-aft", "5.2");
    expect(where("tap"), (await picture.locator(".here-mark").getAttribute("transform")) !== before, "the mark stays where it was");
    expect(where("tap"), (await page.locator("[data-spot-words]").textContent()).includes("5.20 m from the bow"), "it is not said in words");
  } else {
    await page.fill("#f-aft", "5.2");
    await page.fill("#f-side", "1.1");
    await press('input[name="f.side~to"][value=port]');
  }
  await page.fill("#f-long", "80");
  await page.selectOption('select[name="f.long~unit"]', "cm");
  await save();
  expect(where("lack"), (await page.locator("[role=alert]").textContent()).includes("Width"), "what is missing is not told");
  expect(where("lack"), (await page.inputValue("#f-long")) === "80", "what was typed is lost");
  await page.fill("#f-wide", "1");
  if (scripts) {
    await page.locator("#tried .tried-state").waitFor({ timeout: 30000 });
    expect(where("proof"), (await page.locator("#tried").textContent()).includes("Nothing new to mend"), "the proof does not answer while one types");
  }
  await page.fill("#note", "For the spinnaker");
  await save();
  await saved("place");

  await page.goto(`${boat}/items/new`);
  await page.fill("#f-name", `${name} lantern`);
  await page.selectOption("#f-place", id(`${name} bin`));
  await page.fill("#f-find", "Brass, on a hook.");
  await save();
  await saved("item");

  await page.goto(`${boat}/controls/new`);
  await page.fill("#f-name", `${name} wick`);
  await page.selectOption("#f-item", id(`${name} lantern`));
  await page.fill("#f-positions", "off\nlit");
  if (!scripts) await page.click('button[value="show f.positions"]');
  await page.selectOption("#f-rest", "off");
  await save();
  await saved("control");

  // A step list grows by its buttons, and the page stays where one is.
  const control = id(`${name} wick`);
  await page.goto(`${boat}/procedures/new`);
  await page.fill("#f-name", `Light the ${name} lantern`);
  await page.locator('input[name="f.goal~part"]').first().fill(`${control} is lit`);
  await page.click('button[value="add f.steps"]');
  await page.fill("#f-steps-0-look", "Look that nothing burnable is near.");
  await page.click('button[value="below f.steps 0"]');
  const top = await page.locator("#f-steps-1-field").boundingBox();
  expect(where("steps"), top.y >= 0 && top.y < page.viewportSize().height, "the new step is out of sight");
  await page.selectOption("#f-steps-1-set", control);
  if (!scripts) await page.click('button[value="show f.steps.1.set"]');
  await page.selectOption("#f-steps-1-to", "lit");
  await save();
  expect(where("steps"), (await page.locator("[role=alert]").textContent()).includes("Not saved"), "a list that leaves something on is saved");
  const folded = page.locator("details.more-fields:not([open]):has([name='f.leaves']) > summary");
  while (await folded.count()) await folded.first().click();
  await page.locator('[name="f.leaves"]').first().fill(`${control} is lit`);
  await save();
  await saved("step list");

  await page.goto(`${boat}/kit/new`);
  await page.fill("#f-name", `${name} oil`);
  await page.fill("#f-count", "two");
  await page.selectOption("#f-place", id(`${name} bin`));
  await save();
  expect(where("kit"), (await page.inputValue("#f-count")) === "two", "what was typed is lost");
  await page.fill("#f-count", "2");
  await save();
  await saved("kit line");
  await page.locator(".saved a").first().click();
  const revision = await page.locator("main").textContent();
  expect(where("revision"), revision.includes("Robin") && revision.includes(`${name} oil`), "the revision does not tell who and what");

  // Two people at once: whoever is late is asked.
  const other = await open(browser, size, { scripts });
  const lantern = `${boat}/items/${id(`${name} lantern`)}`;
  await page.goto(lantern);
  await other.goto(lantern);
  await other.fill("#f-find", "On the shelf.");
  await other.locator("form.set-form button[value=save]").click();
  await page.fill("#f-find", "In the drawer.");
  await save();
  const both = await page.locator("main").textContent();
  expect(where("two"), both.includes("On the shelf.") && both.includes("In the drawer."), "both are not shown");
  await press("input[value=mine]");
  await save();
  const number = Number(new URL(page.url()).pathname.match(/revisions\/(\d+)$/)?.[1]);
  expect(where("two"), number > 1, `it went to ${page.url()}`);
  await other.context().close();

  // The one before is put back, as a new one.
  await page.goto(`${boat}/revisions/${number - 1}`);
  await page.getByRole("button", { name: /back$/ }).click();
  await page.goto(lantern);
  expect(where("back"), (await page.inputValue("#f-find")) === "On the shelf.", "the older revision is not back");

  // The text goes out and in.
  const text = await (await page.request.get(`${boat}/file.toml`)).text();
  const put = async (changed) => {
    await page.goto(`${boat}/file`);
    await page.setInputFiles("#text-file", { name: "whimbrel.toml", mimeType: "text/plain", buffer: Buffer.from(changed) });
    await page.locator("form[enctype] button").click();
  };
  await put(text.replace("On the shelf.", `On the ${name} shelf.`));
  expect(where("text"), /revisions\/\d+$/.test(new URL(page.url()).pathname), `it went to ${page.url()}`);
  await put(text.replace("berths = ", "berths = = "));
  expect(where("text"), (await page.locator("[role=alert]").textContent()).includes("stays as it is"), "a text that can't be read is not told");
  await page.context().close();
};

const browser = await launch();
try {
  await round(browser, "phone", true, "Blue");
  await round(browser, "desktop", true, "Green");
  await round(browser, "phone", false, "Red");
} finally {
  await browser.close();
}
if (faults.length > 0) {
  console.error(`${faults.length} faults.`);
  process.exit(1);
}
console.log("A place, an item, a control, a step list and a kit line came aboard three times.");
