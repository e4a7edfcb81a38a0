import { browse, open } from "./ship.mjs";
const base = "http://127.0.0.1:8555";
const browser = await browse();
const only = process.argv[2];
for (const [size, theme] of [["phone","day"],["desktop","day"],["phone","night"],["desktop","dark"]]) {
  const page = await open(browser, base, { size, theme });
  for (const [name, path] of [["work","/work"],["task","/work/task?name=exchanger.pencil"],["lash","/work/task?name=main.lash"],["book","/book"],["records","/work/records"]]) {
    if (only && !name.includes(only)) continue;
    await page.goto(base + path);
    await page.screenshot({ path: `/tmp/shots7/${name}-${size}-${theme}.png`, fullPage: true });
  }
  await page.context().close();
}
await browser.close();
