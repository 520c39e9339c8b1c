import { describe, expect, it } from "vitest";
import { placeLabels } from "./labels";
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
