// The fill mark: an open vessel filled to gets/needs. It reads without colour: full to the notch, or a broken rim.

export interface Mark {
  /** how high it stands, of the vessel's height, 0 to 1 */
  level: number;
  /** where the chips leave, of the vessel's height */
  chips: number;
  /** where fine dust is caught too; undefined where nothing is known of it or it is beyond the rim */
  fine?: number;
  /** the 90 % range, of the vessel's height */
  band?: [low: number, high: number];
  short: boolean;
}

/** The chips notch stands at this part of the height, so that "enough" always looks the same. */
export const notch = 0.62;

export interface Filled {
  gets_m3s: number;
  needs_chips_m3s: number;
  needs_fine_m3s: number;
  low_m3s?: number;
  high_m3s?: number;
}

const clamp = (x: number) => Math.min(1, Math.max(0, x));

export function mark(p: Filled): Mark | undefined {
  if (!(p.needs_chips_m3s > 0) || !Number.isFinite(p.gets_m3s)) return undefined;
  const at = (q: number) => clamp((q / p.needs_chips_m3s) * notch);
  const fine = (p.needs_fine_m3s / p.needs_chips_m3s) * notch;
  return {
    level: at(p.gets_m3s),
    chips: notch,
    fine: fine > notch && fine < 0.99 ? fine : undefined,
    band: p.low_m3s !== undefined && p.high_m3s !== undefined ? [at(p.low_m3s), at(p.high_m3s)] : undefined,
    short: p.gets_m3s < p.needs_chips_m3s,
  };
}

/** "4 parts in 10", as the first two minutes say it; under half a part it is said so. */
export function parts(share: number): string {
  const n = Math.round(share * 10);
  if (n < 1) return "under 1 part in 10";
  return n === 1 ? "1 part in 10" : `${n} parts in 10`;
}

/** "the hose", "the machine's own mouth". */
export const withThe = (group: string) => (group.startsWith("the ") ? group : `the ${group}`);

/** Seconds a fleck takes for a metre of the floor: a twentieth of the air's own pace, slowly enough to be followed. */
export const pace = (speed_ms: number) => 20 / Math.max(1, speed_ms);

export type Lie = "moving" | "low" | "mixed" | "lying" | "still";

/** How flecks show what becomes of the chips in a piece. */
export function lie(chips: string, speed_ms: number): Lie {
  if (speed_ms < 1) return "still";
  switch (chips) {
    case "will drop":
      return "lying";
    case "expect settling":
      return "mixed";
    case "may settle":
      return "low";
  }
  return "moving";
}
