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
}

const gap = 5;

const overlap = (a: Rect, b: Rect) =>
  Math.max(0, Math.min(a.x + a.w, b.x + b.w) - Math.max(a.x, b.x)) * Math.max(0, Math.min(a.y + a.h, b.y + b.h) - Math.max(a.y, b.y));

/** Above, below, right, left, in this order; the first that is free, else the one that covers least. */
export function placeLabels(wanted: readonly Wanted[], taken: readonly Rect[], frame?: Rect): Map<string, Rect> {
  const out = new Map<string, Rect>();
  const used: Rect[] = [...taken];
  for (const l of wanted) {
    const { of, w, h } = l;
    const spots = (l.inside ? within(of, w, h) : beside(of, w, h)).map((s) => ({ ...clamped(s, w, frame), w, h }));
    let best = spots[0]!;
    let least = Infinity;
    for (const s of spots) {
      const covered = used.reduce((sum, u) => sum + overlap(s, u), 0);
      if (covered < least) [best, least] = [s, covered];
      if (covered === 0) break;
    }
    used.push(best);
    out.set(l.key, best);
  }
  return out;
}

/** A name stays in the frame, so that it can be read. */
function clamped(s: { x: number; y: number }, w: number, frame?: Rect) {
  if (!frame) return s;
  return { x: Math.max(frame.x, Math.min(s.x, frame.x + frame.w - w)), y: s.y };
}

const beside = (of: Rect, w: number, h: number) => [
  { x: of.x, y: of.y - h - gap },
  { x: of.x, y: of.y + of.h + gap },
  { x: of.x + of.w - w, y: of.y - h - gap },
  { x: of.x + of.w - w, y: of.y + of.h + gap },
  { x: of.x + of.w + gap, y: of.y + of.h / 2 - h / 2 },
  { x: of.x - w - gap, y: of.y + of.h / 2 - h / 2 },
];

const within = (of: Rect, w: number, h: number) => [
  { x: of.x + gap, y: of.y + of.h - h - gap },
  { x: of.x + of.w - w - gap, y: of.y + of.h - h - gap },
  { x: of.x + gap, y: of.y + gap },
  { x: of.x + of.w - w - gap, y: of.y + gap },
  { x: of.x + of.w / 2 - w / 2, y: of.y + of.h / 2 - h / 2 },
];
