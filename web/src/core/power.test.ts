import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  about, asTogether, bars, because, chanceWords, circuitEdits, costWords, freshLetter, loadEdits, namesIn, pathOf, placesFor, planEdits, plugEdit, scaleOf, segments, setOf, shiftsOf, whenWords,
  wholePower, withUnit, type Held, type Load, type Power,
} from "./power";

const load = (name: string, more: Partial<Load> = {}): Load => ({
  name, sort: "machine", circuit: "A", outlet: "wall", marked_a: 10, how: "its plate", rated_a: 10, rated_by: "its plate", idle_a: 4, cut_a: 6.5, full_a: 10, start_a: 60,
  start_lasts_s: 0.6, known: true, ...more,
});
const held = (more: Partial<Held> = {}): Held => ({
  circuit: "A", verdict: "trips", rating_a: 15, idle_a: 9, cut_a: 11.5, full_a: 23, chance_share: 0.7, full_chance_share: 0.9, at_idle: {}, at_cut: {},
  at_full: { may_s: 16, must_s: 280 },
  loads: [
    { name: "saw", idle_a: 4, cut_a: 6.5, full_a: 10 },
    { name: "planer", idle_a: 5, cut_a: 6, full_a: 12 },
    { name: "lamp", idle_a: 1, cut_a: 1, full_a: 1 },
  ],
  ...more,
});
const shop = (more: Partial<Power> = {}): Power =>
  wholePower({
    shop: "s", family: "us", all_circuits_a: 0, energy: { heat_w: 0, high_j: 0, low_j: 0, week_j: 0, rows: [], left_out: [] },
    assignment: { outcome: "all hold", moves: [{ load: "saw", from: "wall", to: "post", to_circuit: "B" }], fewest: true, left: 0, of: 2, steps: 3 },
    circuits: [
      { name: "A", rating_a: 15, voltage_v: 120, known: true, drop_share: 0, worst: held(), worst_set: "saw and planer" },
      { name: "B", rating_a: 20, voltage_v: 120, known: true, drop_share: 0, worst: held({ circuit: "B", loads: [] }), worst_set: "saw" },
    ],
    loads: [load("saw"), load("planer"), load("lamp", { sort: "other load", works: "by hand" })],
    sets: [{ name: "saw and planer", machines: ["saw", "planer"], brings: [], verdict: "trips", circuits: [held()] }],
    outlets: [
      { name: "wall", circuit: "A", rating_a: 15, voltage_v: 120, plugged: ["saw"], plan: [], spare_a: 0 },
      { name: "post", circuit: "B", rating_a: 20, voltage_v: 120, plugged: [], plan: ["saw"], spare_a: 20 },
      { name: "big", circuit: "C", rating_a: 30, voltage_v: 240, plugged: [], plan: [], spare_a: 30 },
    ],
    ...more,
  } as Power);

describe("bars", () => {
  it("lays loads end to end, and the parts come to the total that was judged", () => {
    for (const m of ["idle", "cut", "full"] as const) {
      const a = bars(shop(), { set: "worst" }, m)[0]!;
      expect(a.segments.at(-1)!.to).toBeCloseTo(a.total, 6);
      a.segments.slice(1).forEach((s, i) => expect(s.from).toBe(a.segments[i]!.to));
    }
  });
  it("lets as many cut as there are people: here one, the one that adds most", () => {
    const s = segments(held(), "cut", shop().loads);
    expect(s.map((x) => [x.name, x.amps, x.cuts])).toEqual([["saw", 6.5, true], ["planer", 5, false]]);
  });
  it("counts what is switched by hand at full plate only", () => {
    expect(segments(held(), "full", shop().loads).map((x) => x.name)).toEqual(["saw", "planer", "lamp"]);
    expect(segments(held(), "idle", shop().loads).map((x) => x.name)).toEqual(["saw", "planer"]);
  });
  it("says what is beyond the rating, and nothing of a circuit without load", () => {
    const [a, b] = bars(shop(), { set: "worst" }, "full");
    expect(a!.over).toBe(8);
    expect(b!.held).toBeUndefined();
    expect(b!.over).toBe(0);
    expect(scaleOf([a!, b!])).toBe(23);
    expect(bars(shop(), { set: "one", of: shop().sets[0]! }, "full")[1]!.held).toBeUndefined();
  });
});

describe("words", () => {
  // The same table holds the program: internal/study/power/say_test.go.
  const said = JSON.parse(readFileSync(new URL("../../../internal/study/power/testdata/say.json", import.meta.url), "utf8"));
  type Row = { s: number; p: number; idle?: number[]; cut?: number[]; full?: number[]; at?: number[]; of?: number; start?: number; curve?: string; once?: string; reads: string };
  it.each(said.about as Row[])("a time: $reads", (r) => expect(about(r.s)).toBe(r.reads));
  it.each(said.chance as Row[])("a chance: $reads", (r) => expect(chanceWords(r.p)).toBe(r.reads));
  const band = (t?: number[]) => ({ may_s: t?.[0], must_s: t?.[1] });
  it.each(said.when as Row[])("after how long: $reads", (r) => expect(whenWords(held({
    at_idle: band(r.idle), at_cut: band(r.cut), at_full: band(r.full), idle_a: r.at?.[0] ?? 0, cut_a: r.at?.[1] ?? 0, full_a: r.at?.[2] ?? 0, rating_a: r.of ?? 0,
    starter: "saw", start_total_a: r.start, curve: r.curve, instant_trip: r.once,
  }))).toBe(r.reads));
  it.each(said.cost as { x: number; reads: string }[])("a cost: $reads", (r) => expect(costWords(r.x)).toBe(r.reads));
  it("says nothing where nothing can open it", () => expect(whenWords(held({ at_full: {} }))).toBe(""));
  it("gives the condition: a start, what is not known, or why it holds", () => {
    expect(because(held({ because_of_a_start: true, starter: "fan", start_total_a: 84, start_lasts_s: 2.25 }), "us")).toBe("the start of the fan: 84 A for about 2.3 s");
    expect(because(held({ verdict: "not known", not_known: ["lathe"] }), "us")).toContain("the lathe draws is not known");
    expect(because(held({ verdict: "holds", at_full: {} }), "us")).toContain("stays within");
  });
});

describe("plugs", () => {
  it("knows where each sort of load has its plug", () => {
    expect(plugEdit(load("saw"), "post")).toEqual({ set: "machines/saw/plug/outlet", to: "post", was: "wall" });
    expect(plugEdit(load("fan", { sort: "system", outlet: undefined }), "post")).toEqual({ set: "systems/fan/plug/outlet", to: "post" });
    expect(plugEdit(load("freezer", { sort: "other load" }), "post")).toMatchObject({ set: "other loads/freezer/outlet" });
    expect(pathOf(load("box", { sort: "air cleaner" }))).toBe("air cleaners/box");
  });
  it("does not offer an outlet of another voltage, or one smaller than the plate", () => {
    expect(placesFor(shop(), load("saw")).map((x) => x.unfit)).toEqual(["", "", "voltage"]);
    expect(placesFor(shop(), load("saw", { full_a: 16 })).map((x) => x.unfit)).toEqual(["rating", "", "voltage"]);
    expect(placesFor(shop(), load("welder", { voltage_v: 240, outlet: undefined })).map((x) => x.unfit)).toEqual(["voltage", "voltage", ""]);
  });
  it("turns the plan into edits", () => expect(planEdits(shop())).toEqual([{ set: "machines/saw/plug/outlet", to: "post", was: "wall" }]));
  it("says what a change does to each circuit, who loses first", () => {
    const after = shop();
    after.circuits[0]!.worst = held({ verdict: "holds", cut_a: 5, full_a: 9 });
    after.circuits[1]!.worst = held({ circuit: "B", verdict: "may trip", cut_a: 6, full_a: 21 });
    const before = shop();
    before.circuits[1]!.worst = held({ circuit: "B", verdict: "holds", cut_a: 0, full_a: 0 });
    expect(shiftsOf(before, after).map((s) => [s.circuit, s.before.verdict, s.after.verdict])).toEqual([["B", "holds", "may trip"], ["A", "trips", "holds"]]);
    expect(shiftsOf(before, before)).toEqual([]);
  });
  it("finds what runs on the floor among the sets, in any order", () => {
    expect(setOf(shop(), ["planer", "saw"])?.name).toBe("saw and planer");
    expect(setOf(shop(), ["saw"])).toBeUndefined();
    expect(asTogether(["saw", "lathe"])).toEqual({ set: "routine/together", to: [["saw", "lathe"]] });
  });
});

describe("something else that draws current", () => {
  it("is written from a few words, in amps or in watts", () => {
    expect(loadEdits({ name: "freezer", amps: "1.5", start: "10", works: "by itself", outlet: "wall" })).toEqual([
      { set: "other loads/freezer", to: { outlet: "wall", current: "1.5 A", works: "by itself", start: "10 A" } },
    ]);
    expect(loadEdits({ name: "lamp", amps: "160 W", start: "", works: "always", outlet: "wall" })).toEqual([
      { set: "other loads/lamp", to: { outlet: "wall", power: "160 W", works: "always" } },
    ]);
  });
});

describe("a new circuit", () => {
  it("is written from a few words", () => {
    expect(circuitEdits({ name: "A", breaker: "20", voltage: "120", outlets: "bench, north wall and door", curve: "", guarded: true }, "us")).toEqual([
      { set: "circuits/A", to: { breaker: "20 A", voltage: "120 V", protection: ["gfci"], outlets: { bench: {}, "north wall": {}, door: {} } } },
    ]);
    expect(withUnit(" 16 A", "A")).toBe("16 A");
    expect(namesIn("a, a,, b")).toEqual(["a", "b"]);
    expect(freshLetter(["A", "b"])).toBe("C");
  });
});
