// The demonstration as a new user starts it, and a browser to look at it with.
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

export const SIZES = { phone: [360, 740], tablet: [820, 1180], desktop: [1440, 900] };
export const THEMES = ["day", "dark", "night"];

const program = process.env.BEDPLATE ?? new URL("../target/release/bedplate", import.meta.url).pathname;
const browsers = ["/usr/bin/chromium", "/usr/bin/chromium-browser"];

// Starts the demonstration; resolves once its first page is there.
export async function launch(...options) {
  const started = performance.now();
  const child = spawn(program, ["demo", "--port", "0", ...options], { stdio: ["ignore", "pipe", "inherit"] });
  const address = await new Promise((resolve, reject) => {
    let said = "";
    child.stdout.on("data", (text) => {
      said += text;
      const found = said.match(/http:\/\/[0-9.:]+/);
      if (found) resolve(found[0]);
    });
    child.on("error", reject);
    child.on("exit", (code) => reject(new Error(`bedplate demo ended with ${code}: ${said}`)));
  });
  await (await fetch(address)).text();
  return { address, child, up: performance.now() - started, end: () => child.kill() };
}

export async function browse() {
  const executablePath = browsers.find(existsSync);
  if (!executablePath) throw new Error("there is no chromium: apt-get install chromium");
  return chromium.launch({ executablePath, args: ["--no-sandbox", "--disable-background-networking"] });
}

// A page of its own: size, theme, scripts or not.
export async function open(browser, address, { size = "desktop", theme = "day", scripts = true } = {}) {
  const [width, height] = SIZES[size];
  const context = await browser.newContext({ viewport: { width, height }, javaScriptEnabled: scripts, hasTouch: size === "phone" });
  await context.addCookies([{ name: "theme", value: theme, url: address }]);
  const page = await context.newPage();
  page.faults = [];
  page.on("console", (message) => { if (message.type() === "error") page.faults.push(message.text()); });
  page.on("pageerror", (error) => page.faults.push(error.message));
  page.on("request", (request) => { if (!request.url().startsWith(address)) page.faults.push(`asks ${request.url()}`); });
  return page;
}

// Sends a form the way a page does.
export async function send(address, path, fields) {
  const answer = await fetch(address + path, {
    method: "POST", redirect: "manual", headers: { Origin: address }, body: new URLSearchParams(fields),
  });
  if (answer.status !== 303) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
}

// The sentence of a vessel in which nothing is found.
export const isWell = (sentence) => /All is well|Nothing found yet/.test(sentence);

export const scratch = () => mkdtempSync(join(tmpdir(), "bedplate-"));

// Waits until something is so, looking ten times a second.
export async function until(what, seconds, so) {
  const end = performance.now() + 1000 * seconds;
  for (;;) {
    const value = await so();
    if (value) return value;
    if (performance.now() > end) throw new Error(`not within ${seconds} s: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}
