// Ten faults put wrong from the page and found by the side that watches, with after how long and at what odds.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browse, isWell, launch, open, send, until } from "./ship.mjs";

// Part, cause, how bad [%]. Nine chosen over the circuits and the gauges; the tenth is a surprise.
const FAULTS = [
  ["strainer-port", "blocked", 84],
  ["raw-pump", "vanes_lost", 60],
  ["exchanger", "scaled", 85],
  ["thermostat", "stuck_open", 100],
  ["relief-valve", "stuck_open", 80],
  ["sump", "level_low", 85],
  ["elbow", "blocked", 70],
  ["propeller", "rope", 70],
  ["coolant", "wire_grounded", 100],
];
// Found: all is well is no longer the likelier, and the cause stands among the first three.
const PLACES = 3;
// It may take so long on the simulator's clock [min], and so long here [s].
const GIVEN = 90;
const PATIENCE = 150;

let ship, browser;
before(async () => {
  ship = await launch("--pace", "120", "--seed", "1");
  browser = await browse();
});
after(async () => { await browser?.close(); ship?.end(); });

const well = (page) => until("all is well", PATIENCE, async () => isWell(await page.textContent("h1")));

// What the simulator's page says of the fault: minutes since, place and odds.
async function stands(page) {
  const text = await page.textContent("#world");
  const since = text.match(/was put wrong ([\d.]+) (s|min|h) ago/);
  const found = text.match(/place (\d+), (.+?); that all is well, (.+?)\./);
  if (!since || !found) return null;
  const minutes = Number(since[1]) * { s: 1 / 60, min: 1, h: 60 }[since[2]];
  return { minutes, place: Number(found[1]), odds: found[2], well: found[3] };
}

const unlikely = (odds) => /less than|about 1 in (?!2$)/.test(odds);

async function find(page, causes) {
  const told = await until("found", PATIENCE, async () => {
    const now = await stands(page);
    if (now && now.place <= PLACES && unlikely(now.well)) return now;
    return now && now.minutes > GIVEN ? { ...now, missed: true } : null;
  });
  await causes.goto(`${ship.address}/causes`);
  const first = await causes.textContent("#ranking .title >> nth=0");
  return { ...told, first: first.trim().replace(/\s+/g, " ") };
}

test("ten faults from the page are found", { timeout: 30 * 60 * 1000 }, async (t) => {
  const [page, now, causes] = [await open(browser, ship.address), await open(browser, ship.address), await open(browser, ship.address)];
  await page.goto(`${ship.address}/simulator`);
  await now.goto(ship.address);
  const rows = [];
  for (const [part, cause, severity] of [...FAULTS, ["surprise"]]) {
    await well(now);
    if (cause) {
      await page.selectOption("#where", part);
      await page.selectOption("#cause", `${part}.${cause}`);
      await page.fill("#severity", String(severity));
      await page.click("text=Put this wrong");
    } else {
      await page.click('button[value="surprise"]');
      await page.waitForSelector("#world .wrong");
      assert.match(await page.textContent("#world"), /Something was put wrong/, "a surprise is told");
      await page.click("text=Tell what it is");
    }
    await page.waitForSelector("#world .wrong");
    const row = { fault: cause ? `${part} ${cause} ${severity} %` : await page.textContent("#world .wrong b"), ...(await find(page, causes)) };
    rows.push(row);
    t.diagnostic(`${row.fault}: ${row.missed ? "NOT found" : "found"} after ${Math.round(row.minutes)} min, place ${row.place}, ${row.odds}; first: ${row.first}`);
    await page.click("text=Mend it");
    await until("mended", 10, async () => /Nothing was put wrong/.test(await page.textContent("#world")));
  }
  const found = rows.filter((row) => !row.missed).length;
  assert.ok(found >= 9, `${found} of ${rows.length} were found`);
  for (const opened of [page, now, causes]) assert.deepEqual(opened.faults, []);
});
