import { afterEach, beforeEach, expect, it, vi } from "vitest";
import type { State } from "../core/types";
import { api, emptyLayout, Refusal } from "./api";
import { Doc } from "./doc.svelte";

let rev = 3;
let landed: (() => void)[] = [];
let hear: (rev: number, cause: string) => void = () => {};
const settle = async () => {
  landed.splice(0).forEach((l) => l());
  for (let i = 0; i < 6; i++) await Promise.resolve();
};

beforeEach(() => {
  [rev, landed] = [3, []];
  vi.spyOn(api, "state").mockImplementation(async () => {
    const at = rev;
    await new Promise<void>((y) => landed.push(y));
    return { rev: at, undo: at < 5 ? "moved planer" : "", machines: [], systems: [], arrangements: [], faults: [], layout: emptyLayout } as unknown as State;
  });
  vi.spyOn(api, "events").mockImplementation((changed) => ((hear = changed), () => {}));
});
afterEach(() => void vi.restoreAllMocks());

it("loads once at the start, though the stream begins with the revision that is under way", async () => {
  const doc = new Doc(() => {});
  doc.follow();
  void doc.load();
  hear(3, "");
  await settle();
  await settle();
  expect(doc.rev).toBe(3);
  expect(api.state).toHaveBeenCalledTimes(1);
});

it("loads again where the stream heard of a later revision meanwhile", async () => {
  const changed = vi.fn();
  const doc = new Doc(changed);
  doc.follow();
  void doc.load();
  rev = 4;
  hear(4, "moved planer");
  await settle();
  expect(doc.rev).toBe(3);
  await settle();
  expect(doc.rev).toBe(4);
  expect(doc.last).toBe("moved planer");
  expect(changed).toHaveBeenCalledTimes(1);
});

it("gives up on a revision that never comes", async () => {
  const doc = new Doc(() => {});
  doc.follow();
  void doc.load();
  hear(99, "of another life");
  for (let i = 0; i < 6; i++) await settle();
  expect(vi.mocked(api.state).mock.calls.length).toBeLessThan(5);
  expect(doc.rev).toBe(3);
});

it("writes one after the other, each from where the one before left off", async () => {
  const asked: number[] = [];
  vi.spyOn(api, "step").mockImplementation(async (_which, at) => (asked.push(at), { rev: ++rev, what: "" }));
  const doc = new Doc(() => {});
  void doc.load();
  await settle();
  const all = Promise.all([doc.undo(), doc.undo(), doc.undo()]);
  for (let i = 0; i < 20; i++) await settle();
  expect(await all).toEqual([true, true, undefined]); // the third has nothing to undo: it asks nobody
  expect(asked).toEqual([3, 4]);
});

it("tells a server that refuses from one that does not answer", () => {
  for (const [e, said, unreachable, locked] of [
    [new Refusal(422, "revision 3 is not known any more"), "revision 3 is not known any more", false, false],
    [new Refusal(503, "too large to finish in 20 s"), "too large to finish in 20 s", false, false],
    [new Refusal(401, "say the passphrase"), "", false, true],
    [new TypeError("Failed to fetch"), "", true, false],
  ] as const) {
    const doc = new Doc(() => {});
    expect([doc.failed(e), doc.unreachable, doc.locked]).toEqual([said, unreachable, locked]);
  }
});
