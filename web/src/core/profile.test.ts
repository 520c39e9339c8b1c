import { describe, expect, it } from "vitest";
import type { Drawn } from "./pipes";
import { profile, risesAndDrops } from "./profile";

const piece = (key: string, line: number[][], sketch = false): Drawn => ({ key, run: "main", system: "collector", line, size_m: 0.1, hose: false, sketch });
const lines = [
  piece("pipe", [[0, 0, 1], [3, 4, 1]]), // 5 m along, by Pythagoras
  piece("drop", [[3, 4, 1], [3, 4, 0.2]]),
  piece("back", [[3, 4, 0.2], [3, 0, 0.2]]),
  piece("sketch", [[0, 0, 0], [0, 0, 9]], true), // nothing is known of its heights
];

describe("a run unfolded", () => {
  it("is as long as its pieces, in their order, with their heights", () => {
    const p = profile(["pipe", "pipe", "wye", "drop", "back", "sketch"], lines);
    expect(p.length_m).toBe(9);
    expect(p.top_m).toBe(1);
    expect(p.stretches.map((s) => s.key)).toEqual(["pipe", "drop", "back"]);
    expect(p.stretches[1]!.points).toEqual([[5, 1], [5, 0.2]]);
  });
  it("says where it rises and drops", () => {
    expect(risesAndDrops(lines)).toEqual([{ at: [3, 4], rise_m: -0.8, key: "drop" }]);
  });
});
