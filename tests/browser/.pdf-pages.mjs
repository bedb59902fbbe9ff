import { launch, open } from "./browser.mjs";
const [out, path] = process.argv.slice(2);
const b = await launch();
const page = await open(b, "desktop", { look: "day" });
await page.goto("http://127.0.0.1:8431" + path, {timeout: 90000});
await page.pdf({ path: out, format: "A4", preferCSSPageSize: true });
await b.close();
