// Our schematic against a general layered layout of the same graph: pieces, sizes and ports are the same for both.
//
// BEDPLATE=path/to/bedplate node --test elk.test.mjs
//
// Sizes are not compared: ours leaves room for labels and gauges, which the other is not asked to place.
//
// A net of more than two ports is handed over as the pairs that we draw, all with the same ports, and counted as one
// line on both sides: where lines of a net lie on each other they count once, and they never cross each other.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { after, test } from "node:test";
import ELK from "elkjs";

const BEDPLATE = process.env.BEDPLATE;
const VESSELS = fileURLToPath(new URL("../vessels/", import.meta.url));
const SIDES = { left: "WEST", right: "EAST", top: "NORTH", bottom: "SOUTH" };
// What the other layout may decide about ports: nothing; their place on their side; their order; everything, which is
// more than a symbol allows, so that this one is shown and not held against us.
const RULES = ["FIXED_POS", "FIXED_ORDER", "FIXED_SIDE", "FREE"];
// Settings that are tried; of each measure its best counts, even if no one sheet has both.
const BREAKING = ["GREEDY", "DEPTH_FIRST", "GREEDY_MODEL_ORDER"];
const PLACING = ["NETWORK_SIMPLEX", "BRANDES_KOEPF"];
// We may be this much worse.
const SLACK = 1.2;

const elk = new ELK();
const rows = [];

function drawn(vessel) {
  const options = { encoding: "utf8", maxBuffer: 1 << 26, stdio: ["ignore", "pipe", "ignore"] };
  return JSON.parse(execFileSync(BEDPLATE, ["draw", VESSELS + vessel, "--json"], options));
}

/** Crossings of lines of different nets, and corners, each counted once; lines are lists of points. */
function count(lines) {
  const corners = new Set();
  const flat = [];
  const upright = [];
  for (const { net, points } of lines) {
    const ways = points.slice(1).map((to, k) => [points[k], to]).filter(([a, b]) => a.x !== b.x || a.y !== b.y);
    for (const [a, b] of ways) {
      assert.ok(Math.abs(a.x - b.x) < 1e-6 || Math.abs(a.y - b.y) < 1e-6, "a line is neither flat nor upright");
      if (Math.abs(a.y - b.y) < 1e-6) flat.push({ net, y: a.y, from: Math.min(a.x, b.x), to: Math.max(a.x, b.x) });
      else upright.push({ net, x: a.x, from: Math.min(a.y, b.y), to: Math.max(a.y, b.y) });
    }
    for (let k = 1; k < ways.length; k++) {
      const [a, b] = ways[k - 1];
      const [, c] = ways[k];
      const turns = (Math.abs(a.y - b.y) < 1e-6) !== (Math.abs(b.y - c.y) < 1e-6);
      if (turns) corners.add(`${net} ${b.x.toFixed(2)} ${b.y.toFixed(2)}`);
    }
  }
  const crossings = new Set();
  for (const f of flat) {
    for (const u of upright) {
      const inside = f.from < u.x && u.x < f.to && u.from < f.y && f.y < u.to;
      if (f.net !== u.net && inside) crossings.add(`${u.x.toFixed(2)} ${f.y.toFixed(2)}`);
    }
  }
  return { crossings: crossings.size, bends: corners.size };
}

function graph(drawing, rule, breaking, placing) {
  const name = (part, port) => `${part}/${port}`;
  return {
    id: "plant",
    layoutOptions: {
      "elk.algorithm": "layered",
      "elk.direction": "RIGHT",
      "elk.edgeRouting": "ORTHOGONAL",
      "elk.layered.thoroughness": "50",
      "elk.layered.cycleBreaking.strategy": breaking,
      "elk.layered.nodePlacement.strategy": placing,
    },
    children: drawing.parts.map((part) => ({
      id: part.part,
      width: part.room.w,
      height: part.room.h,
      layoutOptions: { "elk.portConstraints": rule },
      ports: part.ports.map((port) => ({
        id: name(part.part, port.port),
        x: port.at.x - part.room.x,
        y: port.at.y - part.room.y,
        width: 0,
        height: 0,
        layoutOptions: { "elk.port.side": SIDES[port.side] },
      })),
    })),
    edges: drawing.runs.map((run, k) => ({ id: `${k}`, sources: [name(...run.from)], targets: [name(...run.to)] })),
  };
}

async function laidBy(drawing, rule, breaking, placing) {
  const laid = await elk.layout(graph(drawing, rule, breaking, placing));
  const lines = laid.edges.flatMap((edge) =>
    edge.sections.map((section) => ({
      net: drawing.runs[Number(edge.id)].net,
      points: [section.startPoint, ...(section.bendPoints ?? []), section.endPoint],
    })),
  );
  return count(lines);
}

async function theirs(drawing, rule) {
  const all = [];
  for (const breaking of BREAKING) {
    for (const placing of PLACING) all.push(await laidBy(drawing, rule, breaking, placing));
  }
  const least = (what) => Math.min(...all.map((counted) => counted[what]));
  return { crossings: least("crossings"), bends: least("bends") };
}

test("the program under test is named", () => {
  assert.ok(BEDPLATE, "set BEDPLATE to the built program");
});

for (const vessel of BEDPLATE ? readdirSync(VESSELS) : []) {
  test(`${vessel} is drawn no worse than by a general layout`, async () => {
    const drawing = drawn(vessel);
    assert.ok(drawing.runs.length > 10, "a plant has pipes");
    const ours = count(drawing.runs);
    assert.deepEqual(ours, { crossings: drawing.crossings, bends: drawing.bends }, "the program counts as this does");
    rows.push({ vessel, layout: "ours", ...ours });
    for (const rule of RULES) {
      const other = await theirs(drawing, rule);
      rows.push({ vessel, layout: `elk ${rule}`, ...other });
      for (const what of rule === "FREE" ? [] : ["crossings", "bends"]) {
        const most = SLACK * other[what];
        assert.ok(ours[what] <= most, `${vessel}, ${rule}: ${ours[what]} ${what} against ${other[what]}`);
      }
    }
  });
}

test("lines are counted as they are seen", () => {
  const line = (net, ...points) => ({ net, points: points.map(([x, y]) => ({ x, y })) });
  const flat = line(1, [0, 5], [10, 5]);
  assert.deepEqual(count([flat, line(2, [5, 0], [5, 10])]), { crossings: 1, bends: 0 });
  assert.deepEqual(count([flat, line(1, [5, 0], [5, 10])]), { crossings: 0, bends: 0 });
  assert.deepEqual(count([line(1, [0, 0], [5, 0], [5, 5]), line(1, [0, 0], [5, 0], [5, 9])]), { crossings: 0, bends: 1 });
  assert.deepEqual(count([flat, line(2, [5, 5], [5, 10])]), { crossings: 0, bends: 0 });
});

after(() => console.table(rows));
