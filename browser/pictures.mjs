// Renews the six pictures in docs/pages/. Run it in the commit that changes a page:
//
// BEDPLATE=../target/release/bedplate node pictures.mjs
import { mkdirSync } from "node:fs";
import { SIZES, browse, isWell, launch, send, until } from "./ship.mjs";

const folder = new URL("../docs/pages/", import.meta.url).pathname;
const PICTURES = [
  ["now-desktop-day", "/", "desktop", "day"],
  ["now-phone-night", "/", "phone", "night"],
  ["plant-desktop-day", "/plant", "desktop", "day"],
  ["part-tablet-dark", "/plant?part=exchanger#part", "tablet", "dark"],
  ["causes-phone-day", "/causes", "phone", "day"],
  ["causes-desktop-dark", "/causes", "desktop", "dark"],
];
const SMALLER = 0.6;

mkdirSync(folder, { recursive: true });
const ship = await launch("--pace", "120");
const browser = await browse();
const headline = async () => (await (await fetch(ship.address)).text()).match(/<h1>(.*?)<\/h1>/s)[1];
await until("all is well", 90, async () => isWell(await headline()));
await send(ship.address, "/simulator", { order: "fault", cause: "exchanger.scaled", severity: "85" });
await until("it is found", 120, async () => (await headline()).includes("scaled"));
await send(ship.address, "/simulator", { order: "pace", pace: "1" });
for (const [name, path, size, theme] of PICTURES) {
  const [width, height] = SIZES[size];
  const context = await browser.newContext({ viewport: { width, height }, deviceScaleFactor: SMALLER });
  await context.addCookies([{ name: "theme", value: theme, url: ship.address }]);
  const page = await context.newPage();
  await page.goto(ship.address + path);
  if (name.startsWith("causes")) await page.click("#ranking summary");
  await page.screenshot({ path: `${folder}${name}.png` });
  await context.close();
}
await browser.close();
ship.end();
