// Ledger and samples: at every size and in every theme, and entries made, corrected and taken back by hand.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browse, launch, open } from "./ship.mjs";
import { everywhere, shots, sticksOut } from "./seen.mjs";

const PAGES = { ledger: "/work/ledger", samples: "/work/samples" };

let ship, browser;
before(async () => {
  ship = await launch("--pace", "1");
  browser = await browse();
});
after(async () => { await browser?.close(); ship?.end(); });

const openForms = async (page) => {
  for (const form of await page.locator(".entries details").all()) await form.evaluate((it) => { it.open = true; });
};
everywhere(PAGES, { at: () => ({ browser, address: ship.address }), prepare: openForms, targets: "nav a, .entries summary, .entered .button, .entered button, .entries input, .entries select" });

test("text at 200 % is all there", async () => {
  for (const size of ["phone", "desktop"]) {
    const page = await open(browser, ship.address, { size });
    for (const [name, path] of Object.entries(PAGES)) {
      await page.goto(ship.address + path);
      await page.evaluate(() => { document.documentElement.style.fontSize = "200%"; });
      assert.deepEqual(await sticksOut(page), [], `${name} on ${size} sticks out`);
      await page.screenshot({ path: `${shots}${name}-${size}-200.png`, fullPage: true });
    }
    await page.context().close();
  }
});

test("an entry is written down on a phone, corrected and taken back", async () => {
  const page = await open(browser, ship.address, { size: "phone" });
  await page.goto(`${ship.address}/work/ledger`);
  const form = page.locator(".entries details", { hasText: "Tank sounded" });
  await form.locator("summary").click();
  await form.locator("select[name=of]").selectOption("day-tank");
  await form.locator("input[name=amount]").fill("123 L");
  await form.locator("button").click();
  const line = () => page.locator(".entered form", { hasText: "day-tank sounded: 123 L" });
  await line().waitFor();
  await line().getByRole("link", { name: "Correct" }).click();
  await form.locator("summary").click();
  await form.locator("select[name=of]").selectOption("day-tank");
  await form.locator("input[name=amount]").fill("132 L");
  await form.locator("button").click();
  await page.locator("s", { hasText: "123 L" }).waitFor();
  await page.locator(".entered form", { hasText: "sounded: 132 L" }).getByRole("button", { name: "Take back" }).click();
  await page.locator("s", { hasText: "132 L" }).waitFor();
  assert.equal(await page.locator(".entered form", { hasText: "132 L" }).count(), 0);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});
