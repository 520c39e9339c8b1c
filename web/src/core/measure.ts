// Measuring on the floor: two points, and what lies between them. A point near a corner is that corner.
import { onScreen, type View, type XY } from "./geometry";

/** How near a corner catches a point, px. */
const catches = 11;

/** The corner nearest on the screen, if it is near enough; else the point itself. */
export function caught(p: XY, corners: readonly (readonly number[])[], v: View): XY {
  const [x, y] = onScreen(v, p);
  let best: XY = p;
  let near = catches;
  for (const c of corners) {
    const [cx, cy] = onScreen(v, c);
    const d = Math.hypot(cx - x, cy - y);
    if (d < near) [near, best] = [d, [c[0]!, c[1]!]];
  }
  return best;
}

export interface Span {
  length_m: number;
  east_m: number;
  north_m: number;
}

export function span(a: XY, b: XY): Span {
  return { length_m: Math.hypot(b[0] - a[0], b[1] - a[1]), east_m: Math.abs(b[0] - a[0]), north_m: Math.abs(b[1] - a[1]) };
}
