import { describe, expect, it } from "vitest";
import type { XY } from "./geometry";
import { handles, plugs, sockets, under, type Plug } from "./plugs";
import type { Load, Power } from "./power";
import type { Layout } from "./types";

const load = (name: string, outlet: string): Load => ({
  name, sort: "machine", circuit: "A", outlet, marked_a: 10, how: "", rated_a: 10, rated_by: "", idle_a: 4, cut_a: 6, full_a: 10, start_a: 60, start_lasts_s: 1, known: true,
});
const layout = {
  outlets: [
    { name: "near", circuit: "A", at: [0, 0], placed: true },
    { name: "far", circuit: "B", at: [9, 0], placed: true },
    { name: "mid", circuit: "B", at: [4, 0], placed: true },
    { name: "big", circuit: "C", at: [1, 0], placed: true },
    { name: "nowhere", circuit: "A", at: [0, 0], placed: false },
  ],
  cords: [{ of: "saw", line: [[1, 1, 0.3], [0, 0, 1]], short: false }],
} as unknown as Layout;
const power = {
  family: "us",
  loads: [load("saw", "near"), load("freezer", "near")],
  outlets: [["near", "A", 120], ["far", "B", 120], ["mid", "B", 120], ["big", "C", 240]].map(([name, circuit, v]) => ({ name, circuit, voltage_v: v, rating_a: 20, plugged: [], plan: [], spare_a: 0 })),
} as unknown as Power;
const screen = (p: XY): [number, number] => [p[0] * 50, -p[1] * 50];

describe("plugs", () => {
  it("are those with a cord on the floor; they fit outlets of their voltage, the nearest first", () => {
    expect(sockets(layout).map((s) => s.name)).toEqual(["near", "far", "mid", "big"]);
    const all = plugs(power, layout, () => true);
    expect(all.map((p) => p.load.name)).toEqual(["saw"]);
    expect(all[0]!.fits.map((s) => s.name)).toEqual(["near", "mid", "far"]);
    expect(plugs(power, layout, () => false)).toEqual([]);
  });
  it("stand apart where they share an outlet, each toward its machine", () => {
    const one = plugs(power, layout, () => true)[0]!;
    const twins: Plug[] = [one, { ...one, load: load("twin", "near") }, { ...one, load: load("third", "near") }];
    const at = [...handles(twins, screen, 20, 22).values()];
    for (let i = 0; i < at.length; i++) for (let j = 0; j < i; j++) expect(Math.hypot(at[i]![0] - at[j]![0], at[i]![1] - at[j]![1])).toBeGreaterThan(20);
    const [x, y] = handles([one], screen, 20, 22).get("saw")!;
    expect(x).toBeCloseTo(20 / Math.SQRT2); // the machine is up and to the right
    expect(y).toBeCloseTo(-20 / Math.SQRT2);
  });
  it("are caught by the nearest outlet within a thumb", () => {
    expect(under([40, 2], sockets(layout), screen)?.name).toBe("big");
    expect(under([120, 0], sockets(layout), screen)).toBeUndefined();
  });
});
