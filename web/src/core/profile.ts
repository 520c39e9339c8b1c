// A run unfolded along its length with its true heights, and where pipes rise or drop.
import type { XY } from "./geometry";
import type { Drawn } from "./pipes";

export interface Stretch {
  key: string;
  hose: boolean;
  /** metres along the floor, metres above it */
  points: [along: number, height: number][];
}

export interface Step {
  at: XY;
  /** metres, up is more than 0 in the direction of the air */
  rise_m: number;
  key: string;
}

/** The pieces in their order, laid end to end. What has no line in the room is left out, and so is its length. */
export function profile(order: readonly string[], lines: readonly Drawn[]): { stretches: Stretch[]; length_m: number; top_m: number } {
  const stretches: Stretch[] = [];
  let s = 0;
  let top = 0;
  for (const key of new Set(order)) { // a sheet may have several rows for one piece
    const d = lines.find((l) => l.key === key && !l.sketch);
    if (!d) continue;
    const points: Stretch["points"] = [];
    d.line.forEach((p, i) => {
      const before = d.line[i - 1];
      if (before) s += Math.hypot(p[0]! - before[0]!, p[1]! - before[1]!);
      points.push([s, p[2] ?? 0]);
      top = Math.max(top, p[2] ?? 0);
    });
    stretches.push({ key, hose: d.hose, points });
  }
  return { stretches, length_m: s, top_m: top };
}

/** Where a pipe goes straight up or down by more than a hand. */
export function risesAndDrops(lines: readonly Drawn[]): Step[] {
  const out: Step[] = [];
  for (const d of lines) {
    if (d.sketch) continue;
    for (let i = 1; i < d.line.length; i++) {
      const [a, b] = [d.line[i - 1]!, d.line[i]!];
      const rise = (b[2] ?? 0) - (a[2] ?? 0);
      if (Math.abs(rise) > 0.15 && Math.hypot(b[0]! - a[0]!, b[1]! - a[1]!) < 0.05) out.push({ at: [b[0]!, b[1]!], rise_m: rise, key: d.key });
    }
  }
  return out;
}
