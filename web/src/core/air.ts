// The room's air in words and lines: how ratios, waits and levels are said (the twin of internal/study/roomair/say.go, held
// to the same table), the day as runs, and what the two drawings are made of. Start at `runsOf`.
import type { components } from "../api";
import type { Edit } from "./types";
import { print, printRange, type Units } from "./units";

type Schemas = components["schemas"];
export type Air = Schemas["Air"];
export type AirOption = Schemas["AirOption"];
export type AirTask = Schemas["Task"];
export type AirPoint = Schemas["Point"];
export type AirFinding = Schemas["CuredFinding"];
export type Span = Schemas["Span"];
export type Left = Schemas["Left"];
type Levels = Schemas["Levels"];

// What is said.

/** A text to two figures of the unit it is shown in: nothing here is known better. */
export function two(quantity: string, v: number, units: Units): string {
  const text = print(quantity, v, units);
  const cut = text.indexOf(" ");
  const x = Number(cut < 0 ? text : text.slice(0, cut));
  if (!Number.isFinite(x) || x === 0) return text; // sixteenths of an inch are coarse enough
  return cut < 0 ? String(figures(x)) : `${figures(x)}${text.slice(cut)}`;
}
function figures(x: number): number {
  const p = 10 ** (1 - Math.floor(Math.log10(Math.abs(x))));
  return Math.round(x * p) / p;
}
const twoOf = (v: number) => (v > 0 && Number.isFinite(v) ? figures(v) : v);

/** A level is a range first; a single number would say more than is known. */
export const levels = (l: Pick<Levels, "low_kgm3" | "high_kgm3">, units: Units) => printRange("concentration", twoOf(l.low_kgm3), twoOf(l.high_kgm3), units);

export const share = (x: number) => (x > 0 && x < 0.005 ? "under 1 %" : `${Math.round(100 * x)} %`);

/** A share and its range: "68 % (46 to 83)". */
export const shareRange = (s: Span) => `${share(s.median)} (${Math.round(100 * s.low)} to ${Math.round(100 * s.high)})`;

const times = (x: number) => two("number", x, "si");
const signed = (less: number) => (less > 0 ? `${less} less` : less < 0 ? `${-less} more` : "0");

/** A ratio as how much less of what it is than at another time; from twice as much on as times. */
export function less(s: Span, what = "", than = "today"): string {
  if (s.median >= 1.95) return `${times(s.median)} times as much${what} (${times(s.low)} to ${times(s.high)})`;
  const part = (x: number) => Math.sign(1 - x) * Math.round(Math.abs(100 * (1 - x))) || 0;
  const [mid, most, least] = [part(s.median), part(s.low), part(s.high)];
  if (mid === 0 && most <= 1 && least >= -1) return `as much${what} as ${than}`;
  if (mid > 0 && least >= 0) return `${mid} % less${what} (${least} to ${most})`;
  if (mid < 0 && most <= 0) return `${-mid} % more${what} (${-most} to ${-least})`;
  if (mid > 0) return `${mid} % less${what} (${signed(most)} to ${signed(least)})`;
  if (mid < 0) return `${-mid} % more${what} (${signed(most)} to ${signed(least)})`;
  return `about as much${what} as ${than} (${signed(most)} to ${signed(least)})`;
}

/** A time as it is said of waits and chores: whole minutes, from an hour on in hours where that is short. */
export function wait(s: number): string {
  const m = Math.max(1, Math.round(s / 60));
  if (m >= 48 * 60) return `${Math.round(m / 1440)} days`;
  if (m >= 60 && m % 30 === 0) return `${m / 60} h`;
  return `${m} min`;
}

/** A moment of the day: "2 h 10 min". */
export function clock(s: number): string {
  const m = Math.round(s / 60);
  if (m < 60) return `${m} min`;
  return m % 60 ? `${Math.floor(m / 60)} h ${m % 60} min` : `${m / 60} h`;
}

/** The airflow of something to buy or build: in steps, up, as too small is the worse mistake. */
export function size(m3s: number, units: Units): string {
  const step = units === "us" ? 50 * 0.000471947443 : 100 / 3600;
  return print("airflow", step * Math.max(1, Math.ceil(m3s / step - 0.25)), units);
}

/** A difference of temperature. */
export const colder = (k: number, units: Units) => (units === "us" ? `${Math.round(1.8 * k)} °F` : `${Math.round(k)} °C`);

// The day.

export type Mask = "yes" | "better" | "";

/** A stretch of the day in which one thing goes on. */
export interface Run {
  kind: "machine" | "chore" | "pause" | "away";
  name: string;
  from_s: number;
  to_s: number;
  points: readonly AirPoint[];
  mask: Mask;
  /** 1, 2, 3 of those that have a name */
  number: number;
}

export function runsOf(day: readonly AirPoint[], tasks: readonly AirTask[]): Run[] {
  const out: Run[] = [];
  for (const p of day) {
    const last = out.at(-1);
    if (last && last.name === (p.running ?? "") && last.points[0]!.there === p.there) {
      last.points = [...last.points, p];
      last.to_s = p.to_s;
      continue;
    }
    const task = tasks.find((t) => t.name === p.running);
    out.push({
      kind: task ? (task.chore ? "chore" : "machine") : p.there ? "pause" : "away",
      name: p.running ?? "", from_s: p.from_s, to_s: p.to_s, points: [p], mask: maskOf(task), number: 0,
    });
  }
  let n = 0;
  for (const r of out) if (r.name) r.number = ++n;
  return out;
}

const maskOf = (t: AirTask | undefined): Mask => (t?.mask === "yes" || t?.mask === "better" ? t.mask : "");

/** Where a mask is due, one bar for neighbours of the same word: nobody takes it off for a pause. */
export function maskBars(runs: readonly Run[]): { from_s: number; to_s: number; mask: Mask }[] {
  const out: { from_s: number; to_s: number; mask: Mask }[] = [];
  let bridge = false;
  for (const r of runs) {
    if (r.kind === "pause") continue;
    const last = out.at(-1);
    if (r.mask && bridge && last?.mask === r.mask) last.to_s = r.to_s;
    else if (r.mask) out.push({ from_s: r.from_s, to_s: r.to_s, mask: r.mask });
    bridge = !!r.mask;
  }
  return out;
}

/** The range of a stretch: the least of its low ends to the most of its high ones. */
export const envelope = (r: Run) => ({
  low_kgm3: Math.min(...r.points.map((p) => p.respirable.low_kgm3)),
  high_kgm3: Math.max(...r.points.map((p) => p.respirable.high_kgm3)),
});

/** The point of a moment; the last one at the end. */
export const pointAt = (day: readonly AirPoint[], s: number) => day.find((p) => s < p.to_s) ?? day.at(-1);

export interface Decades {
  bottom: number;
  top: number;
}

/** Powers of ten that hold the line, four at most below its highest: less is not worth looking at. */
export function decades(day: readonly AirPoint[]): Decades {
  const high = Math.max(...day.map((p) => p.respirable.high_kgm3), 1e-12);
  const low = Math.min(...day.filter((p) => p.there).map((p) => p.respirable.low_kgm3).filter((v) => v > 0), high);
  const top = Math.ceil(Math.log10(high) - 1e-9);
  return { bottom: Math.min(top - 1, Math.max(top - 4, Math.floor(Math.log10(low) + 1e-9))), top };
}

export const ticksOf = (d: Decades) => Array.from({ length: d.top - d.bottom + 1 }, (_, i) => 10 ** (d.bottom + i));

/** How high a level stands, 0 at the bottom and 1 at the top. What is below the bottom leaves the drawing there. */
export const heightOf = (v: number, d: Decades) => Math.min(1, Math.max(-1, (Math.log10(Math.max(v, 1e-30)) - d.bottom) / (d.top - d.bottom)));

/** The line of one stretch: each point is a mean, so it stands in the middle of its time; the ends are level. */
export function lineOf(r: Run, of: keyof Levels): [s: number, level: number][] {
  const first = r.points[0]!;
  const last = r.points.at(-1)!;
  return [
    [r.from_s, first.respirable[of]],
    ...(r.points.length > 2 ? r.points.slice(1, -1).map((p): [number, number] => [(p.from_s + p.to_s) / 2, p.respirable[of]]) : []),
    [r.to_s, last.respirable[of]],
  ];
}

/** Marks of the hours, five to nine of them. */
export function hoursOf(end_s: number, most = 9): number[] {
  const hours = end_s / 3600;
  const step = [0.5, 1, 2, 3, 4, 6].find((h) => hours / h <= most) ?? 12;
  return Array.from({ length: Math.floor(hours / step + 1e-9) + 1 }, (_, i) => i * step * 3600);
}

/** Names under their bars in rows, none over another; -1 where there is no room. */
export function rowsOf(items: readonly { at: number; width: number }[], width: number, rows = 3, gap = 10): number[] {
  const ends = Array<number>(rows).fill(-Infinity);
  return items.map((i) => {
    const left = labelLeft(i, width);
    const row = ends.findIndex((e) => e + gap <= left);
    if (row >= 0) ends[row] = left + i.width;
    return row;
  });
}

/** Names stay inside the drawing. */
export const labelLeft = (i: { at: number; width: number }, width: number) => Math.max(0, Math.min(width - i.width, i.at - i.width / 2));

/** The sign of a mask, in a box of 20 by 16. */
export const cupOfMask = "M4 4.4Q10 2.6 16 4.4V10Q15.2 14 10 14Q4.8 14 4 10Z";
export const strapsOfMask = "M4 5.2C.4 5.2 .6 9.8 4 9.8M16 5.2C19.6 5.2 19.4 9.8 16 9.8";
export const foldsOfMask = "M6.6 7.2H13.4M6.9 10.1H13.1";

// What helps.

export const hardly = (o: AirOption) => o.inhalable_of_today.median > 0.985 && o.respirable_of_today.median > 0.985;

/** Free ones first, each group by what it spares, held-back ones last; what hardly helps stands apart. */
export function sorted(options: readonly AirOption[]): { shown: AirOption[]; little: AirOption[] } {
  const rank = (o: AirOption) => (o.withheld ? 2 : o.free ? 0 : 1);
  const by = (a: AirOption, b: AirOption) => rank(a) - rank(b) || a.inhalable_of_today.median - b.inhalable_of_today.median;
  return { shown: options.filter((o) => !hardly(o)).sort(by), little: options.filter(hardly) };
}

/** Bars end a quarter beyond today. */
export const barEnd = 1.25;
export const barOf = (s: Span) => ({ low: clip(s.low), median: clip(s.median), high: clip(s.high), beyond: s.high > barEnd });
const clip = (x: number) => Math.min(1, Math.max(0, x / barEnd));

/** The edits a finding's cure or an option writes; none where the file cannot say it. */
export const curesOf = (f: AirFinding) => (f.remedies ?? []).filter((r) => r.edits.length > 0);

// What changed.

export interface Change {
  what: "day" | "finest" | "wait" | "mask";
  name: string;
  before: string;
  after: string;
}

/** What another answer says differently, in the figures that are shown. */
export function changesOf(before: Air, after: Air, units: Units): Change[] {
  const out: Change[] = [];
  const add = (what: Change["what"], name: string, b: string, a: string) => b !== a && out.push({ what, name, before: b, after: a });
  add("day", "", levels(before.twa_8h.inhalable, units), levels(after.twa_8h.inhalable, units));
  add("finest", "", levels(before.twa_8h.respirable, units), levels(after.twa_8h.respirable, units));
  add("wait", "", wait(before.clearing.stay_out.nine_in_ten_s), wait(after.clearing.stay_out.nine_in_ten_s));
  for (const t of after.tasks) {
    const was = before.tasks.find((x) => x.name === t.name);
    if (was) add("mask", t.name, was.mask, t.mask);
  }
  return out;
}

// What is asked.

export type Flame = "none" | "sealed" | "natural" | "unknown";

export function flameEdits(kind: Flame, name: string): Edit[] {
  if (kind === "none") return [{ set: "room/flames", to: "none" }];
  return [{ set: "room/flames", to: { [name.trim() || "flame"]: { draught: kind } } }];
}

/** Hours as they are written: a bare number means hours. */
export const hoursText = (typed: string) => (/^\d+([.,]\d+)?$/.test(typed.trim()) ? `${typed.trim().replace(",", ".")} h` : typed.trim());

/** The edits that write the hours of a week; where none stand in the file yet, all are written at once. */
export function hoursEdits(hours: Readonly<Record<string, string>>, before: Readonly<Record<string, string>>, none: boolean): Edit[] {
  const said = Object.entries(hours).filter(([, h]) => h.trim() !== "");
  if (none) return said.length ? [{ set: "routine/hours per week", to: Object.fromEntries(said.map(([m, h]) => [m, hoursText(h)])) }] : [];
  return said.filter(([m, h]) => hoursText(h) !== (before[m] ?? "")).map(([m, h]) => ({ set: `routine/hours per week/${m}`, to: hoursText(h) }));
}
