// The drawing as a browser sets it: letters as wide as they really are, and what axe says of it.
//
// BEDPLATE=path/to/bedplate [CHROMIUM=path/to/chromium] node --test drawing.test.mjs
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";

const BEDPLATE = process.env.BEDPLATE;
const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
const VESSELS = fileURLToPath(new URL("../vessels/", import.meta.url));
// The face of the style, and the widest that a machine without it falls back on.
const USUAL = "its own face";
const FACES = [USUAL, '"DejaVu Sans"'];
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

let browser;
before(async () => {
  assert.ok(BEDPLATE, "set BEDPLATE to the built program");
  browser = await chromium.launch({
    executablePath: CHROMIUM,
    args: ["--no-sandbox", "--disable-background-networking"],
  });
});
after(() => browser?.close());

function drawn(vessel) {
  const options = { encoding: "utf8", maxBuffer: 1 << 26, stdio: ["ignore", "pipe", "ignore"] };
  return execFileSync(BEDPLATE, ["draw", VESSELS + vessel], options);
}

/** Texts that lie on each other, on a symbol or on a pipe, as they are set. */
function overlaps() {
  const box = (node) => {
    const { x, y, width, height } = node.getBoundingClientRect();
    return { x, y, right: x + width, bottom: y + height };
  };
  const meet = (a, b) => a.x < b.right - 0.5 && b.x < a.right - 0.5 && a.y < b.bottom - 0.5 && b.y < a.bottom - 0.5;
  const all = (selector) => [...document.querySelectorAll(selector)].map((node) => ({ node, box: box(node) }));
  const texts = all("text:not(.inside)");
  const symbols = all(".gauge circle.outline, .part .outline, .part .line, .part .solid");
  const found = [];
  texts.forEach(({ node, box }, nth) => {
    const others = texts.slice(nth + 1).filter((other) => meet(box, other.box));
    found.push(...others.map((other) => `${node.textContent} on ${other.node.textContent}`));
    // The name of a block stands inside it.
    const apart = symbols.filter((s) => s.node.tagName !== "rect" || !s.node.parentNode.contains(node));
    found.push(...apart.filter((s) => meet(box, s.box)).map((s) => `${node.textContent} on a symbol`));
    const { width, height } = document.documentElement.getBoundingClientRect();
    if (box.x < 0 || box.y < 0 || box.right > width || box.bottom > height) found.push(`${node.textContent} off the page`);
  });
  return { count: texts.length, found };
}

for (const vessel of readdirSync(VESSELS)) {
  for (const face of FACES) {
    test(`${vessel}: no text lies on anything as it is set in ${face}`, async () => {
      const page = await browser.newPage({ viewport: { width: 1600, height: 1200 } });
      await page.setContent(`<!doctype html><html lang="en"><title>d</title><main>${drawn(vessel)}</main></html>`);
      if (face !== USUAL) await page.addStyleTag({ content: `.schematic { font-family: ${face} !important }` });
      const { count, found } = await page.evaluate(overlaps);
      assert.ok(count > 20, "a drawing has words");
      assert.deepEqual(found, []);
      await page.addStyleTag({ content: ".schematic { font-size: 24px !important }" });
      const large = await page.evaluate(overlaps);
      assert.ok(large.found.length > 0, "letters twice as large would be noticed");
      await page.close();
    });
  }

  for (const colorScheme of ["light", "dark"]) {
    test(`${vessel}: axe finds nothing, ${colorScheme}`, async () => {
      const page = await browser.newPage({ colorScheme });
      await page.setContent(`<!doctype html><html lang="en"><title>d</title><main><h1>d</h1>${drawn(vessel)}</main></html>`);
      await page.evaluate(AXE);
      const { violations } = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag22aa"] }));
      assert.deepEqual(violations.map((v) => `${v.id}: ${v.nodes[0].html}`), []);
      await page.close();
    });
  }
}
