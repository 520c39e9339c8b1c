import { expect, it } from "vitest";
import { leadOf } from "./leads";

it("leads from a path of the file to what stands on the floor", () => {
  expect(leadOf("machines/planer/port")).toEqual({ machine: "planer", lit: ["machines/planer/port"] });
  expect(leadOf("systems/collector/runs/main/pieces/hose 1")).toEqual({ system: "collector", lit: ["systems/collector/runs/main/pieces/hose 1"] });
  expect(leadOf("systems/collector")).toEqual({ system: "collector", lit: [] });
});

it("leads nowhere from what has no place there", () => {
  expect(["", "room", "circuits/A", "routine/hours per week/planer"].map(leadOf)).toEqual([undefined, undefined, undefined, undefined]);
});
