// How a page is looked at: its picture is kept, nothing sticks out, targets are thumb-sized, and axe finds nothing.
import assert from "node:assert/strict";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { test } from "node:test";
import { SIZES, THEMES, open } from "./ship.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
export const shots = new URL("screenshots/", import.meta.url).pathname;
mkdirSync(shots, { recursive: true });

// What sticks out of the window sideways, but for what scrolls of itself.
export const sticksOut = (page) => page.evaluate(() => [...document.querySelectorAll("body *")]
  .filter((it) => !it.closest(".scroll, svg, .skip"))
  .filter((it) => it.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
  .map((it) => it.outerHTML.slice(0, 120)));

const tooSmall = (page, targets) => page.evaluate((targets) => [...document.querySelectorAll(targets)]
  .filter((it) => it.getClientRects().length && it.getBoundingClientRect().height < 43.5)
  .map((it) => it.outerHTML.slice(0, 120)), targets);

// The page that is open, under this name; `targets` is what a thumb must find, where that is asked.
export async function looksRight(page, name, { size, theme, targets }) {
  await page.screenshot({ path: `${shots}${name}-${size}-${theme}.png`, fullPage: true });
  assert.deepEqual(await sticksOut(page), [], `${name} sticks out`);
  if (targets) assert.deepEqual(await tooSmall(page, `button, select, input:not([type=hidden]), summary, ${targets}`), [], `${name}: too small for a thumb`);
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => window.axe.run());
  const told = violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).slice(0, 3).join(" | ")}`);
  assert.deepEqual(told, [], name);
}

// A test for each size and theme: every page is opened, prepared, and looks right; by day at twice the text too, if asked.
// `at` tells browser and address, which are there once the tests run; `of` begins the name of each test.
export function everywhere(pages, { at, targets, prepare = async () => {}, doubled = false, of = "" }) {
  for (const size of Object.keys(SIZES)) {
    for (const theme of THEMES) {
      test(`${of}${size}, ${theme}: no violations, nothing sticks out, targets are thumb-sized`, async () => {
        const { browser, address } = at();
        const page = await open(browser, address, { size, theme });
        for (const [name, path] of Object.entries(pages)) {
          await page.goto(address + path);
          await prepare(page, name);
          await looksRight(page, name, { size, theme, targets });
          if (doubled && theme === "day") {
            await page.evaluate(() => { document.documentElement.style.fontSize = "200%"; });
            assert.deepEqual(await sticksOut(page), [], `${name} sticks out at 200 %`);
          }
        }
        assert.deepEqual(page.faults, []);
        await page.context().close();
      });
    }
  }
}
