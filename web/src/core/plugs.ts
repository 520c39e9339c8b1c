// Plugs on the floor: where a badge says which circuit an outlet hangs on, and where a plug may be taken in the hand.
import { placesFor, type Load, type Power } from "./power";
import type { XY } from "./geometry";
import type { Layout } from "./types";

export interface Socket {
  name: string;
  circuit: string;
  at: XY;
}

/** Outlets with a place on the floor. */
export const sockets = (layout: Layout): Socket[] => layout.outlets.filter((o) => o.placed).map((o) => ({ name: o.name, circuit: o.circuit, at: [o.at[0]!, o.at[1]!] }));

export interface Plug {
  load: Load;
  /** its outlet, with the place */
  socket: Socket;
  /** the other end of its cord */
  from: XY;
  /** outlets with a place that it fits, its own first, the others by how near they are */
  fits: Socket[];
}

/** The plugs of these loads that have a cord on the floor. */
export function plugs(p: Power, layout: Layout, shown: (l: Load) => boolean): Plug[] {
  const all = sockets(layout);
  return p.loads.filter((l) => l.outlet && shown(l)).flatMap((load) => {
    const cord = layout.cords.find((c) => c.of === load.name);
    const socket = all.find((s) => s.name === load.outlet);
    if (!cord?.line.length || !socket) return [];
    const from: XY = [cord.line[0]![0]!, cord.line[0]![1]!];
    const far = (s: Socket) => Math.hypot(s.at[0] - from[0], s.at[1] - from[1]);
    const fit = new Set(placesFor(p, load).filter((x) => !x.unfit).map((x) => x.outlet.name));
    const others = all.filter((s) => s.name !== load.outlet && fit.has(s.name)).sort((a, b) => far(a) - far(b));
    return [{ load, socket, from, fits: [socket, ...others] }];
  });
}

/**
 * Where the handles of plugs that share an outlet are drawn, in pixels: beside the badge toward their machines, and fanned out where
 * they would lie on each other.
 */
export function handles(all: readonly Plug[], screen: (p: XY) => [number, number], far: number, apart: number): Map<string, [number, number]> {
  const out = new Map<string, [number, number]>();
  for (const s of new Set(all.map((p) => p.socket.name))) {
    const mine = all.filter((p) => p.socket.name === s).map((p) => {
      const [x, y] = screen(p.socket.at);
      const [fx, fy] = screen(p.from);
      return { key: p.load.name, x, y, angle: fx === x && fy === y ? Math.PI / 2 : Math.atan2(fy - y, fx - x) };
    });
    mine.sort((a, b) => a.angle - b.angle);
    const least = apart / far;
    for (let i = 1; i < mine.length; i++) mine[i]!.angle = Math.max(mine[i]!.angle, mine[i - 1]!.angle + least);
    for (const m of mine) out.set(m.key, [m.x + Math.cos(m.angle) * far, m.y + Math.sin(m.angle) * far]);
  }
  return out;
}

/** The socket under the hand: the nearest within reach of a thumb. */
export function under(at: [number, number], all: readonly Socket[], screen: (p: XY) => [number, number], reach = 30): Socket | undefined {
  let best: { s: Socket; d: number } | undefined;
  for (const s of all) {
    const [x, y] = screen(s.at);
    const d = Math.hypot(x - at[0], y - at[1]);
    if (d <= reach && (!best || d < best.d)) best = { s, d };
  }
  return best?.s;
}

