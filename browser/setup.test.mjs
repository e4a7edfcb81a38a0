// Set-up on the pages: the jobs, one worked from its form with its drawing, what is wrong told at its field, and the result kept.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browse, launch, open } from "./ship.mjs";
import { everywhere, sticksOut } from "./seen.mjs";

const TOP = "flywheel-diameter=480+mm&stop-ahead=142+mm&stop-astern=-131+mm&rod-length=260+mm";
const of = (job, told) => `/setup/${job}?${new URLSearchParams(told)}`;
const COUPLING = {
  "flange-diameter": "127 mm", "gap-top": "0.05 mm", "gap-bottom": "0.30 mm", "gap-port": "0.10 mm", "gap-starboard": "0.20 mm",
  "flange-above": "-0.20 mm", "aft-feet": "550 mm", "forward-feet": "1550 mm",
};
const BELT = {
  "pulley-diameter": "180, 75 mm", centres: "290 mm", "driver-speed": "1500 rpm", "alternator-place": "2", "alternator-current": "120 A",
  "alternator-voltage": "28.4 V", "belt-width": "13 mm",
};
const PAGES = {
  setup: "/setup",
  alignment: of("alignment", COUPLING),
  belts: of("belts", BELT),
  "setup-empty": "/setup/top-dead-centre",
  "setup-worked": `/setup/top-dead-centre?${TOP}`,
  trials: "/setup/sea-trial?sea=22",
  "trial-now": "/setup/sea-trial?trial=now",
  "setup-wrong": "/setup/top-dead-centre?flywheel-diameter=480&stop-ahead=3+mm",
};

let ship, browser;
before(async () => { ship = await launch("--pace", "1"); browser = await browse(); });
after(async () => { await browser?.close(); ship?.end(); });

const unfold = async (page) => {
  for (const summary of await page.locator("main summary").all()) await summary.click();
};
everywhere(PAGES, { at: () => ({ browser, address: ship.address }), prepare: unfold, targets: ".jobs a" });

test("every job has a page of its own, told nothing yet, and says what must be told", async () => {
  const page = await open(browser, ship.address, { size: "phone" });
  await page.goto(`${ship.address}/setup`);
  const links = await page.locator(".jobs a").evaluateAll((all) => all.map((a) => a.getAttribute("href")));
  assert.ok(links.length > 25, links.join(" "));
  for (const link of links.filter((link) => link !== "/setup/sea-trial")) {
    await page.goto(ship.address + link);
    assert.ok(await page.locator(".asks input, .asks select").count() > 1, link);
    assert.equal(await page.locator(".is-wrong").count(), 0, link);
    assert.deepEqual(await sticksOut(page), [], link);
  }
  await page.context().close();
});

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

test("a trial is written down by hand, judged, held against what is read now, and never written over", async () => {
  const page = await open(browser, ship.address, { size: "phone" });
  await page.goto(`${ship.address}/setup/sea-trial`);
  await page.fill('[name="name"]', "as commissioned");
  const last = await page.locator('thead input, [name^="speed:"]').count() - 1;
  for (const [step, speed, coolant, out] of [[0, 650, 72, 18], [last - 1, 1690, 81, 27], [last, 1690, 81.5, 27]]) {
    await page.fill(`[name="speed:${step}"]`, String(speed));
    await page.fill(`[name="sea:${step}"]`, "15");
    await page.fill(`[name="r:${step}:coolant"]`, String(coolant));
    await page.fill(`[name="r:${step}:raw-out"]`, `${out} C`);
  }
  await page.getByRole("button", { name: "Keep this trial" }).click();
  await page.waitForURL("**/setup/sea-trial?trial=*");
  const text = await page.textContent("main");
  assert.match(text, /Reaches her rated 1700 rpm/);
  assert.match(text, /coolant moved most, by \+0\.5 K/);
  await page.goto(`${ship.address}/setup/sea-trial?trial=now&against=as%20commissioned`);
  assert.match(await page.textContent("h1"), /Now against “as commissioned”/);
  assert.ok(await page.locator(".stood .reach").count() > 10);
  await page.goto(`${ship.address}/setup/sea-trial?trial=now`);
  await page.fill('[name="name"]', "as commissioned");
  await page.getByRole("button", { name: "Keep this trial" }).click();
  assert.match(await page.textContent("main"), /kept already/);
  for (const bad of ["sea=boiling", "trial=nothing", "trial=now&against=nothing"]) {
    assert.equal((await fetch(`${ship.address}/setup/sea-trial?${bad}`)).status, 404, bad);
  }
  await page.context().close();
});
