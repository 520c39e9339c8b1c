// What a change did: before -> after for every port it touched.
import type { LookPort } from "./types";

export interface Shift {
  port: string;
  before: number;
  after: number;
}

/** Ports whose airflow differs by more than half a per cent and more than one cfm. */
export function shifts(before: readonly LookPort[], after: readonly LookPort[]): Shift[] {
  const was = new Map(before.map((p) => [p.port, p.gets_m3s]));
  const out: Shift[] = [];
  for (const p of after) {
    const b = was.get(p.port);
    if (b === undefined) continue;
    const d = Math.abs(p.gets_m3s - b);
    if (d > 0.00047 && d > 0.005 * b) out.push({ port: p.port, before: b, after: p.gets_m3s });
  }
  return out;
}

/**
 * Ports of a quick answer with the ranges of the last deep one, moved along with the number: while a hand moves, a range is as wide
 * for its number as it was, and worked out anew when the hand rests. Chances are not carried: they change where the need is met.
 */
export function withRanges(quick: readonly LookPort[], deep: readonly LookPort[]): LookPort[] {
  const known = new Map(deep.filter((p) => p.gets_m3s > 0 && p.low_m3s !== undefined && p.high_m3s !== undefined).map((p) => [p.port, p]));
  return quick.map((p) => {
    const d = known.get(p.port);
    if (!d || p.low_m3s !== undefined || d.running !== p.running) return p;
    const by = p.gets_m3s / d.gets_m3s;
    return { ...p, low_m3s: d.low_m3s! * by, high_m3s: d.high_m3s! * by };
  });
}

/** The worst port first: the smallest share of its need. Ports with no need come last. */
export function worst(ports: readonly LookPort[]): LookPort | undefined {
  const share = (p: LookPort) => (p.needs_chips_m3s > 0 ? p.gets_m3s / p.needs_chips_m3s : Infinity);
  return ports.reduce<LookPort | undefined>((a, b) => (a && share(a) <= share(b) ? a : b), undefined);
}

/** Ports of one machine, those that run first. */
export const portsOf = (ports: readonly LookPort[], machine: string) =>
  ports.filter((p) => p.machine === machine).sort((a, b) => Number(b.running) - Number(a.running));

/** A name no other thing has: "planer", "planer 2", "planer 3". */
export function freshName(wanted: string, taken: readonly string[]): string {
  if (!taken.includes(wanted)) return wanted;
  const stem = wanted.replace(/ \d+$/, "");
  for (let i = 2; ; i++) if (!taken.includes(`${stem} ${i}`)) return `${stem} ${i}`;
}
