// Plain geometry of the floor, in metres east and north. It refuses to know the screen, but for `view`, which is the
// one map from metres to pixels (north is up, pixels grow downwards).

export type XY = readonly [east: number, north: number];

export interface View {
  /** where the zero of the floor is on the screen, px */
  x: number;
  y: number;
  /** pixels to the metre */
  k: number;
}

export interface Box {
  low: XY;
  high: XY;
}

export const onScreen = (v: View, p: readonly number[]): [number, number] => [v.x + p[0]! * v.k, v.y - p[1]! * v.k];
export const onFloor = (v: View, x: number, y: number): XY => [(x - v.x) / v.k, (v.y - y) / v.k];

/** The view that shows a box in a frame of pixels with a margin. */
export function fit(box: Box, width: number, height: number, margin = 40, most = 1200): View {
  const w = Math.max(box.high[0] - box.low[0], 0.5);
  const h = Math.max(box.high[1] - box.low[1], 0.5);
  const k = Math.max(8, Math.min((width - 2 * margin) / w, (height - 2 * margin) / h, most));
  return {
    k,
    x: width / 2 - ((box.low[0] + box.high[0]) / 2) * k,
    y: height / 2 + ((box.low[1] + box.high[1]) / 2) * k,
  };
}

/** Zooms by a factor about a point of the screen, which stays where it is. */
export function zoom(v: View, by: number, x: number, y: number): View {
  const k = Math.min(1200, Math.max(8, v.k * by));
  const f = k / v.k;
  return { k, x: x - (x - v.x) * f, y: y - (y - v.y) * f };
}

export function boxOf(points: readonly (readonly number[])[]): Box {
  const e = points.map((p) => p[0]!);
  const n = points.map((p) => p[1]!);
  return { low: [Math.min(...e), Math.min(...n)], high: [Math.max(...e), Math.max(...n)] };
}

/** What a shape takes of the screen. */
export function rectOf(v: View, polygon: readonly (readonly number[])[]): { x: number; y: number; w: number; h: number } {
  const b = boxOf(polygon.map((c) => onScreen(v, c)));
  return { x: b.low[0], y: b.low[1], w: b.high[0] - b.low[0], h: b.high[1] - b.low[1] };
}

/** Where a footprint faces: its first edge is its front. Clockwise from north, 0 to 2π. */
export function facingOf(footprint: readonly (readonly number[])[]): number {
  if (footprint.length < 3) return 0;
  const c = middle(footprint);
  const [a, b] = [footprint[0]!, footprint[1]!];
  const bearing = Math.atan2((a[0]! + b[0]!) / 2 - c[0], (a[1]! + b[1]!) / 2 - c[1]);
  return (bearing + 2 * Math.PI) % (2 * Math.PI);
}

/** A bearing from one point to another, to the next whole step. */
export function bearing(from: readonly number[], to: readonly number[], step: number): number {
  return Math.round(Math.atan2(to[0]! - from[0]!, to[1]! - from[1]!) / step) * step;
}

export function middle(points: readonly (readonly number[])[]): XY {
  const b = boxOf(points);
  return [(b.low[0] + b.high[0]) / 2, (b.low[1] + b.high[1]) / 2];
}

/** An SVG path through points, in metres. */
export function path(points: readonly (readonly number[])[], closed = false): string {
  if (points.length === 0) return "";
  const f = (x: number) => Number(x.toFixed(4));
  return points.map((p, i) => `${i ? "L" : "M"}${f(p[0]!)} ${f(p[1]!)}`).join("") + (closed ? "Z" : "");
}

export function lengthOf(line: readonly (readonly number[])[]): number {
  let sum = 0;
  for (let i = 1; i < line.length; i++) sum += Math.hypot(line[i]![0]! - line[i - 1]![0]!, line[i]![1]! - line[i - 1]![1]!);
  return sum;
}

/** The point a share of the way along a line, and the direction there. */
export function along(line: readonly (readonly number[])[], share: number): { at: XY; direction: XY } {
  const first = line[0] ?? [0, 0];
  let left = lengthOf(line) * share;
  let direction: XY = [1, 0];
  for (let i = 1; i < line.length; i++) {
    const a = line[i - 1]!;
    const b = line[i]!;
    const d = Math.hypot(b[0]! - a[0]!, b[1]! - a[1]!);
    if (d < 1e-9) continue;
    direction = [(b[0]! - a[0]!) / d, (b[1]! - a[1]!) / d];
    if (left <= d) return { at: [a[0]! + direction[0] * left, a[1]! + direction[1] * left], direction };
    left -= d;
  }
  const last = line.at(-1) ?? first;
  return { at: [last[0]!, last[1]!], direction };
}

/**
 * A line beside a line, d metres towards the lower edge of the screen (the right edge where it runs upright):
 * there what has settled lies.
 */
export function lowered(line: readonly (readonly number[])[], d: number): XY[] {
  return line.map((p, i) => {
    const a = line[Math.max(0, i - 1)]!;
    const b = line[Math.min(line.length - 1, i + 1)]!;
    const l = Math.hypot(b[0]! - a[0]!, b[1]! - a[1]!) || 1;
    let n: [number, number] = [(b[1]! - a[1]!) / l, -(b[0]! - a[0]!) / l];
    const upright = Math.abs(n[1]) < 0.2;
    if (upright ? n[0] < 0 : n[1] > 0) n = [-n[0], -n[1]];
    return [p[0]! + n[0] * d, p[1]! + n[1] * d];
  });
}

/** Lies p inside the polygon? */
export function inside(p: XY, polygon: readonly (readonly number[])[]): boolean {
  let is = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const a = polygon[i]!;
    const b = polygon[j]!;
    if (a[1]! > p[1] !== b[1]! > p[1] && p[0] < ((b[0]! - a[0]!) * (p[1] - a[1]!)) / (b[1]! - a[1]!) + a[0]!) is = !is;
  }
  return is;
}

/** A free place for a twin: its own width beside it, to the east if the room has it there, else to the west. */
export function besides(thing: { at: readonly number[]; footprint: readonly (readonly number[])[] }, room: readonly (readonly number[])[]): XY {
  const b = thing.footprint.length ? boxOf(thing.footprint) : undefined;
  const step = (b ? b.high[0] - b.low[0] : 0.6) + 0.3;
  const east: XY = [thing.at[0]! + step, thing.at[1]!];
  return room.length && !inside(east, room) ? [thing.at[0]! - step, thing.at[1]!] : east;
}

export const snap = (v: number, step: number) => Math.round(v / step) * step;

/** A round length for the scale bar, at most `most` metres: 1, 2 or 5 of a power of ten, in feet or metres. */
export function scaleBar(most: number, foot: boolean): number {
  const unit = foot ? 0.3048 : 1;
  const n = most / unit;
  const power = 10 ** Math.floor(Math.log10(n));
  const step = [5, 2, 1].find((s) => s * power <= n) ?? 1;
  return step * power * unit;
}
