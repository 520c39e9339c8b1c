import { expect, it } from "vitest";
import { handle, hoseEnds, withTaker } from "./hoses";
import type { LaidHose, Machine } from "./types";

const lay = (machine: string, now: boolean, port = machine) =>
  ({ system: "collector", run: "long hose", machine, port, now, known: true, carried: true, line: [[3, 2, 1], [0, 0, 1]] }) as unknown as LaidHose;
const machine = (name: string, served: boolean, ports: string[]) => ({ name, served, ports: ports.map((port) => ({ port })) }) as unknown as Machine;
const all = [lay("planer", true), lay("jointer", true)];
const machines = [machine("planer", true, ["planer"]), machine("jointer", true, ["jointer"]), machine("band saw", true, ["band saw"]),
  machine("drum sander", false, ["drum sander/top", "drum sander/side"]), machine("lathe", false, [])];

it("offers a hose to those that have it, and to those that have a port and nothing on it", () => {
  const [end] = hoseEnds([all[0]!], all, machines, new Set());
  expect(end!.machine).toBe("planer");
  expect(end!.at).toEqual([3, 2]);
  expect([...end!.ports]).toEqual([["planer", "planer"], ["jointer", "jointer"], ["drum sander", "drum sander/top"]]);
  expect(withTaker(end!, "jointer")).toEqual(["planer", "jointer"]);
  expect(withTaker(end!, "drum sander")).toEqual(["planer", "jointer", "drum sander/top"]);
});

it("has no end to take where nobody else could have the hose", () => {
  expect(hoseEnds([lay("band saw", true)], [lay("band saw", true)], machines.slice(0, 3), new Set())).toEqual([]);
  expect(hoseEnds([all[0]!], all, machines.slice(0, 3), new Set(["jointer"]))).toEqual([]); // the jointer is not here
});

it("is taken where the hose has left the machine", () => {
  const [end] = hoseEnds([{ ...all[0]!, line: [[3.4, 2, 1], [0, 2, 1]] }], all, machines, new Set()); // from the far side, below it
  const body = [[2.6, 2.5], [3.4, 2.5], [3.4, 1.5], [2.6, 1.5]];
  const [e, n] = handle(end!, body, 0.1);
  expect(n).toBe(2);
  expect(e).toBeLessThan(2.6 - 0.07);
  expect(e).toBeGreaterThan(2.4);
});
