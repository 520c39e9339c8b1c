import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { Tape } from "./tape.svelte";
import { Eye } from "./view.svelte";

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

it("moves the drawing as it is, and lays it out when the hand rests", () => {
  const eye = new Eye(() => ({ x: 10, y: 20, k: 50 }));
  eye.follow({ x: 40, y: 20, k: 50 });
  expect(eye.now).toEqual({ x: 10, y: 20, k: 50 });
  expect(eye.moved).toBe("translate(30 0) scale(1)");
  eye.arrive();
  expect(eye.moved).toBeUndefined();
  expect(eye.now).toEqual({ x: 40, y: 20, k: 50 });
});

it("gathers the turns of a wheel about the point under it", () => {
  const eye = new Eye(() => ({ x: 0, y: 0, k: 50 }));
  eye.wheel(1.1, 100, 0);
  eye.wheel(1.1, 100, 0);
  expect(eye.scale).toBeCloseTo(1.21);
  expect(eye.now.k).toBe(50);
  vi.advanceTimersByTime(200);
  expect(eye.now.k).toBeCloseTo(60.5);
  expect(eye.now.x).toBeCloseTo(100 - 100 * 1.21); // what is at 100 px stays there
  eye.wheel(1.1, 100, 0);
  eye.whole(); // a key, while the wheel still turns: it has the last word
  vi.advanceTimersByTime(200);
  expect(eye.now.k).toBe(50);
});

it("holds the frame while a thing is in the hand", () => {
  let box = { x: 0, y: 0, k: 50 };
  const eye = new Eye(() => box);
  eye.hold();
  box = { x: 5, y: 5, k: 40 }; // the shop grows under the hand
  expect(eye.now.k).toBe(50);
  eye.free();
  expect(eye.now.k).toBe(40);
});

it("measures from a point to a point, then begins anew", () => {
  const tape = new Tape();
  tape.toggle([0, 0]);
  tape.point([1, 1]);
  expect(tape.says("si")).toBe("");
  tape.hover([3, 3]);
  tape.point([4, 5]);
  expect(tape.says("si")).toBe("5 m. 3 m across, 4 m up"); // 3, 4, 5
  tape.hover([9, 9]);
  expect(tape.drawn!.at).toEqual([4, 5]); // both are set: the cross rests
  tape.step([1, 0]);
  expect(tape.drawn).toEqual({ at: [5, 5] });
  tape.point([5, 5]);
  tape.back();
  expect(tape.on).toBe(true);
  tape.back();
  expect(tape.on).toBe(false);
});
