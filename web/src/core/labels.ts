// Places names on the floor so that they do not lie on each other. Pixels, y downwards.

export interface Rect {
  x: number;
  y: number;
  w: number;
  h: number;
}

export interface Wanted {
  key: string;
  /** what is named */
  of: Rect;
  w: number;
  h: number;
  /** what is written in it rather than beside it: areas */
  inside?: boolean;
  /** left out where it could not be read: it would lie on other names or things */
  spare?: boolean;
}

const gap = 5;
/** A name over a pipe can still be read, over another name it cannot. */
const faint = 0.3;
/** The share of a spare name that may be covered. */
const bearable = 0.12;

const overlap = (a: Rect, b: Rect) =>
  Math.max(0, Math.min(a.x + a.w, b.x + b.w) - Math.max(a.x, b.x)) * Math.max(0, Math.min(a.y + a.h, b.y + b.h) - Math.max(a.y, b.y));

/** How far two rectangles are from each other. */
function apart(a: Rect, b: Rect): number {
  const dx = Math.max(0, a.x - b.x - b.w, b.x - a.x - a.w);
  const dy = Math.max(0, a.y - b.y - b.h, b.y - a.y - a.h);
  return Math.hypot(dx, dy);
}

/** A name nearer to another thing than to its own would be taken for that one's. */
const misleads = (s: Rect, l: Wanted, wanted: readonly Wanted[]) =>
  !l.inside && wanted.some((o) => o !== l && !o.inside && apart(s, o.of) < apart(s, l.of) - 0.5);

/**
 * Above, below, right, left, in this order; the first that is free, else the one that covers least. What is wanted first
 * chooses first. `taken` is what no name should lie on, `crossed` what it had better not (pipes, hoses).
 */
export function placeLabels(wanted: readonly Wanted[], taken: readonly Rect[], frame?: Rect, crossed: readonly Rect[] = []): Map<string, Rect> {
  const out = new Map<string, Rect>();
  const used: Rect[] = [...taken];
  for (const l of wanted) {
    const { of, w, h } = l;
    const spots = (l.inside ? within(of, w, h) : beside(of, w, h)).map((s) => ({ ...clamped(s, w, h, frame), w, h }));
    let best = spots[0]!;
    let least = Infinity;
    let hard = 0;
    for (const s of spots) {
      const lies = used.reduce((sum, u) => sum + overlap(s, u), 0) + (misleads(s, l, wanted) ? 0.5 * w * h : 0);
      if (lies >= least) continue; // the many beads of hoses need not be looked at
      const covered = lies + faint * Math.min(w * h, crossed.reduce((sum, u) => sum + overlap(s, u), 0));
      if (covered < least) [best, least, hard] = [s, covered, lies];
      if (covered === 0) break;
    }
    if (l.spare && hard > bearable * w * h) continue;
    used.push(best);
    out.set(l.key, best);
  }
  return out;
}

/** Small squares along a line of pixels, as wide as it: what a name over it would cross. */
export function beads(line: readonly (readonly [number, number])[], width: number): Rect[] {
  const out: Rect[] = [];
  const size = Math.max(width, 10);
  for (let i = 1; i < line.length; i++) {
    const [a, b] = [line[i - 1]!, line[i]!];
    const n = Math.max(1, Math.ceil(Math.hypot(b[0] - a[0], b[1] - a[1]) / size));
    for (let k = 0; k < n; k++) {
      const t = (k + 0.5) / n;
      out.push({ x: a[0] + (b[0] - a[0]) * t - size / 2, y: a[1] + (b[1] - a[1]) * t - size / 2, w: size, h: size });
    }
  }
  return out;
}

/** A name stays in the frame, so that it can be read; what is named outside of it takes its name along. */
function clamped(s: { x: number; y: number }, w: number, h: number, frame?: Rect) {
  if (!frame || s.y + h < frame.y || s.y > frame.y + frame.h) return s;
  return { x: Math.max(frame.x, Math.min(s.x, frame.x + frame.w - w)), y: Math.max(frame.y, Math.min(s.y, frame.y + frame.h - h)) };
}

function beside(of: Rect, w: number, h: number) {
  const out = [];
  const middle = of.x + of.w / 2 - w / 2;
  const half = of.y + of.h / 2 - h / 2;
  for (const far of [gap, gap + h * 0.8]) {
    const [above, below] = [of.y - h - far, of.y + of.h + far];
    for (const x of [of.x, of.x + of.w - w, middle]) out.push({ x, y: above }, { x, y: below });
    for (const y of [half, of.y, of.y + of.h - h]) out.push({ x: of.x + of.w + far, y }, { x: of.x - w - far, y });
  }
  return out;
}

const within = (of: Rect, w: number, h: number) => [
  { x: of.x + gap, y: of.y + of.h - h - gap },
  { x: of.x + of.w - w - gap, y: of.y + of.h - h - gap },
  { x: of.x + gap, y: of.y + gap },
  { x: of.x + of.w - w - gap, y: of.y + gap },
  { x: of.x + of.w / 2 - w / 2, y: of.y + of.h / 2 - h / 2 },
];
