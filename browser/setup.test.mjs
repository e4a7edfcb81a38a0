// Set-up on the pages: the jobs, one worked from its form with its drawing, what is wrong told at its field, and the result kept.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browse, launch, open } from "./ship.mjs";
import { everywhere } from "./seen.mjs";

const TOP = "flywheel-diameter=480+mm&stop-ahead=142+mm&stop-astern=-131+mm&rod-length=260+mm";
const PAGES = {
  setup: "/setup",
  "setup-empty": "/setup/top-dead-centre",
  "setup-worked": `/setup/top-dead-centre?${TOP}`,
  "setup-wrong": "/setup/top-dead-centre?flywheel-diameter=480&stop-ahead=3+mm",
};

let ship, browser;
before(async () => { ship = await launch("--pace", "1"); browser = await browse(); });
after(async () => { await browser?.close(); ship?.end(); });

const unfold = async (page) => {
  for (const summary of await page.locator("main summary").all()) await summary.click();
};
everywhere(PAGES, { at: () => ({ browser, address: ship.address }), prepare: unfold, targets: ".jobs a" });

test("a job is worked from its form, without scripts too, and takes what the plant knows", async () => {
  const page = await open(browser, ship.address, { size: "phone", scripts: false });
  await page.goto(`${ship.address}/setup`);
  await page.getByRole("link", { name: "Top dead centre" }).click();
  assert.match(await page.textContent("main"), /146 mm \(main, maker\)/);
  await page.fill('[name="flywheel-diameter"]', "480 mm");
  await page.fill('[name="stop-ahead"]', "142 ± 2 mm");
  await page.fill('[name="stop-astern"]', "-131 mm");
  await page.fill('[name="rod-length"]', "260 mm");
  await page.click("text=Work it");
  assert.match(await page.textContent(".worked h2"), /5\.5 mm along the rim/);
  assert.match(await page.textContent(".results"), /5\.5 mm ± 1\.1/);
  assert.match(await page.textContent(".steps"), /fire when turned by hand/);
  assert.equal(await page.locator("svg.sketch").count(), 1);
  await page.context().close();
});

test("what cannot be is told at its field, and nothing that was told is lost", async () => {
  const page = await open(browser, ship.address);
  await page.goto(`${ship.address}/setup/top-dead-centre?flywheel-diameter=480&stop-ahead=3+mm&nonsense=1`);
  assert.match(await page.textContent(".is-wrong:has([name='flywheel-diameter'])"), /no unit/);
  assert.match(await page.textContent(".is-wrong:has([name='stop-astern'])"), /not told/);
  assert.match(await page.textContent("main"), /nonsense/);
  assert.equal(await page.inputValue('[name="stop-ahead"]'), "3 mm");
  assert.equal((await fetch(`${ship.address}/setup/nothing`)).status, 404);
  await page.context().close();
});

test("what was found is written down as work that was done", async () => {
  const page = await open(browser, ship.address);
  await page.goto(`${ship.address}/setup/top-dead-centre?${TOP}`);
  await page.fill('[name="who"]', "mate");
  await page.getByRole("button", { name: "Write down" }).click();
  await page.waitForURL("**/work#records");
  assert.match(await page.textContent("main"), /Top dead centre/);
  await page.context().close();
});
