import { expect, it } from "vitest";
import { answerIn, inRegion, inWords, regionOf, sentenceIn } from "./region";

const words = {
  trip: "Will it trip my breaker?",
  head: ["outlet", "circuit"],
  vacuum: "Shop vacuum",
  theme: "Colours",
  over: (load: string, outlets: number) => `${load}: the cord is short; ${outlets} outlets are near`,
  units: (q: string, u: string) => `${q} of cord, ${u === "us" ? "by the foot" : "by the metre"}`,
  list: (names: readonly string[]) => `in ${names.join(" and ")}`,
  none: (what: string) => what || "Nothing in the outlet",
};

it("says it in British words", () => {
  const uk = inRegion(words, "uk");
  expect(uk.trip).toBe("Will it trip my MCB?");
  expect(uk.head).toEqual(["socket", "circuit"]);
  expect(uk.vacuum).toBe("Vac");
  expect(uk.theme).toBe("Colours");
  expect(uk.none("")).toBe("Nothing in the socket");
});

it("says it in American words", () => {
  const us = inRegion(words, "us");
  expect(us.trip).toBe("Will it trip my breaker?");
  expect(us.theme).toBe("Colors");
  expect(inWords("mitre saw", "us")).toBe("miter saw");
});

it("leaves the owner's own names as they are", () => {
  expect(inRegion(words, "uk").over("outlet tester on a cord", 2)).toBe("outlet tester on a cord: the lead is short; 2 sockets are near");
  expect(inRegion(words, "us").over("mitre saw", 1)).toBe("mitre saw: the cord is short; 1 outlets are near");
  expect(inRegion(words, "uk").list(["north outlet", "bench"])).toBe("in north outlet and bench");
  expect(inRegion(words, "uk").units("3 ft", "us")).toBe("3 ft of lead, by the foot");
});

it("takes no part of a word for a word", () => {
  expect(inWords("according to what the record says", "uk")).toBe("according to what the record says");
  expect(inWords("it can be done", "uk")).toBe("it can be done");
});

it("knows the region from the browser's language", () => {
  expect(["en-US", "en", "en-GB", "en-AU", "de-DE"].map(regionOf)).toEqual(["us", "us", "uk", "uk", "uk"]);
});

it("writes the server's sentences too, but for names and for what stands in the file", () => {
  const names = ["bench outlet", "collector", "planer"];
  const say = (s: string) => sentenceIn(s, "uk", names);
  expect(say("The cord of planer does not reach bench outlet, the nearest outlet.")).toBe("The lead of planer does not reach bench outlet, the nearest socket.");
  expect(say("Shake or clean the filter of collector.")).toBe("Shake or clean the filter of collector.");
  expect(say("Write `outlet: bench` there.")).toBe("Write `outlet: bench` there.");
  expect(sentenceIn("The mitre saw runs.", "us", ["mitre saw"])).toBe("The mitre saw runs.");
  const answer = {
    sentence: [{ text: "The breaker of ", kind: "" }, { text: "bench outlet", kind: "circuit" }], findings: [{ code: "cord-short", sentence: "A cord is short.", path: "machines/cord/x" }],
    faults: [{ sentence: "an outlet" }],
  };
  expect(answerIn(answer, "uk", [])).toEqual({
    sentence: [{ text: "The MCB of ", kind: "" }, { text: "bench outlet", kind: "circuit" }], findings: [{ code: "cord-short", sentence: "A lead is short.", path: "machines/cord/x" }],
    faults: [{ sentence: "an outlet" }],
  });
});
