// Work on the pages: what is due, a task with its chart and form, a record written with a photo, corrected and taken back.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browse, launch, open, scratch } from "./ship.mjs";
import { everywhere } from "./seen.mjs";
import { writeFileSync } from "node:fs";
import { join } from "node:path";

const PAGES = { work: "/work", task: "/work/task?name=exchanger.pencil", lash: "/work/task?name=main.lash", records: "/work/records", book: "/book" };

let ship, browser;
before(async () => { ship = await launch("--pace", "1"); browser = await browse(); });
after(async () => { await browser?.close(); ship?.end(); });

const unfold = async (page) => {
  for (const summary of await page.locator("main summary").all()) await summary.click();
};
everywhere(PAGES, { at: () => ({ browser, address: ship.address }), prepare: unfold, doubled: true, targets: ".tasks a, .done a, .together a, .shelf a" });

test("the first sentence says what is past and what comes, and that it is invented", async () => {
  const page = await open(browser, ship.address, { size: "phone" });
  await page.goto(`${ship.address}/work`);
  assert.match(await page.textContent("h1"), /\d+ tasks are past, \d+ more fall due within 60 days; of \d+ tasks nobody knows/);
  assert.match(await page.textContent("main"), /invented, for the demonstration/);
  assert.ok(await page.locator(".tasks .strip path.bracket").count() > 5);
  await page.context().close();
});

test("work is written down by hand with a photo, corrected, and taken back; nothing is lost", async () => {
  const page = await open(browser, ship.address, { size: "phone" });
  await page.goto(`${ship.address}/work/task?name=raw-pump.impeller`);
  assert.match(await page.textContent(".further"), /Past by/);
  const photo = join(scratch(), "vanes.png");
  writeFileSync(photo, Buffer.from("89504e470d0a1a0a", "hex"));
  await page.fill("[name='found:vanes lost']", "2");
  await page.fill("[name='found:wear of the cover']", "0.2 mm");
  await page.fill("[name=who]", "B");
  await page.fill("[name=text]", "Two vanes in the <cooler> & one lost");
  await page.setInputFiles("[name=file]", photo);
  await page.click("text=Write down >> nth=-1");
  await page.waitForURL("**/work/task?name=raw-pump.impeller");
  assert.match(await page.textContent(".further"), /About|by the calendar|\d{4}/);
  assert.doesNotMatch(await page.textContent(".further"), /Past by/);
  await page.click(".done a >> nth=0");
  assert.match(await page.textContent("main"), /Two vanes in the <cooler> & one lost/);
  assert.match(await page.textContent(".measures"), /0.2 mm/);
  const file = await page.request.get(ship.address + await page.locator("a[href*='/work/file']").getAttribute("href"));
  assert.equal(file.headers()["content-type"], "image/png");
  assert.equal((await file.body()).length, 8);
  const first = page.url();
  await page.click("summary");
  await page.fill("[name='found:vanes lost']", "3");
  await page.click("text=Write down >> nth=0");
  await page.waitForURL("**/work/task?name=raw-pump.impeller");
  await page.click(".done a >> nth=0");
  assert.match(await page.textContent("main"), /It corrects/);
  assert.match(await page.textContent(".measures"), /3/);
  const stale = await page.context().newPage();
  await stale.goto(first);
  assert.match(await stale.textContent("main"), /no longer stands/);
  await page.click("summary");
  await page.click("text=Take it back altogether");
  await page.waitForURL("**/work#records");
  await page.goto(`${ship.address}/work/task?name=raw-pump.impeller`);
  assert.match(await page.textContent(".further"), /Past by/);
  await page.goto(`${ship.address}/work/records`);
  assert.match(await page.textContent("main"), /Corrected or taken back, and kept/);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("what cannot be is said in words, and nothing is written", async () => {
  const form = (fields) => {
    const body = new FormData();
    for (const [name, value] of Object.entries(fields)) body.append(name, value);
    return fetch(`${ship.address}/work/done`, { method: "POST", redirect: "manual", headers: { Origin: ship.address }, body });
  };
  const before = await (await fetch(`${ship.address}/work/records`)).text();
  for (const [fields, says] of [
    [{ what: "raw-pump.impeler", at: "2026-05-01" }, /there is no task/i],
    [{ what: "main.lash", at: "yesterday" }, /is no day/],
    [{ what: "main.lash", at: "2026-05-01", hours: "many" }, /no running hours/],
    [{ what: "main.lash", at: "2020-05-01", hours: "999999" }, /no running hours|more than later/],
    [{ what: "main.lash", at: "2026-05-01", "found:clearance cylinder 1 inlet": "wide" }, /wide/],
    [{ what: "main.lash", at: "2026-05-01", "found:clearance cylinder 9 inlet": "0.3" }, /not measured at/],
    [{ what: "main.lash", at: "2026-05-01", corrects: "ffff" }, /no longer stands/],
    [{ what: "main.lash", at: "2026-05-01", colour: "red" }, /not what this page asks for/],
    [{ what: "main.lash", at: "2026-05-01", text: "x".repeat(5000) }, /too many/],
  ]) {
    const answer = await form(fields);
    assert.equal(answer.status, 400, JSON.stringify(fields));
    assert.match(await answer.text(), says);
  }
  assert.equal((await fetch(`${ship.address}/work/done`, { method: "POST", headers: { Origin: ship.address }, body: "what=x" })).status, 400);
  assert.equal((await fetch(`${ship.address}/work/task?name=nothing`)).status, 404);
  assert.equal((await fetch(`${ship.address}/work/record?key=nothing`)).status, 404);
  assert.equal((await fetch(`${ship.address}/work/file?sum=../../etc/passwd`)).status, 404);
  assert.equal(await (await fetch(`${ship.address}/work/records`)).text(), before);
});

test("a haul-out that is written down makes due what waits for it", async () => {
  const body = new FormData();
  for (const [name, value] of Object.entries({ what: "haul-out", at: new Date().toISOString().slice(0, 10), who: "yard" })) body.append(name, value);
  const answer = await fetch(`${ship.address}/work/done`, { method: "POST", redirect: "manual", headers: { Origin: ship.address }, body });
  assert.equal(answer.status, 303);
  const page = await open(browser, ship.address);
  await page.goto(`${ship.address}/work/task?name=propeller.anodes`);
  assert.match(await page.textContent(".further"), /Due since the haul-out/);
  await page.context().close();
});
