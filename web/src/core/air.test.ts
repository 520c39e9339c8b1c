import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  barOf, changesOf, clock, colder, curesOf, decades, flameEdits, hardly, heightOf, hoursEdits, hoursOf, labelLeft, less, levels, lineOf, maskBars, pointAt, rowsOf, runsOf,
  share, size, sorted, ticksOf, two, wait, type Air, type AirFinding, type AirOption, type AirPoint, type AirTask, type Span,
} from "./air";
import type { Units } from "./units";

// The same table holds the program: internal/study/roomair/say_test.go.
interface Said { [key: string]: any; reads: string }
const say: { [part: string]: Said[] } = JSON.parse(readFileSync(new URL("../../../internal/study/roomair/testdata/say.json", import.meta.url), "utf8"));

describe("what is said", () => {
  it.each(say.less!)("a ratio: $reads", (r) => expect(less(r as unknown as Span)).toBe(r.reads));
  it.each(say.share!)("a share: $reads", (r) => expect(share(r.share)).toBe(r.reads));
  it.each(say.wait!)("a wait: $reads", (r) => expect(wait(r.s)).toBe(r.reads));
  it.each(say.size!)("a size: $reads", (r) => expect(size(r.m3s, r.system as Units)).toBe(r.reads));
  it.each(say.colder!)("a difference of temperature: $reads", (r) => expect(colder(r.k, r.system as Units)).toBe(r.reads));
  it.each(say.two!)("two figures: $reads", (r) => expect(two(r.quantity, r.v, r.system as Units)).toBe(r.reads));
  it.each(say.levels!)("a level: $reads", (r) => expect(levels({ low_kgm3: r.low, high_kgm3: r.high }, r.system as Units)).toBe(r.reads));
  it("names what is less, and than when", () => expect(less({ low: 1.18, median: 1.41, high: 1.73 }, " dust", "usually")).toBe("41 % more dust (18 to 73)"));
  it("tells moments", () => expect([0, 600, 3600, 7800, 5400].map(clock)).toEqual(["0 min", "10 min", "1 h", "2 h 10 min", "1 h 30 min"]));
});

const point = (from: number, to: number, running = "", there = true, median = 1e-7): AirPoint => ({
  from_s: from, to_s: to, there, running: running || undefined, respirable: { low_kgm3: median / 4, median_kgm3: median, high_kgm3: median * 4 },
});
const task = (name: string, mask: string, chore = false) => ({ name, mask, chore }) as unknown as AirTask;
const day = [
  point(0, 600, "saw"), point(600, 900, "saw", true, 2e-7), point(900, 1200), point(1200, 1800, "sander", true, 8e-7), point(1800, 2100),
  point(2100, 2700, "sweeping dry", true, 9e-7), point(2700, 2900, "emptying the bin"), point(2900, 3500, "", false, 1e-12),
];
const tasks = [task("saw", "not for this alone"), task("sander", "better"), task("sweeping dry", "yes", true), task("emptying the bin", "yes", true)];

describe("the day", () => {
  const runs = runsOf(day, tasks);
  it("is cut where something else goes on", () => {
    expect(runs.map((r) => [r.kind, r.name, r.from_s, r.to_s, r.number])).toEqual([
      ["machine", "saw", 0, 900, 1], ["pause", "", 900, 1200, 0], ["machine", "sander", 1200, 1800, 2], ["pause", "", 1800, 2100, 0],
      ["chore", "sweeping dry", 2100, 2700, 3], ["chore", "emptying the bin", 2700, 2900, 4], ["away", "", 2900, 3500, 0],
    ]);
  });
  it("keeps every second of it", () => {
    expect(runs[0]!.from_s).toBe(0);
    runs.slice(1).forEach((r, i) => expect(r.from_s).toBe(runs[i]!.to_s));
    expect(runs.flatMap((r) => r.points)).toEqual(day);
  });
  it("has a mask on through pauses, and never where none is due", () => {
    expect(maskBars(runs)).toEqual([{ from_s: 1200, to_s: 1800, mask: "better" }, { from_s: 2100, to_s: 2900, mask: "yes" }]);
    const two = runsOf(day, [task("saw", "better"), ...tasks.slice(1)]);
    expect(maskBars(two)[0]).toEqual({ from_s: 0, to_s: 1800, mask: "better" });
  });
  it("does not bridge a task without one", () => {
    const r = runsOf([point(0, 1, "sander"), point(1, 2, "saw"), point(2, 3, "sander")], tasks);
    expect(maskBars(r)).toHaveLength(2);
  });
  it("stands on powers of ten, and what is far below lies on the ground", () => {
    const d = decades(day);
    expect([d.bottom, d.top]).toEqual([-8, -5]);
    expect(ticksOf(d).map((v) => Math.round(Math.log10(v)))).toEqual([-8, -7, -6, -5]);
    expect(heightOf(1e-5, d)).toBe(1);
    expect(heightOf(1e-9, d)).toBeCloseTo(-1 / 3);
    expect(heightOf(0, d)).toBe(-1);
    expect(heightOf(1e-7, d)).toBeCloseTo(1 / 3);
  });
  it("draws means in the middle of their time, and reaches the ends", () => {
    const r = runsOf([point(0, 600, "saw", true, 1), point(600, 1200, "saw", true, 2), point(1200, 1500, "saw", true, 3)], tasks)[0]!;
    expect(lineOf(r, "median_kgm3")).toEqual([[0, 1], [900, 2], [1500, 3]]);
    expect(lineOf(runs[2]!, "median_kgm3")).toEqual([[1200, 8e-7], [1800, 8e-7]]);
  });
  it("finds the point of a moment", () => {
    expect(pointAt(day, 0)).toBe(day[0]);
    expect(pointAt(day, 600)).toBe(day[1]);
    expect(pointAt(day, 1e9)).toBe(day.at(-1));
    expect(pointAt([], 0)).toBeUndefined();
  });
  it("marks few hours", () => {
    expect(hoursOf(10 * 3600)).toEqual([0, 2, 4, 6, 8, 10].map((h) => h * 3600));
    expect(hoursOf(3.2 * 3600)).toEqual([0, 0.5, 1, 1.5, 2, 2.5, 3].map((h) => h * 3600));
    for (let h = 1; h < 40; h++) expect(hoursOf(h * 3600).length).toBeLessThanOrEqual(10);
  });
  it("writes no name over another", () => {
    const items = [{ at: 10, width: 60 }, { at: 40, width: 60 }, { at: 45, width: 60 }, { at: 50, width: 60 }, { at: 200, width: 60 }];
    const rows = rowsOf(items, 240);
    expect(rows).toEqual([0, 1, 2, -1, 0]);
    for (let i = 0; i < items.length; i++)
      for (let j = 0; j < i; j++)
        if (rows[i]! >= 0 && rows[i] === rows[j]) expect(labelLeft(items[i]!, 240)).toBeGreaterThanOrEqual(labelLeft(items[j]!, 240) + items[j]!.width);
    expect(labelLeft({ at: 235, width: 60 }, 240)).toBe(180);
  });
});

const option = (sentence: string, median: number, free = false, withheld = "") =>
  ({ sentence, free, withheld, inhalable_of_today: { low: median - 0.1, median, high: median + 0.1 }, respirable_of_today: { low: 0, median, high: 1 } }) as AirOption;

describe("what helps", () => {
  it("stands free first, then by what it spares, held-back last", () => {
    const all = [option("fan", 0.5, false, "a flame"), option("filter", 0.7), option("pickup", 0.6), option("sweep", 0.9, true), option("door", 0.8, true), option("nothing", 0.99)];
    const { shown, little } = sorted(all);
    expect(shown.map((o) => o.sentence)).toEqual(["door", "sweep", "pickup", "filter", "fan"]);
    expect(little.map((o) => o.sentence)).toEqual(["nothing"]);
    expect(all[0]!.sentence).toBe("fan"); // the answer itself is left as it was
  });
  it("hardly helps only where the finest is as much too", () => {
    const o = option("x", 0.99);
    expect(hardly(o)).toBe(true);
    expect(hardly({ ...o, respirable_of_today: { low: 0.5, median: 0.8, high: 1 } })).toBe(false);
  });
  it("draws bars that end a quarter beyond today", () => {
    expect(barOf({ low: 0.5, median: 1, high: 2 })).toEqual({ low: 0.4, median: 0.8, high: 1, beyond: true });
  });
  it("cures by what the file can say", () => {
    const f = { remedies: [{ edits: [] }, { edits: [{ set: "a", to: "b" }] }] } as unknown as AirFinding;
    expect(curesOf(f)).toHaveLength(1);
    expect(curesOf({} as AirFinding)).toEqual([]);
  });
});

it("tells what another answer says differently, and nothing else", () => {
  const of = (median: number, wait_s: number, mask: string) =>
    ({
      twa_8h: { inhalable: { low_kgm3: median / 4, high_kgm3: median * 4 }, respirable: { low_kgm3: 1e-8, high_kgm3: 2e-8 } },
      clearing: { stay_out: { median_s: 0, nine_in_ten_s: wait_s } },
      tasks: [task("saw", mask)],
    }) as unknown as Air;
  expect(changesOf(of(4e-7, 3600, "yes"), of(4e-7, 3600, "yes"), "us")).toEqual([]);
  expect(changesOf(of(4e-7, 21600, "yes"), of(2e-7, 3600, "better"), "us").map((c) => [c.what, c.before, c.after])).toEqual([
    ["day", "0.1 to 1.6 mg/m³", "0.05 to 0.8 mg/m³"], ["wait", "6 h", "1 h"], ["mask", "yes", "better"],
  ]);
});

describe("what is written", () => {
  it("says a flame as the file does", () => {
    expect(flameEdits("none", "heater")).toEqual([{ set: "room/flames", to: "none" }]);
    expect(flameEdits("natural", " water heater ")).toEqual([{ set: "room/flames", to: { "water heater": { draught: "natural" } } }]);
    expect(flameEdits("unknown", "stove")).toEqual([{ set: "room/flames", to: { stove: { draught: "unknown" } } }]); // nothing is made up
    expect(flameEdits("sealed", "")).toEqual([{ set: "room/flames", to: { flame: { draught: "sealed" } } }]);
  });
  it("writes all hours where none stand there, else only those that differ", () => {
    expect(hoursEdits({ saw: "3", sander: "1,5", lathe: " " }, {}, true)).toEqual([{ set: "routine/hours per week", to: { saw: "3 h", sander: "1.5 h" } }]);
    expect(hoursEdits({ saw: "3 h", sander: "90 min" }, { saw: "3 h", sander: "1 h" }, false)).toEqual([{ set: "routine/hours per week/sander", to: "90 min" }]);
    expect(hoursEdits({ saw: "" }, {}, true)).toEqual([]);
  });
});
