// Which lines of pipe and hose are drawn: a hose that several machines take lies where the one that runs has it.
import { along, lengthOf, type XY } from "./geometry";
import type { AskRunning, LaidHose, LaidPiece, Layout, LookPiece } from "./types";

type Line = readonly (readonly number[])[];

export interface Drawn {
  key: string;
  run: string;
  system: string;
  line: Line;
  size_m: number;
  hose: boolean;
  sketch: boolean;
  air?: LookPiece;
}

/** The way of a hose that is shown: of the machine that runs, else of the one that has it. */
export function shownLay(lays: readonly LaidHose[], running: readonly AskRunning[]): LaidHose | undefined {
  const known = lays.filter((l) => l.known && l.line.length > 1);
  const here = known.filter((l) => l.now);
  return here.find((l) => running.some((r) => r.machine === l.machine)) ?? here[0] ?? known[0];
}

/** The lays that are shown, one a run. */
export function shownLays(layout: Layout, running: readonly AskRunning[]): LaidHose[] {
  const runs = [...new Set(layout.lays.map((l) => `${l.system}/${l.run}`))];
  return runs.map((r) => shownLay(layout.lays.filter((l) => `${l.system}/${l.run}` === r), running)).filter((l) => l !== undefined);
}

export function drawn(layout: Layout, pieces: readonly LookPiece[], running: readonly AskRunning[]): Drawn[] {
  const air = new Map(pieces.map((p) => [p.path, p]));
  const lays = shownLays(layout, running);
  const out: Drawn[] = [];
  for (const p of layout.pieces) {
    // fittings have no air of their own in the answer: it is that of the pipe before or after them
    const fitting = p.what !== "pipe" && p.what !== "hose";
    if (fitting && p.line.length < 2) continue;
    const lay = p.what === "hose" ? lays.find((l) => l.system === p.system && l.run === p.run) : undefined;
    const line = lay?.line ?? (p.line.length > 1 ? p.line : p.sketch);
    if (line.length < 2) continue;
    out.push({
      key: p.path, run: p.run, system: p.system, line, size_m: p.size_m, hose: p.what === "hose", sketch: !lay && p.line.length < 2,
      air: fitting ? beside(layout, p, air) : air.get(p.path),
    });
  }
  const height = (d: Drawn) => d.line.reduce((s, p) => s + (p[2] ?? 0), 0) / d.line.length;
  return out.sort((a, b) => Number(a.hose) - Number(b.hose) || height(a) - height(b));
}

function beside(layout: Layout, p: LaidPiece, air: ReadonlyMap<string, LookPiece>): LookPiece | undefined {
  const run = layout.pieces.filter((q) => q.system === p.system && q.run === p.run);
  const i = run.indexOf(p);
  for (let d = 1; d < run.length; d++) {
    const near = air.get(run[i + d]?.path ?? "") ?? air.get(run[i - d]?.path ?? "");
    if (near) return near;
  }
  return undefined;
}

export interface Spot {
  at: XY;
  direction: XY;
  size_m: number;
}

/** Where a gate is, and how the pipe runs there: on its own line, at its own place, or between its neighbours. */
export function gateSpot(layout: Layout, gate: LaidPiece, lines: readonly Drawn[]): Spot | undefined {
  const own = gate.line.length > 1 ? gate.line : undefined;
  if (own) {
    const a = along(own, 0.5);
    if (lengthOf(own) > 1e-6) return { ...a, size_m: gate.size_m };
  }
  const mates = lines.filter((l) => l.system === gate.system && l.run === gate.run);
  const order = layout.pieces.filter((p) => p.system === gate.system && p.run === gate.run).map((p) => p.path);
  const i = order.indexOf(gate.path);
  const before = mates.filter((m) => order.indexOf(m.key) < i).sort((a, b) => order.indexOf(b.key) - order.indexOf(a.key))[0];
  const after = mates.filter((m) => order.indexOf(m.key) > i).sort((a, b) => order.indexOf(a.key) - order.indexOf(b.key))[0];
  const near = before ? along(before.line, 0.93) : after ? along(after.line, 0.07) : undefined;
  const place: XY = [gate.at[0]!, gate.at[1]!];
  // A gate at the end of its run shares the place of what follows it: it is drawn a little before that.
  if (gate.placed && near) return { at: before && !after ? near.at : place, direction: near.direction, size_m: gate.size_m };
  if (near) return { ...near, size_m: gate.size_m };
  return gate.placed ? { at: place, direction: [1, 0], size_m: gate.size_m } : undefined;
}
