import { describe, expect, it } from "vitest";
import { freshName, portsOf, shifts, worst, withRanges } from "./change";
import { lie, mark, notch, pace, parts } from "./marks";
import type { LookPort } from "./types";

const port = (port: string, gets: number, needs: number, running = false): LookPort =>
  ({ port, machine: port.split("/")[0], gets_m3s: gets, needs_chips_m3s: needs, needs_fine_m3s: needs * 1.5, running }) as LookPort;

describe("shifts", () => {
  it("names what changed, and nothing that only rounds", () => {
    const before = [port("planer", 0.1, 0.2), port("saw", 0.16, 0.15), port("gone", 0.1, 0.1), port("tiny", 0.01, 0.1)];
    const after = [port("planer", 0.12, 0.2), port("saw", 0.1602, 0.15), port("new", 0.1, 0.1), port("tiny", 0.0103, 0.1)];
    expect(shifts(before, after)).toEqual([{ port: "planer", before: 0.1, after: 0.12 }]);
  });
});

describe("worst", () => {
  it("is the smallest share of its need", () => {
    expect(worst([port("a", 0.1, 0), port("b", 0.1, 0.2), port("c", 0.3, 0.4)])?.port).toBe("b");
    expect(worst([])).toBeUndefined();
  });
});

it("keeps a machine's ports together, running ones first", () => {
  const ports = [port("saw/guard", 1, 1), port("planer", 1, 1), port("saw/cabinet", 1, 1, true)];
  expect(portsOf(ports, "saw").map((p) => p.port)).toEqual(["saw/cabinet", "saw/guard"]);
});

it("finds a name nothing else has", () => {
  expect(freshName("planer", ["saw"])).toBe("planer");
  expect(freshName("planer", ["planer", "planer 2"])).toBe("planer 3");
  expect(freshName("planer 2", ["planer", "planer 2"])).toBe("planer 3");
});

describe("fill mark", () => {
  it("stands at the notch when it gets what it needs, over it when more, under it when short", () => {
    expect(mark(port("a", 0.2, 0.2))).toMatchObject({ level: notch, short: false });
    expect(mark(port("a", 0.1, 0.2))).toMatchObject({ level: notch / 2, short: true });
    expect(mark(port("a", 9, 0.2))?.level).toBe(1);
    expect(mark(port("a", 0.1, 0))).toBeUndefined();
  });
  it("has a second notch for fine dust while that is inside the vessel", () => {
    expect(mark(port("a", 0.2, 0.2))?.fine).toBeCloseTo(notch * 1.5, 12);
    expect(mark({ gets_m3s: 0.1, needs_chips_m3s: 0.1, needs_fine_m3s: 0.3 })?.fine).toBeUndefined();
  });
});

it("speaks in parts of ten", () => expect([0.43, 0.08, 0.02].map(parts)).toEqual(["4 parts in 10", "1 part in 10", "under 1 part in 10"]));

it("lets flecks sink where chips do", () => {
  expect(lie("keeps moving", 21)).toBe("moving");
  expect(lie("will drop", 9)).toBe("lying");
  expect(lie("keeps moving", 0.2)).toBe("still");
  expect(pace(20)).toBe(1);
  expect(pace(10)).toBe(2);
});

it("carries a range along with its number, for a port that runs as it ran", () => {
  const p = (gets: number, more: object) => ({ port: "planer", machine: "planer", gets_m3s: gets, running: true, ...more }) as never;
  const deep = [p(0.2, { low_m3s: 0.15, high_m3s: 0.24 })];
  expect(withRanges([p(0.1, {})], deep)[0]).toMatchObject({ low_m3s: 0.075, high_m3s: 0.12 });
  expect(withRanges([p(0.1, { running: false })], deep)[0]!.low_m3s).toBeUndefined(); // it stands now: that is another number
  expect(withRanges([p(0.1, { low_m3s: 0.09, high_m3s: 0.11 })], deep)[0]!.low_m3s).toBe(0.09);
});
