// A real vessel: begun, served, fed over TCP; seen on a phone and a desk in every theme, with her wires and her token.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { appendFileSync, readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { networkInterfaces } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browse, open, scratch, until } from "./ship.mjs";
import { everywhere } from "./seen.mjs";

const program = process.env.BEDPLATE ?? new URL("../target/release/bedplate", import.meta.url).pathname;
const folder = join(scratch(), "periwinkle");

const sentence = (text) => `$${text}*${[...text].reduce((sum, c) => sum ^ c.charCodeAt(0), 0).toString(16).toUpperCase().padStart(2, "0")}\r\n`;
const LINES = ["IIXDR,C,78.5,C,Engine#0", "IIXDR,P,345000,P,Oil#0", "IIRPM,E,1,1900,0,A", "IIMTW,16.5,C"].map(sentence).join("");

let gateway, child, address, browser, token;
before(async () => {
  gateway = createServer((socket) => {
    const speaking = setInterval(() => socket.write(LINES), 200);
    for (const end of ["close", "error"]) socket.on(end, () => clearInterval(speaking));
  });
  await new Promise((resolve) => gateway.listen(0, "127.0.0.1", resolve));
  execFileSync(program, ["new", folder, "--layout", "wet-exhaust", "--name", "Periwinkle", "--power", "60 kW", "--speed", "2400 rpm"]);
  const vessel = join(folder, "vessel.toml");
  const heard = { coolant: "XDR Engine instance 0 kind C", speed: "RPM speed instance 1 kind E", "oil-pressure": "XDR Oil instance 0 kind P" };
  const text = Object.entries(heard).reduce((text, [gauge, value]) => text.replace(`[gauge.${gauge}]\n`, `[gauge.${gauge}]\nheard = "${value}"\n`), readFileSync(vessel, "utf8"));
  writeFileSync(vessel, text);
  appendFileSync(join(folder, "wires.toml"), `\n[[wire]]\nname = "engine bus"\nfrom = "tcp:127.0.0.1:${gateway.address().port}"\n\n[[wire]]\nname = "depth bus"\nfrom = "serial:/dev/no-such-line@4800"\n`);
  child = spawn(program, ["serve", folder, "--listen", "0.0.0.0:0"], { stdio: ["ignore", "pipe", "inherit"] });
  address = await new Promise((resolve, reject) => {
    let said = "";
    child.stdout.on("data", (text) => {
      said += text;
      const found = said.match(/http:\/\/127.0.0.1:[0-9]+/);
      if (found) resolve(found[0]);
    });
    child.on("exit", (code) => reject(new Error(`bedplate serve ended with ${code}: ${said}`)));
  });
  token = readFileSync(join(folder, "token"), "utf8").trim();
  browser = await browse();
});
after(async () => { await browser?.close(); child?.kill(); gateway?.close(); });

test("a reading from the bus stands on Now, and comes in while one looks", async () => {
  for (const size of ["phone", "desktop"]) {
    const page = await open(browser, address, { size });
    await page.goto(address);
    const coolant = page.locator(".gauge", { has: page.getByRole("link", { name: "Coolant", exact: true }) });
    await until("the coolant is read", 20, async () => /^7[89]/.test((await coolant.locator(".value b").textContent()).trim()));
    assert.match(await coolant.locator(".value").textContent(), /now/);
    assert.equal(await page.locator(".simulated").count(), 0, "nothing is simulated");
    assert.match(await page.textContent("#status"), /depth bus silent since/);
    assert.deepEqual(page.faults, []);
    await page.context().close();
  }
});

const heard = async (page, name) => {
  if (name === "wires") await page.waitForFunction(() => /heard \d+ s ago/.test(document.body.textContent));
};
everywhere({ "served-now": "/", wires: "/wires", token: "/token" }, { at: () => ({ browser, address }), prepare: heard, of: "wires and token, " });

test("what is heard and is no gauge's stands there to be pasted", async () => {
  const page = await open(browser, address);
  await page.goto(address + "/wires");
  assert.match(await page.textContent("pre"), /heard = "MTW temperature from II"\s+# 16\.5 °C/);
  await page.context().close();
});

test("a change wants the token once, and then no more", async () => {
  const here = Object.values(networkInterfaces()).flat().find((it) => it.family === "IPv4" && !it.internal);
  const from = here ? address.replace("127.0.0.1", here.address) : address;
  const page = await open(browser, from, { size: "phone" });
  await page.goto(from + "/causes");
  const clear = () => page.evaluate(() => {
    const form = Object.assign(document.createElement("form"), { method: "post", action: "/cleared" });
    document.body.append(form);
    form.submit();
  });
  await Promise.all([page.waitForNavigation(), clear()]);
  assert.match(await page.textContent("main"), /this device has not shown the token yet/);
  await page.fill("#token", "not the token");
  await page.click("text=Show it");
  assert.match(await page.textContent("main"), /That is not the token/);
  await page.fill("#token", token.toUpperCase().replaceAll("-", " "));
  await page.click("text=Show it");
  await page.goto(from + "/causes");
  await Promise.all([page.waitForNavigation(), clear()]);
  assert.match(page.url(), /\/causes$/);
  const kept = (await page.context().cookies()).find((cookie) => cookie.name === "token");
  assert.deepEqual([kept.httpOnly, kept.sameSite], [true, "Strict"]);
  assert.equal(await page.evaluate(() => document.cookie.includes("token")), false, "no script sees it");
  await page.context().close();
});
