// What the circuits answer: one question a revision, and one for a plug that is in the hand. Who shows it calls `want` in an effect.
import { asTogether, plugEdit, setOf, shiftsOf, wholePower, type Load, type Power, type SetResult, type Shift } from "../core/power";
import type { XY } from "../core/geometry";
import type { Socket } from "../core/plugs";
import type { Ask, Edit, Layout } from "../core/types";
import { api } from "./api";
import { shop } from "./shop.svelte";

export interface HeldPlug {
  load: string;
  at: XY;
  /** the outlet under the hand */
  over: Socket | undefined;
  fits: Socket[];
  /** by the arrow keys */
  keys: boolean;
}

export class Circuits {
  answer = $state.raw<Power>();
  /** the set that runs on the floor, judged; none while nothing runs */
  now = $state.raw<SetResult>();
  /** a change that is tried and not written */
  trying = $state.raw<Edit[]>([]);
  tried = $state.raw<{ power: Power; layout: Layout | undefined; now: SetResult | undefined }>();
  /** the plug in the hand on the floor */
  held = $state.raw<HeldPlug>();
  problem = $state("");
  /** the circuit a link led to */
  lit = $state("");

  #asked = "";
  #stop: AbortController | undefined;

  /** Asks where the revision, the arrangement or what runs is another than last time. */
  want() {
    const rev = shop.doc.rev;
    const running = shop.look.running.map((r) => r.machine);
    const arrangement = shop.look.arrangement || undefined;
    const key = JSON.stringify([rev, running, arrangement]);
    if (!rev || key === this.#asked) return;
    this.#asked = key;
    void this.#ask(key, rev, running, arrangement);
  }

  async #ask(key: string, rev: number, running: string[], arrangement: string | undefined) {
    try {
      const { power } = await this.#one({ rev, arrangement });
      const now = await this.#now(power, { rev, arrangement });
      if (key !== this.#asked) return;
      this.answer = power;
      this.now = now;
      this.problem = "";
    } catch (e) {
      if (key !== this.#asked) return;
      this.#asked = "";
      this.problem = shop.doc.failed(e);
    }
  }

  async #one(ask: Omit<Ask, "want">, stop?: AbortSignal): Promise<{ power: Power; layout: Layout | undefined }> {
    const look = await api.look({ ...ask, want: ["power", "layout"] }, stop);
    return { power: wholePower(look.power!), layout: look.layout };
  }
  /** What runs on the floor may be more than the routine allows: then it is asked for by itself. */
  async #now(power: Power, ask: Omit<Ask, "want">, stop?: AbortSignal): Promise<SetResult | undefined> {
    const running = shop.look.running.map((r) => r.machine);
    if (!running.length) return undefined;
    return setOf(power, running) ?? setOf((await this.#one({ ...ask, edits: [...(ask.edits ?? []), asTogether(running)] }, stop)).power, running);
  }

  /** Tries a change; the newest wins. */
  async tryOut(edits: Edit[]): Promise<void> {
    this.#stop?.abort();
    this.trying = edits;
    this.tried = undefined;
    this.problem = "";
    if (!edits.length) return;
    const stop = (this.#stop = new AbortController());
    try {
      const ask = { rev: shop.doc.rev, edits, arrangement: shop.look.arrangement || undefined };
      const found = await this.#one(ask, stop.signal);
      const now = await this.#now(found.power, ask, stop.signal);
      if (this.#stop === stop) this.tried = { ...found, now };
    } catch (e) {
      if (this.#stop !== stop || (e as Error).name === "AbortError") return;
      this.problem = shop.doc.failed(e);
    }
  }
  leave() {
    this.#stop?.abort();
    this.#stop = undefined;
    this.trying = [];
    this.tried = undefined;
    this.problem = "";
  }
  /** Writes what is tried, or any other edits. */
  async keep(edits: Edit[], cause: string): Promise<boolean> {
    this.leave();
    return shop.write(edits, cause);
  }

  /** What the tried change does to the circuits, each at its worst. */
  get shifts(): Shift[] {
    return this.answer && this.tried ? shiftsOf(this.answer, this.tried.power) : [];
  }
  /** The cord does not reach in the tried change, where the places are known. */
  tooShort = (l: Load): boolean => !!this.tried?.layout?.cords.some((c) => c.of === l.name && c.short);
  tryPlug = (l: Load, outlet: string) => this.tryOut(outlet === (l.outlet ?? "") ? [] : [plugEdit(l, outlet)]);
}

export const circuits = new Circuits();
