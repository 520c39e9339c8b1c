// All that the page says to the server. Shapes are generated (api.d.ts); this file knows addresses and failures only.
import { answerIn } from "../core/region";
import { region } from "../text/region";
import { share } from "./stream";
import type { Ask, Chapter, ChapterLine, Edit, Fault, Job, Layout, Look, Others, State, Words } from "../core/types";

/** The one shop of a small server. */
const base = "/api/shops/shop";

/** How long a broken stream may take to come back before that is said. */
const patience_ms = 5000;

/** A refusal, with what the page shows of it. */
export class Refusal extends Error {
  constructor(
    readonly status: number,
    message: string,
    readonly faults: Fault[] = [],
    readonly yours?: string,
    readonly theirs?: string,
  ) {
    super(message);
  }
}

async function call<T>(method: string, url: string, body?: unknown, signal?: AbortSignal): Promise<T> {
  const r = await fetch(url, {
    method,
    signal,
    headers: body === undefined ? {} : { "Content-Type": "application/json" },
    body: body === undefined ? undefined : JSON.stringify(body),
  });
  if (r.ok) return (await r.json()) as T;
  const said = await r.json().catch(() => ({}));
  throw new Refusal(r.status, said.detail ?? r.statusText, said.faults ?? [], said.yours, said.theirs);
}

const lists = ["machines", "systems", "arrangements", "faults"] as const;

/** A list that is left out is an empty one. */
function whole<T extends object>(o: T, names: readonly (keyof T)[]): T {
  for (const n of names) o[n] ??= [] as T[typeof n];
  return o;
}

/** What the owner named; kept by whoever loads the file. */
let names: readonly string[] = [];
export const speakOf = (all: readonly string[]) => void (names = all);

function wholeLook(of: Look): Look {
  const l = answerIn(of, region, names);
  whole(l, ["faults", "sentence", "ports", "pieces", "gates", "fans", "findings", "remedies"]);
  for (const r of l.remedies) whole(r, ["edits", "effects", "worse"]);
  return l;
}

export const api = {
  state: async () => whole(await call<State>("GET", base), lists),
  look: async (ask: Ask, signal?: AbortSignal) => wholeLook(await call<Look>("POST", `${base}/look`, ask, signal)),
  commit: (change: { rev: number; run?: string; id: string; cause: string; edits?: Edit[]; text?: string }) =>
    call<{ rev: number; what: string }>("POST", `${base}/edits`, change),
  step: (which: "undo" | "redo", rev: number, id: string, run?: string) =>
    call<{ rev: number; what: string }>("POST", `${base}/${which}`, { rev, run, id }),
  first: async (answers: Record<string, string>, want: string[], signal?: AbortSignal) => {
    const f = await call<{ text: string; look: Look }>("POST", "/api/first", { answers, want }, signal);
    speakOf([...f.text.matchAll(/^ {2}([^\s#][^:]*):/gm)].map((m) => m[1]!)); // the file is not written yet, but it has names
    return { text: f.text, look: wholeLook(f.look) };
  },
  handbook: () => call<ChapterLine[]>("GET", "/api/handbook"),
  chapter: (name: string) => call<Chapter>("GET", `/api/handbook/${encodeURIComponent(name)}`),
  /** Begins a proof, or joins the one under way. */
  prove: (rev: number, seconds: number) => call<Job>("POST", `${base}/jobs`, { kind: "prove", rev, seconds }),
  job: (id: string) => call<Job>("GET", `${base}/jobs/${id}`),
  endJob: (id: string) => call<Job>("DELETE", `${base}/jobs/${id}`),
  words: () => call<Words>("GET", "/api/words"),
  others: () => call<Others>("GET", "/api/others"),
  keepOut: () => call<Others>("DELETE", "/api/others"),
  letIn: (passphrase: string) => call<Others>("PUT", "/api/others", passphrase ? { passphrase } : {}),
  phonePicture: "/api/phone.png",
  /** Why no phone can come in; empty where one can. */
  phone: async () => {
    const r = await fetch("/api/phone.png").catch(() => undefined);
    if (r?.ok) return "";
    return ((await r?.json().catch(() => undefined)) as { detail?: string } | undefined)?.detail ?? "?";
  },
  login: async (passphrase: string) => {
    const r = await fetch("/api/session", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ passphrase }) });
    if (r.ok) return;
    const said = await r.json().catch(() => ({}));
    throw new Refusal(r.status, said.detail ?? r.statusText);
  },
  /** Tells of revisions made anywhere. The browser comes back by itself and says what it has. */
  events(
    changed: (rev: number, cause: string, run?: string) => void,
    reload: () => void,
    back: () => void,
    job: (j: Job) => void,
    away: () => void,
  ): () => void {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const stop = share(`${base}/events`, {
      open: () => {
        clearTimeout(timer);
        timer = undefined;
        back();
      },
      // A stream that breaks comes back within seconds; only if it does not, the server is away.
      broke: (closed) => (timer ??= setTimeout(away, closed ? 0 : patience_ms)),
      event: (kind, data) => {
        if (kind === "reload") return reload();
        if (kind === "job") return job(JSON.parse(data));
        const { rev, cause, run } = JSON.parse(data);
        changed(rev, cause, run);
      },
      missed: reload,
    });
    return () => {
      clearTimeout(timer);
      stop();
    };
  },
};

export const emptyLayout: Layout = {
  arrangement: "", placed: false, low: [0, 0], high: [0, 0], corners: [], walls: [], doors: [], machines: [], systems: [], cleaners: [],
  obstacles: [], walkways: [], outlets: [], pieces: [], lays: [], cords: [],
};

/** crypto.randomUUID is missing where the page comes over plain http from another machine. */
export const once = () => `${Date.now().toString(36)}-${Math.random().toString(36).slice(2)}`;
