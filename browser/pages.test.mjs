// Every page at every size and in every theme: seen by axe, at twice the text, by keyboard, without scripts, and weighed.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { SIZES, browse, isWell, launch, open, send, until } from "./ship.mjs";
import { everywhere, shots, sticksOut } from "./seen.mjs";

const PAGES = { now: "/", plant: "/plant", part: "/plant?part=exchanger", circuit: "/plant?circuit=raw-water&fit=yes", ways: "/plant/ways?part=strainer-port", margins: "/plant/margins", causes: "/causes", stores: "/work/stores?hours=346&days=15", simulator: "/simulator", handbook: "/handbook", "handbook-circuit": "/handbook/circuit-raw-water", "handbook-normal": "/handbook/normal", "handbook-cards": "/handbook/emergencies", "handbook-sheet": "/handbook/sheet-round", "tour": "/handbook/tour-tour", "tour-stop": "/handbook/tour-stop-2" };

let ship, browser;
before(async () => {
  ship = await launch("--pace", "120");
  browser = await browse();
  // Looked at in trouble, when there is most to see.
  const page = await open(browser, ship.address);
  await page.goto(ship.address);
  await until("all is well", 60, async () => isWell(await page.textContent("h1")));
  await send(ship.address, "/simulator", { order: "fault", cause: "strainer-port.blocked", severity: "84" });
  await until("something is wrong", 90, async () => /most likely/i.test(await page.textContent("h1")));
  await send(ship.address, "/words", { word: "main.hot", there: "yes" });
  await send(ship.address, "/simulator", { order: "pace", pace: "1" });
  // The book is made while the page says so, and then comes by itself.
  await page.goto(ship.address + "/handbook/normal");
  await page.waitForSelector(".book table", { timeout: 60_000 });
  await page.context().close();
});
after(async () => { await browser?.close(); ship?.end(); });

everywhere(PAGES, { at: () => ({ browser, address: ship.address }), targets: "nav a, .gauge .name, .check h3 a, .leaves a, .turn a" });

test("text at 200 % is all there, on a phone too", async () => {
  for (const size of ["phone", "desktop"]) {
    const page = await open(browser, ship.address, { size });
    for (const [name, path] of [...Object.entries(PAGES), ["pump", "/plant?part=raw-pump"]]) {
      await page.goto(ship.address + path);
      await page.evaluate(() => { document.documentElement.style.fontSize = "200%"; });
      assert.deepEqual(await sticksOut(page), [], `${name} on ${size} sticks out`);
      await page.screenshot({ path: `${shots}${name}-${size}-200.png`, fullPage: true });
    }
    await page.context().close();
  }
});

test("everything is reached by keyboard", async () => {
  const page = await open(browser, ship.address);
  await page.goto(`${ship.address}/causes`);
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement.className), "skip");
  const reached = async (most) => {
    const seen = [];
    for (let k = 0; k < most; k += 1) {
      seen.push(await page.evaluate(() => document.activeElement.outerHTML.slice(0, 60)));
      await page.keyboard.press("Tab");
    }
    return seen;
  };
  await page.focus("#ranking summary");
  assert.equal(await page.locator("#ranking details[open]").count(), 0);
  await page.keyboard.press("Enter");
  assert.equal(await page.locator("#ranking details[open]").count(), 1);
  await page.goto(`${ship.address}/plant`);
  const parts = (await reached(90)).filter((it) => it.includes('class="part'));
  assert.equal(new Set(parts).size, await page.locator(".schematic a.part").count(), "some part is not reached");
  await page.focus('.schematic a[data-part="exchanger"]');
  await page.keyboard.press("Enter");
  await page.waitForURL("**/plant?part=exchanger#part");
  assert.match(await page.textContent("#h-part"), /Exchanger/);
  await page.context().close();
});

test("what is opened stays open, and the place on the page is kept, while news come in", async () => {
  const page = await open(browser, ship.address);
  await page.goto(`${ship.address}/causes`);
  await page.click("#ranking summary");
  await send(ship.address, "/words", { word: "main.hot", there: "no" });
  await until("news", 5, async () => (await page.textContent("#entered")).includes("looked for"));
  await until("weighed again", 20, async () => !(await page.textContent("#verdict")).includes("being weighed"));
  assert.equal(await page.locator("#ranking details[open]").count(), 1);
  await page.context().close();
});

test("one order at a time stands first, then the sentence with what is off; checks are under the bars", async () => {
  await send(ship.address, "/words", { word: "main.hot", there: "yes" });
  await send(ship.address, "/words", { word: "outlet.no water", there: "yes" });
  const page = await open(browser, ship.address, { size: "phone" });
  await page.goto(`${ship.address}/causes`);
  assert.equal(await page.locator("#act .stamp").count(), 1);
  assert.match(await page.textContent("#act strong"), /out of gear/);
  assert.match(await page.textContent("#also"), /\d more to see to; do the above first/);
  const sentence = await page.locator("h1").boundingBox();
  assert.ok(sentence.y + sentence.height < SIZES.phone[1], `the sentence ends ${sentence.y + sentence.height} px down`);
  const link = await page.getAttribute("h1 a >> nth=0", "href");
  assert.match(link, /part=(suction|raw-out|raw-pressure|elbow-out)/);
  const top = async (id) => (await page.locator(id).boundingBox()).y;
  assert.ok((await top("#h-ranking")) < (await top("#h-checks")) && (await top("#h-checks")) < (await top("#h-seen")));
  assert.match(await page.textContent("#checks .over"), /(strainer|intake)-starboard, which stands by: open seacock-starboard/);
  assert.match(await page.textContent("#further"), /Weighed \d+ (s|min) ago/);
  await page.context().close();
});

test("the schematic is fitted to the page, and one circuit is shown alone", async () => {
  for (const size of ["phone", "tablet"]) {
    const page = await open(browser, ship.address, { size });
    await page.goto(`${ship.address}/plant`);
    const whole = await page.locator(".schematic .part").count();
    await page.click("text=Fit to the page");
    const { width } = await page.locator(".schematic").boundingBox();
    assert.ok(width <= SIZES[size][0], `${width} px`);
    await page.click(".ways >> text=Raw water");
    assert.equal(await page.locator('.schematic [data-part="oil-filter"]').count(), 0);
    const some = await page.locator(".schematic .part").count();
    assert.ok(some > 5 && some < whole, `${some} of ${whole} parts`);
    await page.click('.schematic [data-part="strainer-port"]');
    await page.waitForURL("**circuit=raw-water&fit=yes&part=strainer-port**");
    assert.match(await page.textContent(".schematic .gauge.off .value"), / (high|low)$/);
    await page.context().close();
  }
});

test("while something is chosen the page says that news wait, and shows them after", async () => {
  const page = await open(browser, ship.address);
  await page.goto(`${ship.address}/causes`);
  await page.focus("#checks select");
  await send(ship.address, "/checks", { of: "strainer-port", check: "open_and_look", found: "clean" });
  await page.waitForSelector("#checks.held", { timeout: 30000 });
  assert.match(await page.evaluate(() => getComputedStyle(document.getElementById("checks"), "::before").content), /News wait/);
  await page.evaluate(() => document.activeElement.blur());
  await page.waitForSelector("#checks:not(.held)");
  await send(ship.address, "/checks", { of: "strainer-port", check: "open_and_look", found: "back" });
  await page.context().close();
});

test("a long press is not lost while news come in", async () => {
  await send(ship.address, "/simulator", { order: "pace", pace: "120" });
  const page = await open(browser, ship.address, { size: "phone" });
  for (const held of [0, 100, 350, 700]) {
    await page.goto(ship.address);
    await page.waitForTimeout(600);
    await page.locator("#g1-name").scrollIntoViewIfNeeded();
    const { x, y, width, height } = await page.locator("#g1-name").boundingBox();
    await page.mouse.move(x + width / 2, y + height / 2);
    await page.mouse.down();
    await page.waitForTimeout(held);
    await page.mouse.up();
    await page.waitForURL("**/plant?part=**", { timeout: 3000 });
  }
  await send(ship.address, "/simulator", { order: "pace", pace: "1" });
  await page.context().close();
});

test("when the program is gone the page says so where one looks", async () => {
  const other = await launch("--pace", "1");
  const page = await open(browser, other.address, { size: "phone" });
  await page.goto(other.address);
  await page.evaluate(() => scrollTo(0, 1200));
  other.end();
  await page.waitForFunction(() => !document.getElementById("silent").hidden, null, { timeout: 10000 });
  assert.ok((await page.locator("#silent").boundingBox()).y >= 0, "it stands out of sight");
  assert.match(await page.evaluate(() => getComputedStyle(document.querySelector(".gauge .value")).textDecorationLine), /line-through/);
  await page.context().close();
});

test("without scripts the pages are true when they are loaded, and forms work", async () => {
  const page = await open(browser, ship.address, { size: "phone", scripts: false });
  await page.goto(`${ship.address}/causes`);
  await page.selectOption("#word", "main.hot");
  await page.click("text=It is there");
  await page.waitForURL("**/causes");
  await page.reload();
  assert.match(await page.textContent("#entered"), /Main: hot/);
  await page.click("text=Take everything back");
  await page.reload();
  assert.match(await page.textContent("#entered"), /Nothing yet/);
  await page.context().close();
});

test("a check is answered, and the odds move", async () => {
  const page = await open(browser, ship.address);
  await page.goto(`${ship.address}/plant?part=strainer-port`);
  const before = await page.textContent(".fails li >> nth=0");
  await page.click('form:has(input[value="strainer-port"]) >> button:has-text("Found this") >> nth=0');
  await page.waitForURL("**/causes");
  await until("the odds move", 30, async () => {
    await page.goto(`${ship.address}/plant?part=strainer-port`);
    return (await page.textContent(".fails li >> nth=0")) !== before;
  });
  await send(ship.address, "/cleared", {});
  await page.context().close();
});

test("what is counted on the page stands in its locker, and what cannot be is refused", async () => {
  const page = await open(browser, ship.address, { size: "phone", scripts: false });
  await page.goto(`${ship.address}/work/stores`);
  assert.match(await page.textContent("h1"), /below what is to be kept/);
  const impeller = () => page.textContent('li:has(b:text-is("impeller")) >> nth=-1');
  assert.match(await impeller(), /2 aboard/);
  await page.selectOption("#item", "impeller");
  await page.selectOption("#deed", "counted");
  await page.fill("#how", "7");
  await page.click("text=Write it down");
  await page.waitForURL("**/work/stores");
  assert.match(await impeller(), /7 aboard, keep 2/);
  await page.fill("#how", "7 L");
  await page.selectOption("#item", "impeller");
  await page.click("text=Write it down");
  assert.match(await page.textContent("main"), /counted in pieces.*Nothing was entered/s);
  await page.goto(`${ship.address}/work/stores`);
  await page.fill("#hours", "346");
  await page.fill("#days", "15");
  await page.selectOption("#least", "cost");
  await page.click("text=Work it out");
  await page.waitForURL("**hours=346**");
  assert.match(await page.textContent("h1"), /chance of lacking (a spare|any)/);
  assert.match(await page.textContent("#h-need ~ p >> nth=0"), /EUR, and no other list/);
  await page.goto(`${ship.address}/work/stores?hours=999&days=3`);
  assert.match(await page.textContent("main"), /do not fit into 3 days/);
  await page.context().close();
});

const LOADS = 9;

test("figures: start, weight, readiness, memory, delay", async (t) => {
  const ups = [ship.up];
  for (let k = 1; k < LOADS; k += 1) {
    const other = await launch("--pace", "1");
    ups.push(other.up);
    other.end();
  }
  assert.ok(Math.min(...ups) < 500, `up in ${ups} ms`);

  const page = await open(browser, ship.address, { size: "phone" });
  const client = await page.context().newCDPSession(page);
  await client.send("Network.enable");
  await client.send("Network.setCacheDisabled", { cacheDisabled: true });
  let bytes = 0;
  client.on("Network.loadingFinished", ({ encodedDataLength }) => { bytes += encodedDataLength; });
  // In a browser that is open: from asking for the page until it is parsed, style and script are in, and a tap is
  // answered. Whatever else runs on the machine only adds to it, so the least is ours.
  await page.goto(ship.address);
  await client.send("Emulation.setCPUThrottlingRate", { rate: 4 });
  const ready = {};
  for (const [name, path] of Object.entries(PAGES)) {
    const times = [];
    for (let k = 0; k < LOADS; k += 1) {
      bytes = 0;
      await page.goto(ship.address + path, { waitUntil: "load" });
      times.push(Math.round(await page.evaluate(() => performance.getEntriesByType("navigation")[0].domContentLoadedEventEnd)));
    }
    times.sort((a, b) => a - b);
    ready[name] = { kB: Math.round(bytes / 1000), least: times[0], middle: times[LOADS >> 1] };
  }
  await client.send("Emulation.setCPUThrottlingRate", { rate: 1 });

  // From an event in the loop to the element on the page: the way a reading goes too.
  await page.goto(`${ship.address}/causes`);
  await send(ship.address, "/cleared", {});
  await until("nothing is entered", 5, async () => /Nothing yet/.test(await page.textContent("#entered")));
  const delays = [];
  for (const there of ["yes", "no", "yes", "no", "back"]) {
    const words = { yes: /Main: hot\s/, no: /looked for/, back: /Nothing yet/ }[there].source;
    const change = page.evaluate((words) => new Promise((resolve) => {
      const list = document.getElementById("entered");
      const look = () => { if (new RegExp(words).test(list.textContent)) resolve(Date.now()); };
      new MutationObserver(look).observe(list, { childList: true, characterData: true, subtree: true });
    }), words);
    await new Promise((resolve) => setTimeout(resolve, 150));
    const sent = Date.now();
    await send(ship.address, "/words", { word: "main.hot", there });
    delays.push((await change) - sent);
  }
  const resident = Number(readFileSync(`/proc/${ship.child.pid}/status`, "utf8").match(/VmRSS:\s+(\d+)/)[1]) / 1000;
  t.diagnostic(`up in ${ups.map(Math.round).join(", ")} ms; ${Math.round(resident)} MB; event to page ${delays.join(", ")} ms`);
  t.diagnostic(JSON.stringify(ready));
  for (const [name, { kB, least }] of Object.entries(ready)) {
    assert.ok(kB < 150, `${name} weighs ${kB} kB`);
    // A tenth of a second of the page of ways is the model's: it asks what comes of every valve.
    assert.ok(least < (name === "ways" ? 350 : 200), `${name} is ready in ${least} ms at a quarter of the speed`);
  }
  assert.ok(resident < 80, `${resident} MB`);
  assert.ok(Math.max(...delays) < 300, `${delays} ms from an event to the page`);
  await page.context().close();
});

test("a part tells where it flows and how it is taken out; a part that is not there is said to be none", async () => {
  const page = await open(browser, ship.address, { size: "phone" });
  await page.goto(`${ship.address}/plant?part=strainer-port`);
  await page.click("text=Where it flows, and which valves shut it off");
  await page.waitForURL("**/plant/ways?part=strainer-port");
  const told = await page.textContent("main");
  for (const words of ["engine must be stopped", "Shut seacock-port", "Leave seacock-starboard shut", "is strained in strainer-port", "keeps coming", "Nothing is turned from here"]) {
    assert.ok(told.includes(words), words);
  }
  assert.ok((await page.locator(".band").count()) > 8, "the way is marked in the drawing");
  await page.goto(`${ship.address}/plant/ways?part=seacock-port`);
  assert.match(await page.textContent("main"), /If it is shut[^]*raw-pump turns and gets nothing/);
  for (const address of ["/plant/ways?part=nobody", "/plant/ways"]) {
    const answer = await page.goto(`${ship.address}${address}`);
    assert.equal(answer.status(), 404);
    assert.match(await page.textContent("main"), /There is no part/);
  }
  await page.close();
});
