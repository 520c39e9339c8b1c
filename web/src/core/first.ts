// The first two minutes: which questions there are, what was answered, and what was guessed. Answers go by the names the
// command `winnow new` has for its flags; an empty one is "not sure".

import { worst } from "./change";
import type { Look, LookPort, Remedy } from "./types";

export type Answers = Record<string, string>;
export type Step = "units" | "collector" | "motor" | "hose" | "machines" | "last" | "verdict";

/** The screens, in order: who has nothing yet is not asked about a motor or a hose. */
export function steps(a: Answers): Step[] {
  const there = a.collector !== "nothing";
  return ["units", "collector", ...(there ? (["motor", "hose"] as Step[]) : []), "machines", "last", "verdict"];
}

export interface Tick {
  kind: string;
  annoys: boolean;
}

/** "planer*, table saw": the starred one is the one that annoys. */
export const machinesAnswer = (ticks: readonly Tick[]) => ticks.map((t) => t.kind + (t.annoys ? "*" : "")).join(", ");

/** Only what was said, so that "not sure" stays not sure; questions that were skipped are not answered. */
export function said(a: Answers): Answers {
  const out: Answers = {};
  for (const [k, v] of Object.entries(a)) if (v.trim() !== "") out[k] = v.trim();
  if (out.collector === "nothing") for (const k of ["motor", "claim", "inlet", "wheel", "bag", "pull-blocked", "no-papers", "hose-width", "hose-length", "hose-lies", "cleaned"]) delete out[k];
  else delete out.floor;
  if (out["no-papers"] === "yes") delete out.claim;
  else for (const k of ["inlet", "wheel", "bag", "pull-blocked"]) delete out[k];
  return out;
}

/** The machine the verdict is about: the one that annoys, else the one its first sentence names, else the worst. */
export function subject(l: Look, starred: string): LookPort | undefined {
  const of = (name: string | undefined) => worst(l.ports.filter((p) => p.machine === name));
  const named = l.sentence.find((p) => p.kind === "machine");
  return (starred && (of(called(starred)) ?? of(starred))) || l.ports.find((p) => p.port === named?.text) || worst(l.ports);
}

/** A need missed by less than this share of itself, where the doubt reaches beyond it, is no shortage that anybody could tell. */
export const nearly = 0.05;
export const nearlyThere = (p: LookPort) =>
  p.gets_m3s < p.needs_chips_m3s && p.gets_m3s >= (1 - nearly) * p.needs_chips_m3s && (p.high_m3s ?? 0) >= p.needs_chips_m3s;

/** Whether an act brings a port all that its chips need. */
export function reaches(r: Remedy, port: string): boolean {
  const e = r.effects.find((x) => x.port === port);
  return !!e && e.gets_after_m3s >= e.needs_after_m3s;
}

/**
 * The acts as they are offered: free ones first, those that reach the need before those that do not. Where no free act reaches
 * it, the first for money that does leads, so that what cannot be enough never looks like the answer.
 */
export function inOrder(remedies: readonly Remedy[], port: string): Remedy[] {
  const rank = (r: Remedy) => (r.free ? 0 : 2) + (reaches(r, port) ? 0 : 1);
  const all = [...remedies].sort((a, b) => rank(a) - rank(b));
  if (all.some((r) => r.free && reaches(r, port))) return all;
  const lead = all.find((r) => reaches(r, port));
  return lead ? [lead, ...all.filter((r) => r !== lead)] : all;
}

export type Guess = "collector" | "fan" | "motor" | "width" | "length" | "lies" | "machines" | "mouths" | "filter";

/** What a verdict on these answers rests on that nobody said. */
export function guesses(a: Answers): Guess[] {
  const s = said(a);
  const there = s.collector !== "nothing";
  const out: Guess[] = [];
  if (!s.collector) out.push("collector");
  if (there && !s.claim && !s["pull-blocked"]) out.push("fan");
  if (there && !s.motor) out.push("motor");
  if (there && !s["hose-width"]) out.push("width");
  if (there && !s["hose-length"]) out.push("length");
  if (there && !s["hose-lies"]) out.push("lies");
  out.push(s.machines ? "mouths" : "machines");
  if (there && !s.cleaned) out.push("filter");
  return out;
}

/** A list as it is said: "the fan, the hose's width and its length". */
export function spoken(list: readonly string[]): string {
  if (list.length < 2) return list.join("");
  return `${list.slice(0, -1).join(", ")} and ${list.at(-1)}`;
}

/** From the browser's language: inches where they are spoken, millimetres elsewhere. */
export function unitsOf(language: string): "us" | "si" {
  return /^en-(US|LR)|-US$/i.test(language) || language === "en" ? "us" : "si";
}

/** The machines most small shops choose from, in the order of dust. */
export const offered = [
  "cabinet saw", "thickness planer", "jointer", "band saw", "mitre saw", "router table", "drum sander", "random orbit sander", "job-site saw", "lathe",
  "drill press", "planer-jointer",
];

const short: Record<string, string> = { "cabinet saw": "table saw", "thickness planer": "planer", "random orbit sander": "hand sander" };

/** What owners call it. */
export const called = (kind: string) => short[kind] ?? kind;
