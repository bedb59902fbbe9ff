import { launch, open } from "./browser.mjs";
const [out, size, look, path, from = "0", count = "99", H = "1500"] = process.argv.slice(2);
const b = await launch();
const page = await open(b, size, { look });
await page.goto("http://127.0.0.1:8431" + path, {timeout: 60000});
const [w,h] = await page.evaluate(()=>[document.documentElement.scrollWidth, document.documentElement.scrollHeight]);
console.log(path, w, h);
for (let i=+from, y=+from*+H; y<h && i < +from + +count; i++, y+=+H) await page.screenshot({ path: `${out}-${i}.png`, fullPage: true, clip: {x:0,y,width:w,height:Math.min(+H,h-y)} });
await b.close();
