import { describe, expect, it } from "vitest";
import { guesses, inOrder, machinesAnswer, nearlyThere, said, spoken, steps, subject, unitsOf } from "./first";
import type { Look, LookPort, Remedy } from "./types";

const port = (name: string, gets: number, needs: number, high = gets) =>
  ({ port: name, machine: name.split("/")[0], gets_m3s: gets, needs_chips_m3s: needs, high_m3s: high, pull: [] }) as unknown as LookPort;
const act = (sentence: string, free: boolean, after: number) =>
  ({ sentence, free, effects: [{ port: "planer", gets_before_m3s: 0.1, gets_after_m3s: after, needs_before_m3s: 0.2, needs_after_m3s: 0.2 }] }) as unknown as Remedy;

describe("first run", () => {
  it("asks nobody about a hose who has nothing yet", () => {
    expect(steps({ collector: "bag" })).toEqual(["units", "collector", "motor", "hose", "machines", "last", "verdict"]);
    expect(steps({ collector: "nothing" })).toEqual(["units", "collector", "machines", "last", "verdict"]);
  });
  it("sends what was said, and nothing of questions that no longer apply", () => {
    expect(said({ collector: "bag", motor: " 13 A ", claim: "", "hose-width": "4 in" })).toEqual({ collector: "bag", motor: "13 A", "hose-width": "4 in" });
    expect(said({ collector: "nothing", motor: "13 A", floor: "10 ft2" })).toEqual({ collector: "nothing", floor: "10 ft2" });
    expect(said({ "no-papers": "yes", claim: "1200", inlet: "100 mm" })).toEqual({ "no-papers": "yes", inlet: "100 mm" });
    expect(said({ collector: "bag", floor: "10 ft2" })).toEqual({ collector: "bag" });
    expect(said({ claim: "1200", inlet: "100 mm" })).toEqual({ claim: "1200" });
  });
  it("names what was guessed", () => {
    expect(guesses({ collector: "bag", motor: "1 hp", claim: "800", "hose-width": "4 in", "hose-length": "10 ft", "hose-lies": "curves", machines: "planer", cleaned: "never" })).toEqual(["mouths"]);
    expect(guesses({})).toEqual(["collector", "fan", "motor", "width", "length", "lies", "machines", "filter"]);
    expect(guesses({ collector: "nothing", machines: "planer" })).toEqual(["mouths"]);
  });
  it("speaks", () => {
    expect(spoken(["a", "b", "c"])).toBe("a, b and c");
    expect(machinesAnswer([{ kind: "thickness planer", annoys: true }, { kind: "band saw", annoys: false }])).toBe("thickness planer*, band saw");
    expect(["en-US", "en-GB", "de", "es-US"].map(unitsOf)).toEqual(["us", "si", "si", "us"]);
  });
  it("speaks of the machine that annoys, even where another fares worse", () => {
    const l = { ports: [port("table saw", 0.02, 0.2), port("planer", 0.15, 0.2)], sentence: [{ text: "The " }, { text: "table saw", kind: "machine" }] } as unknown as Look;
    expect(subject(l, "thickness planer")?.port).toBe("planer");
    expect(subject(l, "")?.port).toBe("table saw");
    expect(subject(l, "lathe")?.port).toBe("table saw"); // it has no port
  });
  it("lets no act lead that is not enough, where another is", () => {
    const words = (...all: Remedy[]) => inOrder(all, "planer").map((r) => r.sentence);
    expect(words(act("clean", true, 0.12), act("filter", false, 0.13), act("fan", false, 0.25))).toEqual(["fan", "clean", "filter"]);
    expect(words(act("clean", true, 0.12), act("fan", false, 0.25), act("shorten", true, 0.2))).toEqual(["shorten", "clean", "fan"]);
    expect(words(act("filter", false, 0.13), act("clean", true, 0.12))).toEqual(["clean", "filter"]); // nothing is enough: what is free leads
  });
  it("calls no shortage what the doubt is wider than", () => {
    expect(nearlyThere(port("table saw", 0.1638, 0.1652, 0.2))).toBe(true); // 347 of 350 cfm
    expect(nearlyThere(port("table saw", 0.1638, 0.1652))).toBe(false); // and it is known so closely
    expect(nearlyThere(port("table saw", 0.15, 0.1652, 0.2))).toBe(false);
    expect(nearlyThere(port("table saw", 0.17, 0.1652, 0.2))).toBe(false);
  });
});
