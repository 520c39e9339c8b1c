import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { looks } from "./looks";
import { handStep, print, printRange, written } from "./units";

// Written by the Go side (internal/unit, TestGolden): both sides print the same text or one of them is wrong.
const golden = JSON.parse(readFileSync(new URL("../../../testdata/format.json", import.meta.url), "utf8"));

describe("units", () => {
  it("knows the same table as the Go side", () => {
    expect(looks).toEqual(golden.looks.filter((l: { quantity: string }) => l.quantity !== "wire size"));
  });

  it("prints what the Go side prints", () => {
    const cases = golden.cases.filter((c: { quantity: string }) => c.quantity !== "wire size");
    expect(cases.length).toBeGreaterThan(500);
    for (const c of cases) {
      expect([c.quantity, c.si, print(c.quantity, c.si, "us")]).toEqual([c.quantity, c.si, c.us_text]);
      expect([c.quantity, c.si, print(c.quantity, c.si, "si")]).toEqual([c.quantity, c.si, c.si_text]);
    }
  });

  it("prints ranges as the Go side does", () => {
    for (const c of golden.ranges.filter((x: { quantity: string }) => x.quantity !== "wire size")) {
      const got = [printRange(c.quantity, c.low, c.high, "us"), printRange(c.quantity, c.low, c.high, "si")];
      expect([c.quantity, c.low, c.high, ...got]).toEqual([c.quantity, c.low, c.high, c.us_text, c.si_text]);
    }
  });

  it("says so when a number is missing", () => {
    expect(print("airflow", NaN, "us")).toBe("unknown");
    expect(print("airflow", Infinity, "si")).toBe("no limit");
  });

  it("writes a place as the shop file does", () => {
    // 0.0254 m is one inch by definition (the international yard and pound agreement of 1959).
    expect(written(3.048, "us")).toBe("10 ft");
    expect(written(3.048 + 0.0254 * 7, "us")).toBe("10 ft 7 in");
    expect(written(-0.0254 * 5, "us")).toBe("-5 in");
    expect(written(12.3456, "si")).toBe("12.35 m");
    expect(handStep("us")).toBe(0.0254);
  });
});
