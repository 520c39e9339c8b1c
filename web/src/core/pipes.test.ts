import { describe, expect, it } from "vitest";
import { drawn, gateSpot, shownLays } from "./pipes";
import type { Layout, LookPiece } from "./types";

const piece = (name: string, what: string, line: number[][], more = {}) => ({
  path: `systems/c/runs/main/pieces/${name}`, system: "c", run: "main", what, name, size_m: 0.1, length_m: 1, line, sketch: [], at: [0, 0, 0], placed: false, goes: "level", ...more,
});
const lay = (machine: string, now: boolean, line: number[][]) => ({ system: "c", run: "main", machine, port: machine, now, carried: true, known: true, line, slack_m: 1, trips: [] });
const layout = {
  pieces: [
    piece("hose 1", "hose", [[0, 0, 1], [1, 0, 1]]),
    piece("gate g", "gate", [], { at: [3, 0, 1], placed: true }),
    piece("pipe 1", "pipe", [[3, 0, 1], [3, 4, 1]]),
    piece("reducer 1", "reducer", [[3, 4, 1], [3, 4.2, 1]]),
    piece("elbow 1", "elbow", []),
    piece("pipe 2", "pipe", [], { sketch: [[3, 4, 1], [9, 9, 1]] }),
  ],
  lays: [lay("planer", true, [[0, 0, 1], [3, 0, 1]]), lay("jointer", true, [[0, 5, 1], [3, 0, 1]]), lay("planer", false, [[8, 8, 1], [3, 0, 1]])],
} as unknown as Layout;
const air = [{ path: "systems/c/runs/main/pieces/pipe 1", speed_ms: 21, used: true } as LookPiece];
const by = (name: string, running: string[] = []) => drawn(layout, air, running.map((machine) => ({ machine }))).find((d) => d.key.endsWith(name))!;

describe("what is drawn of a run", () => {
  it("lays a shared hose to the machine that runs, else to the one that has it", () => {
    expect(by("hose 1").line[0]).toEqual([0, 0, 1]);
    expect(by("hose 1", ["jointer"]).line[0]).toEqual([0, 5, 1]);
    expect(shownLays(layout, [{ machine: "planer" }])).toHaveLength(1);
    expect(shownLays(layout, [{ machine: "planer" }])[0]!.line[0]).toEqual([0, 0, 1]);
  });
  it("gives fittings the air beside them, and says what is only a sketch", () => {
    expect(by("reducer 1").air?.speed_ms).toBe(21);
    expect(by("pipe 2").sketch).toBe(true);
    expect(by("pipe 2").air).toBeUndefined(); // a pipe is not a fitting: no answer, no air
    expect(by("elbow 1")).toBeUndefined();
  });
  it("puts a gate at its place, across the pipe before it", () => {
    const lines = drawn(layout, air, []);
    const spot = gateSpot(layout, layout.pieces[1]!, lines)!;
    expect(spot.at).toEqual([3, 0]);
    expect(spot.direction).toEqual([1, 0]); // the hose comes from the west
    const nowhere = { ...layout.pieces[1]!, placed: false, at: [0, 0, 0] };
    expect(gateSpot(layout, nowhere, lines)!.at[0]).toBeCloseTo(2.79, 9); // at the end of the hose
  });
});
