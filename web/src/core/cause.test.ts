import { expect, it } from "vitest";
import { causeOf, mostOfCause } from "./cause";

// The longest act that `winnow power`, `check` and `air` offer for the three examples, word for word.
const longest =
  "Plug the compressor into planer wall (circuit north): with lathe and band saw, circuit south then carries 11.4 A at a typical cut instead of 19.4 A and holds; " +
  "circuit north carries 17.4 A and may trip with the eel freezer and compressor, which may start at any time; see whether its cord reaches.";

it("keeps of an act what is done, and leaves out its effects", () => {
  expect(longest.length).toBeGreaterThan(200); // more than the server takes
  expect(causeOf(longest)).toBe("Plug the compressor into planer wall (circuit north)");
  expect(causeOf("moved planer")).toBe("moved planer");
});

it("cuts what is still too long at a word, and says so", () => {
  const cut = causeOf("Run " + "the planer and ".repeat(20));
  expect([...cut].length).toBeLessThanOrEqual(mostOfCause);
  expect(cut).toMatch(/ (the|planer|and)…$/);
  expect([...causeOf("ö".repeat(300))].length).toBe(mostOfCause);
});
