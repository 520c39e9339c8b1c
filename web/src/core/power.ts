// What the place Power draws and says, from the server's answer: bars, words, plugs, plans. Plain functions, no screen.
import type { components } from "../api";
import type { Edit } from "./types";
import { print, type Units } from "./units";

type Schemas = components["schemas"];
export type Power = Schemas["Power"];
export type Circuit = Schemas["Circuit"];
export type Held = Schemas["Held"];
export type Load = Schemas["Load"];
export type Outlet = Schemas["Outlet"];
export type SetResult = Schemas["SetResult"];
export type CuredFinding = Schemas["CuredFinding"];
export type Move = Schemas["Move"];
type Times = Schemas["Times"];
type Share = Schemas["Share"];

/** How hard the machines work: the three currents that are known of every load. */
export type Moment = "idle" | "cut" | "full";
export const moments: Moment[] = ["idle", "cut", "full"];

/** Which loads run together: each circuit at its own worst, or one set for all. */
export type Choice = { set: "worst" } | { set: "one"; of: SetResult };

export const amps = (a: number, u: Units) => print("current", a, u);
export const volts = (v: number, u: Units) => print("voltage", v, u);

/** A list that is left out, or is none, is an empty one. */
export function wholePower(p: Power): Power {
  const lists = ["circuits", "loads", "sets", "rules", "limits", "outlets", "motor_starts", "outdoors", "cautions", "taken", "not_computed", "findings", "sentence"] as const;
  for (const n of lists) (p as unknown as Record<string, unknown>)[n] ??= [];
  p.assignment.moves ??= [];
  p.energy.rows ??= [];
  p.energy.left_out ??= [];
  for (const s of p.sets) for (const h of s.circuits) h.loads ??= [];
  return p;
}

/** One load's part of a bar, from and to in amps. */
export interface Segment {
  name: string;
  load: Load | undefined;
  amps: number;
  from: number;
  to: number;
  /** it cuts at this moment, the others idle */
  cuts: boolean;
}

export interface Bar {
  circuit: Circuit;
  /** none: nothing on this circuit runs in this set */
  held: Held | undefined;
  /** the set it was judged in, in words */
  set: string;
  segments: Segment[];
  total: number;
  /** amps beyond the rating */
  over: number;
}

export function bars(p: Power, choice: Choice, moment: Moment): Bar[] {
  return p.circuits.map((circuit) => {
    const held = choice.set === "worst" ? circuit.worst : choice.of.circuits.find((h) => h.circuit === circuit.name);
    const set = choice.set === "worst" ? (circuit.worst_set ?? "") : choice.of.name;
    const empty = !held || (held.loads ?? []).length === 0;
    const all = empty ? [] : segments(held, moment, p.loads);
    const total = empty ? 0 : totalAt(held, moment);
    return { circuit, held: empty ? undefined : held, set, segments: all, total, over: circuit.known ? Math.max(0, total - circuit.rating_a) : 0 };
  });
}

export const totalAt = (h: Held, m: Moment) => (m === "idle" ? h.idle_a : m === "cut" ? h.cut_a : h.full_a);

/**
 * The loads end to end. What is switched by hand is counted at full plate only, and at a typical cut as many machines cut as there are
 * people: those with the most to add, so that the parts come to the total that was judged.
 */
export function segments(h: Held, moment: Moment, loads: readonly Load[]): Segment[] {
  const of = (s: Share) => loads.find((l) => l.name === s.name && l.circuit === h.circuit);
  const counted = h.loads.filter((s) => moment === "full" || of(s)?.works !== "by hand");
  const cutting = moment === "cut" ? cutters(counted, h) : new Set<Share>();
  let at = 0;
  return counted.map((s) => {
    const a = moment === "full" ? s.full_a : cutting.has(s) ? s.cut_a : s.idle_a;
    const from = at;
    at += a;
    return { name: s.name, load: of(s), amps: a, from, to: at, cuts: cutting.has(s) };
  });
}

function cutters(shares: readonly Share[], h: Held): Set<Share> {
  const byExtra = [...shares].filter((s) => s.cut_a > s.idle_a).sort((a, b) => b.cut_a - b.idle_a - (a.cut_a - a.idle_a));
  let sum = shares.reduce((n, s) => n + s.idle_a, 0);
  const out = new Set<Share>();
  for (const s of byExtra) {
    if (sum >= h.cut_a - 1e-6) break;
    sum += s.cut_a - s.idle_a;
    out.add(s);
  }
  return out;
}

/** The longest bar in amps: it does not change with the moment, so that bars do not jump. */
export function scaleOf(all: readonly Bar[]): number {
  return Math.max(1, ...all.map((b) => Math.max(b.circuit.rating_a, b.held?.full_a ?? 0)));
}

// Words. The twins of the sentences of `winnow power`; a test holds them to the program.

const ladder: readonly [number, string][] = [
  [2, "a second or two"], [5, "5 s"], [10, "10 s"], [15, "15 s"], [20, "20 s"], [30, "half a minute"], [45, "45 s"], [60, "a minute"], [90, "1½ min"],
  [120, "2 min"], [180, "3 min"], [300, "5 min"], [600, "10 min"], [900, "15 min"], [1200, "20 min"], [1800, "half an hour"], [3600, "an hour"],
  [7200, "two hours"],
];

/** A time as it is known: devices of one rating differ by a factor of five and more. The nearest step, in proportion. */
export function about(t_s: number): string {
  let best = ladder[0]!;
  for (const l of ladder.slice(1)) if (t_s * t_s >= best[0] * l[0]) best = l;
  return best[1];
}

/** A chance to 5 %, under 5 and over 95 clamped. */
export function chanceWords(p: number): string {
  if (p < 0.05) return "under 5 %";
  if (p > 0.95) return "over 95 %";
  return `about ${5 * Math.floor(p * 20 + 0.5)} %`;
}

/** A cost as it is known: to two figures, never finer than a hundredth. */
export function costWords(x: number): string {
  if (x >= 100) return String(Number(x.toPrecision(2)));
  return x.toFixed(x >= 9.95 ? 0 : x >= 0.995 ? 1 : 2);
}

/** After how long: the first of idling, a typical cut and full plate that can open the breaker; empty where none can. */
export function whenWords(h: Held): string {
  const saysWhenFrom = 1.2; // times the rating; under it the quick end of the band is no fact
  const steps: [string, Times, number][] = [["even idling", h.at_idle, h.idle_a], ["a typical cut", h.at_cut, h.cut_a], ["full plate", h.at_full, h.full_a]];
  for (const [what, t, i_a] of steps) {
    if (t.may_s === undefined) continue;
    if (t.must_s !== undefined) return `${what} opens it after ${about(t.may_s)} to ${about(t.must_s)}${atOnce(h)}`;
    const full = h.at_full;
    const then = what === "full plate" || full.must_s === undefined || full.may_s === undefined ? "" : `, full plate opens it after ${about(full.may_s)} to ${about(full.must_s)}`;
    if (i_a < saysWhenFrom * h.rating_a) return `whether ${what.replace(/^even /, "")} opens it is not sure${then}${atOnce(h)}`;
    return `${what} may open it from ${about(t.may_s)} on${then}${atOnce(h)}`;
  }
  return "";
}

/** What the letter of the breaker makes of the worst start; empty where it does not open at once, or no point is fixed. */
function atOnce(h: Held): string {
  if (!h.curve) return "";
  return `; the start of the ${h.starter}, ${amps(h.start_total_a ?? 0, "si")}, ${h.instant_trip === "trips" ? "opens" : "may open"} a ${h.curve} breaker at once`;
}

/** The condition under which a circuit does what its word says. */
export function because(h: Held, u: Units): string {
  if (h.verdict === "not known") return h.not_known?.length ? `what the ${h.not_known.join(" and the ")} draws is not known` : "its breaker or its voltage is not known";
  if (h.because_of_a_start && h.starter) return `the start of the ${h.starter}: ${amps(h.start_total_a ?? 0, u)} for about ${print("time", h.start_lasts_s ?? 0, u)}${h.curve ? `; that ${h.instant_trip === "trips" ? "opens" : "may open"} a ${h.curve} breaker at once` : ""}`;
  return whenWords(h) || (h.verdict === "holds" ? "even at full plate it stays within what the breaker must hold" : "only a start can open it");
}

export const sureness = (h: Held) => (h.verdict === "may trip" || h.verdict === "trips" ? chanceWords(h.chance_share) : "");

/** From the mildest to the worst; what is not known stands between may trip and trips. */
export const rank = (verdict: string) => ["holds", "may trip", "not known", "trips"].indexOf(verdict);

// Plugs.

/** Where a load stands in the file. */
export function pathOf(l: Load): string {
  const list: Record<string, string> = { machine: "machines", system: "systems", "air cleaner": "air cleaners", "other load": "other loads" };
  return `${list[l.sort] ?? "machines"}/${l.name}`;
}

/** Where its plug stands. */
export const plugPath = (l: Load) => `${pathOf(l)}/${l.sort === "other load" ? "" : "plug/"}outlet`;
/** Where the amps of its plate stand; none for an air cleaner, which says its watts. */
export const platePath = (l: Load) => (l.sort === "air cleaner" ? "" : `${pathOf(l)}/${l.sort === "other load" ? "" : "motor/"}current`);

export const plugEdit = (l: Load, outlet: string): Edit => ({ set: plugPath(l), to: outlet, ...(l.outlet ? { was: l.outlet } : {}) });

/** A wired load has a circuit and no outlet. */
export const isWired = (l: Load) => !l.outlet && !!l.circuit;

/** 1 for 100 to 130 V, 2 for 200 to 250 V, 3 for 380 to 480 V, 0 for none. */
function supply(v: number): number {
  return v >= 100 && v <= 130 ? 1 : v >= 200 && v <= 250 ? 2 : v >= 380 && v <= 480 ? 3 : 0;
}

export interface Place {
  outlet: Outlet;
  /** why it cannot go there; empty where it can */
  unfit: "" | "voltage" | "rating";
}

/** Every outlet, and whether this load may be plugged in there at all. */
export function placesFor(p: Power, l: Load): Place[] {
  const here = p.outlets.find((o) => o.name === l.outlet)?.voltage_v;
  const want = supply(l.voltage_v ?? here ?? (p.family === "iec" ? 230 : 120));
  return p.outlets.map((outlet) => {
    if (outlet.voltage_v > 0 && want !== 0 && supply(outlet.voltage_v) !== want) return { outlet, unfit: "voltage" };
    if (l.known && outlet.rating_a > 0 && l.full_a > outlet.rating_a) return { outlet, unfit: "rating" };
    return { outlet, unfit: "" };
  });
}

/** The edits of the whole plan of plugs. */
export function planEdits(p: Power): Edit[] {
  return p.assignment.moves.flatMap((m) => {
    const l = p.loads.find((x) => x.name === m.load && (x.outlet ?? "") === (m.from ?? ""));
    return l ? [plugEdit(l, m.to)] : [];
  });
}

/** A circuit before and after a change. */
export interface Shift {
  circuit: string;
  before: Held;
  after: Held;
}

/** Circuits whose worst answer differs; those that get worse come first, so that nobody loses without being told. */
export function shiftsOf(before: Power, after: Power): Shift[] {
  const none = (c: Circuit): Held => ({
    circuit: c.name, verdict: c.known ? "holds" : "not known", rating_a: c.rating_a, idle_a: 0, cut_a: 0, full_a: 0, chance_share: 0, full_chance_share: 0,
    at_idle: {}, at_cut: {}, at_full: {}, loads: [],
  });
  const out: Shift[] = [];
  for (const c of after.circuits) {
    const [b, a] = [before.circuits.find((x) => x.name === c.name)?.worst ?? none(c), c.worst ?? none(c)];
    const differs = Math.abs(a.cut_a - b.cut_a) > 0.05 || Math.abs(a.full_a - b.full_a) > 0.05 || a.verdict !== b.verdict;
    if (differs) out.push({ circuit: c.name, before: b, after: a });
  }
  const worse = (s: Shift) => rank(s.after.verdict) - rank(s.before.verdict);
  return out.sort((x, y) => worse(y) - worse(x));
}

/** The set that these machines are, whatever their order. */
export function setOf(p: Power, machines: readonly string[]): SetResult | undefined {
  const same = (s: SetResult) => s.machines.length === machines.length && machines.every((m) => s.machines.includes(m));
  return p.sets.find(same);
}

/** The edit that lets these machines be judged together; it is asked, never written. */
export const asTogether = (machines: readonly string[]): Edit => ({ set: "routine/together", to: [[...machines]] });

/** The circuits that do not hold in a set. */
export const notHolding = (s: SetResult) => s.circuits.filter((h) => h.verdict !== "holds").map((h) => h.circuit);

// A circuit written from a few answers.

export interface NewCircuit {
  name: string;
  breaker: string;
  voltage: string;
  outlets: string;
  curve: string;
  guarded: boolean;
}

/** The names in "bench, north wall and door". */
export const namesIn = (said: string) => [...new Set(said.split(/,|;|\n| and /).map((s) => s.trim()).filter(Boolean))];

/** 20 becomes 20 A: the unit that is meant is clear. */
export const withUnit = (said: string, unit: string) => (/^[\d.,]+$/.test(said.trim()) ? `${said.trim()} ${unit}` : said.trim());

export function circuitEdits(c: NewCircuit, family: string): Edit[] {
  const to: Record<string, unknown> = { breaker: withUnit(c.breaker, "A"), voltage: withUnit(c.voltage, "V") };
  if (c.curve) to.curve = c.curve;
  if (c.guarded) to.protection = [family === "iec" ? "rcd" : "gfci"];
  const outlets = namesIn(c.outlets);
  if (outlets.length) to.outlets = Object.fromEntries(outlets.map((o) => [o, {}]));
  return [{ set: `circuits/${c.name.trim()}`, to }];
}

/** Something else that draws current: a freezer, a compressor, lights, a heater. */
export interface NewLoad {
  name: string;
  amps: string;
  start: string;
  works: string;
  outlet: string;
}
export const works = ["by itself", "always", "with machines", "by hand"] as const;

export function loadEdits(l: NewLoad): Edit[] {
  const watts = /(w|kw|hp)$/i.test(l.amps.trim());
  const to: Record<string, unknown> = { outlet: l.outlet, [watts ? "power" : "current"]: watts ? l.amps.trim() : withUnit(l.amps, "A"), works: l.works };
  if (l.start.trim()) to.start = withUnit(l.start, "A");
  return [{ set: `other loads/${l.name.trim()}`, to }];
}

/** The next letter no circuit has. */
export function freshLetter(taken: readonly string[]): string {
  for (let i = 0; i < 26; i++) {
    const l = String.fromCharCode(65 + i);
    if (!taken.some((t) => t.toLowerCase() === l.toLowerCase())) return l;
  }
  return `circuit ${taken.length + 1}`;
}
