// The first two minutes: which questions there are, what was answered, and what was guessed. Answers go by the names the
// command `winnow new` has for its flags; an empty one is "not sure".

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
