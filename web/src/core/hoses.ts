// The end of a hose that one carries from machine to machine: where it is, and which machines could take it.
import { along, inside, lengthOf, type XY } from "./geometry";
import type { LaidHose, Machine } from "./types";

export interface HoseEnd {
  system: string;
  run: string;
  /** the machine it is at */
  machine: string;
  at: XY;
  line: readonly (readonly number[])[];
  /** the ports that take it now */
  has: string[];
  /** the port each machine would take it with, by machine; first those that have it already */
  ports: Map<string, string>;
}

/** The ports that take a run now, in the order of the file. */
export const takers = (lays: readonly LaidHose[], system: string, run: string) => [
  ...new Set(lays.filter((l) => l.system === system && l.run === run).map((l) => l.port)),
];

/**
 * The ends of the hoses that are shown and that another machine could take: one that has it already, or one with a port that
 * nothing takes chips from.
 */
export function hoseEnds(shown: readonly LaidHose[], all: readonly LaidHose[], machines: readonly Machine[], away: ReadonlySet<string>): HoseEnd[] {
  return shown.flatMap((l) => {
    const first = l.line[0];
    if (!first) return [];
    const has = takers(all, l.system, l.run);
    const ports = new Map<string, string>();
    for (const p of has) {
      const m = p.split("/")[0]!;
      if (!ports.has(m)) ports.set(m, p);
    }
    for (const m of machines) if (!m.served && m.ports[0] && !ports.has(m.name)) ports.set(m.name, m.ports[0].port);
    for (const m of away) ports.delete(m);
    return ports.size > 1 ? [{ system: l.system, run: l.run, machine: l.machine, at: [first[0]!, first[1]!] as XY, line: l.line, has, ports }] : [];
  });
}

/** The ports that take the hose once this machine does too: as the file writes them. */
export function withTaker(end: HoseEnd, machine: string): string[] {
  const port = end.ports.get(machine);
  return port && !end.has.includes(port) ? [...end.has, port] : end.has;
}

/** Where the hand takes it: on the hose, a little way after it has left the machine, so that it hides nothing of that. */
export function handle(end: HoseEnd, footprint: readonly (readonly number[])[], off_m: number): XY {
  const whole = lengthOf(end.line);
  const step = 0.02; // m
  let left = 0; // a port may be on the far side: then the hose first runs below the machine
  for (let s = 0; s < 0.4 * whole; s += step) if (inside(along(end.line, s / whole).at, footprint)) left = s;
  return along(end.line, Math.min(0.5, (left + off_m) / Math.max(whole, 1e-6))).at;
}
