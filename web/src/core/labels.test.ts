import { describe, expect, it } from "vitest";
import { beads, placeLabels } from "./labels";
import { tray } from "./tray";
import type { Layout } from "./types";

const cross = (a: { x: number; y: number; w: number; h: number }, b: typeof a) =>
  a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;

describe("names", () => {
  it("stand above what they name, and give way to each other", () => {
    const a = { x: 100, y: 100, w: 60, h: 40 };
    const b = { x: 100, y: 60, w: 60, h: 40 };
    const got = placeLabels([{ key: "a", of: a, w: 80, h: 16 }, { key: "b", of: b, w: 80, h: 16 }], [a, b]);
    expect(got.get("b")!.y).toBeLessThan(b.y);
    expect(cross(got.get("a")!, got.get("b")!)).toBe(false);
    expect(cross(got.get("a")!, b)).toBe(false);
  });
});

describe("tray", () => {
  const thing = (name: string, placed: boolean) => ({ name, placed, away: false });
  const layout = { placed: true, low: [0, 0], high: [6, 5], machines: [thing("saw", true), thing("planer", false)], systems: [thing("vacuum", false)] };
  it("holds what has no place, below the room", () => {
    const t = tray(layout as unknown as Layout);
    expect([...t.keys()]).toEqual(["planer", "system: vacuum"]);
    for (const s of t.values()) expect(s.at[1]).toBeLessThan(0);
    expect(t.get("planer")!.at).not.toEqual(t.get("system: vacuum")!.at);
  });
});

it("leaves a spare name out rather than write it over another", () => {
  // three machines so near each other that only two names of this width find room in the frame
  const frame = { x: 0, y: 0, w: 60, h: 62 };
  const of = { x: 20, y: 26, w: 20, h: 10 };
  const names = ["planer", "jointer", "lathe"].map((key) => ({ key, of, w: 60, h: 15, spare: true }));
  const placed = placeLabels(names, [of], frame);
  expect([...placed.keys()]).toEqual(["planer", "jointer"]);
  expect(placed.get("planer")!.y).toBeLessThan(of.y);
  expect(placed.get("jointer")!.y).toBeGreaterThan(of.y);
  // what runs is named all the same
  expect(placeLabels(names.map((n) => ({ ...n, spare: false })), [of], frame).size).toBe(3);
});

it("keeps names off hoses where there is another place", () => {
  const of = { x: 100, y: 100, w: 40, h: 40 };
  const hose = beads([[60, 90], [180, 90]], 8);
  const at = placeLabels([{ key: "planer", of, w: 60, h: 15 }], [of], undefined, hose).get("planer")!;
  expect(at.y).toBeGreaterThanOrEqual(140); // above would lie on the hose
});

it("never writes a name where it would be taken for another thing's", () => {
  const of = { x: 100, y: 100, w: 20, h: 20 };
  const other = { x: 100, y: 57, w: 20, h: 20 }; // a name finds room between them, but nearer to the other than to its own
  const got = placeLabels([{ key: "a", of, w: 20, h: 15, spare: true }, { key: "b", of: other, w: 20, h: 15, spare: true }], [of, other]);
  expect(got.get("a")!.y).toBeGreaterThanOrEqual(120);
  expect(got.get("b")!.y).toBeLessThan(57);
});
