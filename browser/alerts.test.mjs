// Alerts on the pages: told on every one, seen and held by touch, keyboard and two phones at once; the sound and its trial.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browse, isWell, launch, open, send, until } from "./ship.mjs";
import { everywhere } from "./seen.mjs";

const PAGES = { "alerts-now": "/", alerts: "/alerts" };

let ship, browser;
before(async () => {
  ship = await launch("--pace", "120");
  browser = await browse();
  const page = await open(browser, ship.address);
  await page.goto(ship.address);
  await until("all is well", 90, async () => isWell(await page.textContent("h1")));
  assert.match(await page.textContent("#alerts"), /No alert/);
  await send(ship.address, "/simulator", { order: "fault", cause: "intake-port.blocked", severity: "95" });
  await until("one cause", 180, async () => /Most likely of one cause/.test(await page.textContent("#alerts")));
  await send(ship.address, "/simulator", { order: "pace", pace: "1" });
  await page.context().close();
});
after(async () => { await browser?.close(); ship?.end(); });

const unfold = async (page) => {
  for (const summary of await page.locator("#alerts summary, #take-out summary").all()) await summary.click();
};
everywhere(PAGES, { at: () => ({ browser, address: ship.address }), prepare: unfold, doubled: true, targets: "#strip a, .told .more" });

test("what is new is told on every page, with its category as a word and a shape", async () => {
  const page = await open(browser, ship.address, { size: "phone" });
  for (const path of ["/", "/plant", "/causes", "/alerts", "/simulator", "/nowhere"]) {
    const answer = await page.goto(ship.address + path);
    assert.equal(answer.status(), path === "/nowhere" ? 404 : 200);
    assert.match(await page.textContent("#strip"), /(emergency alarm|alarm|warning)\s*New: /, path);
    // The stream of a page that is not there lives too.
    await page.waitForTimeout(path === "/nowhere" ? 7000 : 300);
    assert.ok(await page.isHidden("#silent"), `${path} says that nothing is heard`);
  }
  await page.goto(ship.address);
  assert.ok(await page.locator("#alerts .alert svg").count() > 0);
  page.faults = [];
  await page.context().close();
});

test("without a sound switched on nothing sounds; it is switched on by a tap, tried, and kept on the next page", async () => {
  const page = await open(browser, ship.address, { size: "phone" });
  await page.addInitScript(() => {
    window.tones = 0;
    const start = OscillatorNode.prototype.start;
    OscillatorNode.prototype.start = function begin(at) { window.tones += 1; return start.call(this, at); };
  });
  await page.goto(`${ship.address}/alerts`);
  assert.match(await page.textContent("#sound-state"), /Sound is off/);
  assert.equal(await page.evaluate(() => window.tones), 0);
  for (const category of ["emergency alarm", "alarm", "warning", "caution", "no word"]) {
    const before = await page.evaluate(() => window.tones);
    await page.click(`[data-test="${category}"]`);
    await until(category, 3, async () => (await page.evaluate(() => window.tones)) > before);
  }
  const before = await page.evaluate(() => window.tones);
  await page.click("#sound-switch");
  await until("it sounds", 4, async () => (await page.evaluate(() => window.tones)) > before);
  assert.match(await page.textContent("#sound-state"), /Sound is on\. (The screen is kept awake|This browser does not|The screen could not)/);
  await page.goto(`${ship.address}/causes`);
  const quiet = await page.isVisible("#quiet");
  if (quiet) await page.mouse.click(5, 300);
  await until("it sounds here too", 4, async () => (await page.evaluate(() => window.tones)) > 0);
  assert.ok(await page.isHidden("#quiet"));
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("it is seen from two phones at once, by keyboard; held; and its history is told", async () => {
  const [one, two] = [await open(browser, ship.address, { size: "phone" }), await open(browser, ship.address, { size: "phone" })];
  await Promise.all([one.goto(ship.address), two.goto(ship.address)]);
  // Several press it before any is told that it was seen.
  const form = two.locator("form:has(button[value=see])").first();
  const keys = await form.locator("input[name=key]").evaluateAll((all) => all.map((it) => ["key", it.value]));
  assert.ok(keys.length > 0);
  const press = () => send(ship.address, "/alerts", [...keys, ["deed", "see"]]);
  const news = await one.locator("button[value=see]").count();
  await Promise.all([press(), press(), press()]);
  for (const page of [one, two]) {
    await until("it is seen", 5, async () => (await page.locator("button[value=see]").count()) < news);
  }
  await one.locator(".hold summary").first().focus();
  await one.keyboard.press("Enter");
  await one.keyboard.press("Tab");
  await one.keyboard.press("Enter");
  await until("it is held", 5, async () => /held.*comes back in/s.test(await one.textContent("#alerts")));
  await one.locator("button[value=end-hold]").first().click();
  await until("it is back, and new", 5, async () => /new/.test(await one.textContent("#alerts .shown")));
  assert.match(await two.textContent("#strip"), /New: /);
  while (await one.locator("button[value=see]").count()) {
    const left = await one.locator("button[value=see]").count();
    await one.locator("button[value=see]").first().focus();
    await one.keyboard.press("Enter");
    await until("it is seen", 5, async () => (await one.locator("button[value=see]").count()) < left);
  }
  await until("nothing is new", 5, async () => !(await two.textContent("#strip")).includes("New"));
  await one.goto(`${ship.address}/alerts`);
  const history = await one.textContent(".history");
  for (const word of ["new", "seen", "held for 15 min", "the hold has ended"]) assert.ok(history.includes(word), word);
  assert.deepEqual([...one.faults, ...two.faults], []);
  await one.context().close();
  await two.context().close();
});

test("a gauge is taken out with a reason and an end, and put back; without scripts too", async () => {
  const page = await open(browser, ship.address, { size: "phone", scripts: false });
  await page.goto(`${ship.address}/alerts`);
  await page.click("#take-out summary");
  await page.selectOption("#out-of", "elbow-out");
  await page.fill("#out-reason", "sender broken");
  await page.click("text=Take it out");
  await page.waitForURL("**/alerts");
  assert.match(await page.textContent("section[aria-labelledby=h-out]"), /elbow-out: sender broken; back in 24/);
  assert.match(await page.textContent("#alerts"), /1 gauge is out of service/);
  await page.click("text=Put back");
  await page.waitForURL("**/alerts");
  assert.match(await page.textContent("section[aria-labelledby=h-out]"), /Every gauge is in service/);
  await page.context().close();
});

test("when the program is gone it is said and sounds", async () => {
  const other = await launch("--pace", "1");
  const page = await open(browser, other.address, { size: "phone" });
  await page.addInitScript(() => {
    window.tones = 0;
    const start = OscillatorNode.prototype.start;
    OscillatorNode.prototype.start = function begin(at) { window.tones += 1; return start.call(this, at); };
  });
  await page.goto(`${other.address}/alerts`);
  await page.click("#sound-switch");
  await page.waitForTimeout(500);
  assert.equal(await page.evaluate(() => window.tones), 0, "nothing is new");
  other.end();
  await page.waitForFunction(() => !document.getElementById("silent").hidden && window.tones >= 3, null, { timeout: 10000 });
  await page.context().close();
});
