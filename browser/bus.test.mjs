// Frames of our own making, as another decoder reads them: what it tells of a field must be what we read.
//
// BEDPLATE=path/to/bedplate node --test bus.test.mjs
//
// It is the one decoder of others that puts split fast packets together. It rounds to as many decimals as it prints; that
// much may differ, and no more.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { test } from "node:test";
import canboat from "@canboat/canboatjs";

const BEDPLATE = process.env.BEDPLATE;
const FRAMES = fileURLToPath(new URL("../crates/bus/tests/frames.log", import.meta.url));

// What it tells in units other than ours: one of theirs in ours.
const UNITS = { rpm: Math.PI / 30, "%": 0.01, "L/h": 1e-3 / 3600, L: 1e-3, kWh: 1 / 3.6e6, deg: Math.PI / 180 };
// Where it is wrong: an exponent of Peukert is never below 1, and it leaves out the 1 to which the field adds. The other
// reader of the same database has it.
const ARGUED = ["peukertExponent"];
const TABLE = readFileSync(fileURLToPath(new URL("../crates/bus/messages.toml", import.meta.url)), "utf8");

/** Unit of a field, by message and name, read from the table's text. */
function units() {
  const units = new Map();
  let pgn;
  for (const line of TABLE.split("\n")) {
    pgn = line.match(/^pgn = (\d+)/)?.[1] ?? pgn;
    const field = line.match(/^ {2}\{ id = "([^"]+)"/)?.[1];
    if (field) units.set(`${pgn} ${field}`, line.match(/unit = "([^"]+)"/)?.[1] ?? "");
  }
  return units;
}

const kebab = (name) => name.replace(/[A-Z]/g, (letter) => "-" + letter.toLowerCase());

test("what another decoder reads of our frames is what we read", () => {
  const out = execFileSync(BEDPLATE, ["decode", "--json", FRAMES], { encoding: "utf8", maxBuffer: 1 << 26 });
  const ours = new Map();
  for (const line of out.trim().split("\n").slice(0, -1)) {
    const told = JSON.parse(line);
    assert.ok(!told.fault, line);
    ours.set(`${told.line} ${told.field}`, told);
  }
  const unit = units();
  const decoder = new canboat.FromPgn({ useCamel: true, returnNulls: true, resolveEnums: false });
  decoder.on("error", () => {});
  decoder.on("warning", () => {});
  let compared = 0;
  const wrong = [];
  readFileSync(FRAMES, "utf8").trim().split("\n").forEach((line, index) => {
    const message = decoder.parseString(line);
    if (!message || message.pgn < 126000) return;
    for (const [name, theirs] of Object.entries(message.fields)) {
      const told = ours.get(`${index + 1} ${kebab(name)}`);
      // Dates and times come as text, flags as lists; where they stop at "none", a choice keeps its number.
      if (!told || typeof theirs === "string" || Array.isArray(theirs) || ARGUED.includes(name)) continue;
      compared += 1;
      if (told.choice !== undefined) {
        if (theirs !== null && theirs !== told.choice) wrong.push(`${line}: ${name} ${told.choice} here, ${theirs} there`);
        continue;
      }
      if (theirs === null ? told.absent !== undefined : told.value !== undefined) {
        if (theirs === null) continue;
        const factor = UNITS[unit.get(`${message.pgn} ${kebab(name)}`)] ?? 1;
        const value = told.value / factor;
        const decimals = String(theirs).split(".")[1]?.length ?? 0;
        const near = Math.abs(value - theirs) <= Math.max(0.51 * 10 ** -decimals, Math.abs(theirs) * 1e-9);
        if (near) continue;
      }
      wrong.push(`${line}: ${message.pgn} ${name} ${JSON.stringify(told.value ?? told.absent)} here, ${theirs} there`);
    }
  });
  console.log(`# ${compared} values compared`);
  assert.deepEqual(wrong, []);
  assert.ok(compared > 500, `only ${compared} values were compared`);
});
