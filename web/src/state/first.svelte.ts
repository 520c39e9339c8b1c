// The first run while it lasts: the answers so far, and how the shop stands with them.
import { machinesAnswer, said, steps, unitsOf, type Answers, type Step, type Tick } from "../core/first";
import type { Look } from "../core/types";
import { api, Refusal } from "./api";

export class First {
  answers = $state<Answers>({ units: unitsOf(typeof navigator === "undefined" ? "en" : navigator.language) });
  ticks = $state<Tick[]>([]);
  at = $state(0);
  /** how it stands so far */
  look = $state.raw<Look>();
  text = "";
  problem = $state("");

  #stop: AbortController | undefined;

  get steps() {
    return steps(this.answers);
  }
  get step(): Step {
    return this.steps[this.at]!;
  }
  get units(): "us" | "si" {
    return this.answers.units === "si" ? "si" : "us";
  }
  get starred() {
    return this.ticks.find((t) => t.annoys)?.kind;
  }
  get all(): Answers {
    return { ...this.answers, machines: machinesAnswer(this.ticks) };
  }

  tick(kind: string) {
    if (this.ticks.some((t) => t.kind === kind)) this.ticks = this.ticks.filter((t) => t.kind !== kind);
    else this.ticks = [...this.ticks, { kind, annoys: false }];
    void this.judge();
  }
  star(kind: string) {
    this.ticks = this.ticks.map((t) => ({ ...t, annoys: t.kind === kind && !t.annoys }));
    void this.judge();
  }

  /** How it stands with what was said; also finds what cannot be read, which is why each screen asks before it leaves. */
  async judge(): Promise<boolean> {
    this.#stop?.abort();
    const stop = (this.#stop = new AbortController());
    try {
      const f = await api.first(said(this.all), ["alone"], stop.signal);
      this.look = f.look;
      this.text = f.text;
      this.problem = "";
      return true;
    } catch (e) {
      if ((e as Error).name === "AbortError") return false;
      this.problem = e instanceof Refusal ? e.message.replace(/^[\w-]+: /, "") : String(e);
      return false;
    }
  }
}
