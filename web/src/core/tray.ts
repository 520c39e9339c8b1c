// Where things stand that have no place in the file: a tray below the room, or a sheet of their own. Not to scale.
import type { XY } from "./geometry";
import type { Layout } from "./types";

export interface Stand {
  at: XY;
  footprint: XY[];
}

const width = 0.9;
const depth = 0.6;
const step = 1.9;
const row = 1.5;

const box = (e: number, n: number): Stand => ({
  at: [e, n],
  footprint: [[e - width / 2, n + depth / 2], [e + width / 2, n + depth / 2], [e + width / 2, n - depth / 2], [e - width / 2, n - depth / 2]],
});

/** Stands for every machine and system without a place, by name (systems as "system: name"). */
export function tray(l: Layout): Map<string, Stand> {
  const out = new Map<string, Stand>();
  const [west, south, east] = [l.low[0] ?? 0, l.low[1] ?? 0, l.high[0] ?? 0];
  const room = l.placed && east > west;
  const left = room ? west : 0;
  const columns = Math.max(3, Math.floor((room ? east - west : 4 * step) / step));
  let top = room ? south - row : 0;
  const lay = (keys: string[]) => {
    keys.forEach((k, i) => out.set(k, box(left + width / 2 + (i % columns) * step, top - Math.floor(i / columns) * row)));
    if (keys.length) top -= Math.ceil(keys.length / columns) * row + (room ? 0 : 0.5);
  };
  lay(l.machines.filter((m) => !m.placed && !m.away).map((m) => m.name));
  lay(l.systems.filter((y) => !y.placed).map((y) => `system: ${y.name}`));
  return out;
}
