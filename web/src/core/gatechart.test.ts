import { describe, expect, test } from "vitest";
import { mustWait, order, secondsOf, stand, tables } from "./gatechart";
import type { Chart, ChartLine } from "./types";

const line = (over: Partial<ChartLine>): ChartLine => ({
  machine: "saw", system: "collector", open: [], shut: [], by_hand: [], starts: "by hand, first", wait_s: 3, wait_made_of: [], coast_down_s: 20, keeps_running_s: 10, ...over,
});
const chart = (...lines: ChartLine[]): Chart => ({ shop: "", sentence: [], findings: [], lines });

describe("the gate chart", () => {
  test("a system has one table, its gates in the order of its pipe", () => {
    const t = tables(
      chart(line({ open: ["b"], shut: ["a"] }), line({ machine: "sander", system: "vacuum" }), line({ machine: "planer", open: ["a"], shut: ["b"], setup: "wide" })),
      (s) => (s === "collector" ? ["a", "b"] : []),
    );
    expect(t.map((x) => [x.system, x.gates, x.rows.map((r) => r.name)])).toEqual([
      ["collector", ["a", "b"], ["saw", "planer, wide"]],
      ["vacuum", [], ["sander"]],
    ]);
  });
  test("a gate of another table stands nowhere", () => {
    const l = line({ open: ["a"], shut: ["b"] });
    expect([stand(l, "a"), stand(l, "b"), stand(l, "c")]).toEqual(["open", "shut", ""]);
  });
  test("by hand the extraction starts before the machine; by itself it follows", () => {
    expect(order(line({ also_start: ["cleaner"] }))).toEqual({ by: ["collector", "cleaner", "saw"], follows: [] });
    expect(order(line({ starts: "by itself" }))).toEqual({ by: ["saw"], follows: ["collector"] });
  });
  test("short waits stay in seconds", () => expect([0.5, 1.5, 45, 300].map(secondsOf)).toEqual(["0.5 s", "1.5 s", "45 s", "5 min"]));
  test("only what follows by itself makes a person wait for the light", () => {
    expect([mustWait(line({ wait_s: 7 })), mustWait(line({ starts: "by itself", wait_s: 3 })), mustWait(line({ starts: "by itself", wait_s: 3.1 }))]).toEqual([false, false, true]);
  });
});
