import { afterEach, beforeEach, expect, it, vi } from "vitest";
import type { Ask, Edit, LaidMachine, Look } from "../core/types";
import { api, Refusal } from "./api";
import { Hand } from "./hand.svelte";
import { LookAt } from "./look.svelte";

interface Flight {
  ask: Ask;
  land: (gets: number, more?: object) => Promise<void>;
  fail: (e: Error) => Promise<void>;
}
let flights: Flight[] = [];
const port = (gets: number) => ({ port: "planer", machine: "planer", gets_m3s: gets, needs_chips_m3s: 0.2, needs_fine_m3s: 0.3, running: true });
const depth = (f: Flight) => (f.ask.want!.includes("ranges") ? "deep" : "quick");

beforeEach(() => {
  vi.useFakeTimers();
  flights = [];
  vi.spyOn(api, "look").mockImplementation((ask, signal) => {
    let land!: (l: Look) => void;
    let fail!: (e: Error) => void;
    const p = new Promise<Look>((y, n) => ([land, fail] = [y, n]));
    signal?.addEventListener("abort", () => fail(new DOMException("", "AbortError")));
    const settle = () => vi.advanceTimersByTimeAsync(0);
    flights.push({
      ask: structuredClone(ask),
      land: (gets, more) => (land({ ports: [{ ...port(gets), ...more }] } as unknown as Look), settle().then(() => undefined)),
      fail: (e) => (fail(e), settle().then(() => undefined)),
    });
    return p;
  });
});
afterEach(() => {
  vi.useRealTimers();
  vi.restoreAllMocks();
});

it("keeps one question in flight, and the newest wins", async () => {
  let edits: Edit[] = [];
  const look = new LookAt(() => 7, () => edits);
  for (const to of ["1 ft", "2 ft", "3 ft", "4 ft"]) {
    edits = [{ set: "machines/planer/at/1", to }];
    look.ask();
  }
  expect(flights).toHaveLength(1);
  expect(flights[0]!.ask.rev).toBe(7);
  await flights[0]!.land(0.1);
  expect(flights).toHaveLength(2); // 2 ft and 3 ft were never asked
  expect(flights[1]!.ask.edits![0]!.to).toBe("4 ft");
  await flights[1]!.land(0.12);
  expect(look.answer!.ports[0]!.gets_m3s).toBe(0.12);
});

it("keeps the ranges beside the numbers while the hand holds something", async () => {
  let edits: Edit[] = [];
  const look = new LookAt(() => 1, () => edits);
  look.ask();
  await flights[0]!.land(0.1);
  await vi.advanceTimersByTimeAsync(200);
  await flights[1]!.land(0.1, { low_m3s: 0.08, high_m3s: 0.13 });
  edits = [{ set: "machines/planer/at/1", to: "1 ft" }];
  look.ask();
  await flights[2]!.land(0.05);
  expect(look.answer!.ports[0]!.low_m3s).toBeCloseTo(0.04); // half the airflow, half the range
  expect(look.answer!.ports[0]!.high_m3s).toBeCloseTo(0.065);
  expect(look.fresh).toBe(false); // and it is not the last word
});

it("asks deeply when the hand rests, and drops that when it moves again", async () => {
  const look = new LookAt(() => 1, () => []);
  const settled = vi.fn();
  look.onsettled = settled;
  look.ask();
  expect(depth(flights[0]!)).toBe("quick");
  await flights[0]!.land(0.1);
  await vi.advanceTimersByTimeAsync(200);
  expect(depth(flights[1]!)).toBe("deep");
  look.ask(); // the hand moves: the deep one is stopped, a quick one flies
  await vi.advanceTimersByTimeAsync(0);
  expect(depth(flights[2]!)).toBe("quick");
  await flights[2]!.land(0.14);
  expect(settled).not.toHaveBeenCalled();
  expect(look.fresh).toBe(false);
  await vi.advanceTimersByTimeAsync(200);
  await flights[3]!.land(0.14);
  expect(settled).toHaveBeenCalledTimes(1);
  expect(look.fresh).toBe(true);
  look.ask();
  expect(look.fresh).toBe(false); // from the moment of the question, not of its answer
});

it("still asks deeply when the server is slower than the hand", async () => {
  const look = new LookAt(() => 1, () => []);
  look.ask();
  look.ask(); // waits for the first to land
  await vi.advanceTimersByTimeAsync(500); // the hand has rested long ago
  await flights[0]!.land(0.1);
  expect(depth(flights[1]!)).toBe("quick");
  await flights[1]!.land(0.1);
  expect(depth(flights[2]!)).toBe("deep");
  await flights[2]!.land(0.1);
  expect(look.fresh).toBe(true);
});

it("shows before and after until the change has settled", async () => {
  const look = new LookAt(() => 1, () => []);
  look.ask();
  await flights[0]!.land(0.1);
  look.change(() => (look.filter = "clean"));
  await flights[1]!.land(0.12);
  expect(look.shifts).toEqual([{ port: "planer", before: 0.1, after: 0.12 }]);
  await vi.advanceTimersByTimeAsync(200);
  await flights.at(-1)!.land(0.12);
  expect(look.shifts).toHaveLength(1);
  await vi.advanceTimersByTimeAsync(10_000);
  expect(look.shifts).toEqual([]);
});

it("tells a refusal from a server that is away", async () => {
  const look = new LookAt(() => 1, () => []);
  const offline = vi.fn();
  look.onoffline = offline;
  look.ask();
  await flights[0]!.fail(new Refusal(422, "machines/planer/at/1: a length is wanted here"));
  expect(look.problem).toContain("a length is wanted");
  expect(offline).not.toHaveBeenCalled();
  look.ask();
  await flights[1]!.fail(new TypeError("fetch failed"));
  expect(offline).toHaveBeenCalled();
});

it("writes what the hand holds as the file would say it", () => {
  const hand = new Hand();
  const m = { name: "planer", placed: true, at: [3.048, 1.2192], facing_rad: Math.PI, at_path: "machines/planer/at", facing_path: "machines/planer/facing" };
  hand.take(m as unknown as LaidMachine);
  expect(hand.edits("us")).toEqual([]);
  hand.move([3.048 + 0.0254, 1.2192]);
  hand.turn(Math.PI / 2);
  expect(hand.edits("us")).toEqual([
    { set: "machines/planer/at/1", to: "10 ft 1 in" },
    { set: "machines/planer/at/2", to: "4 ft" },
    { set: "machines/planer/facing", to: "270°" },
  ]);
  hand.turn(Math.PI);
  expect(hand.edits("si").at(-1)).toEqual({ set: "machines/planer/facing", to: "90°" });
  hand.take({ ...m, placed: false } as unknown as LaidMachine);
  hand.move([1, 2]);
  expect(hand.edits("si")).toEqual([{ set: "machines/planer/at", to: ["1 m", "2 m"] }]);
});
