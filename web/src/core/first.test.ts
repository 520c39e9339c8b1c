import { describe, expect, it } from "vitest";
import { guesses, machinesAnswer, said, spoken, steps, unitsOf } from "./first";

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
});
