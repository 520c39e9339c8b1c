// What would be: the answer to "this revision, these edits, with this running". One question is in flight; the newest wins.
// A quick question follows the hand; when it rests, a deep one brings ranges, remedies and findings.
import type { AskRunning, Ask, Edit, Filter, Layout, Look, LookPort } from "../core/types";
import { shifts, withRanges, type Shift } from "../core/change";
import { api, Refusal } from "./api";

const quick = ["alone", "curve", "sheet"];
const deep = [...quick, "ranges", "remedies", "findings"];
const rest_ms = 160;
const settle_ms = 6000;

export class LookAt {
  running = $state.raw<AskRunning[]>([]);
  filter = $state<Filter>("due");
  arrangement = $state("");
  open = $state.raw<string[]>([]);
  shut = $state.raw<string[]>([]);
  /** MACHINE or MACHINE/PORT */
  select = $state("");

  answer = $state.raw<Look>();
  /** the answer whose findings, remedies and ranges are shown; behind `answer` while the hand moves */
  settled = $state.raw<Look>();
  layout = $state.raw<Layout>();
  /** ports before the change that is being shown */
  before = $state.raw<LookPort[]>();
  problem = $state("");
  /** from question to answer, ms: what the hand feels */
  lag_ms = $state(0);

  /** called when a deep answer is in */
  onsettled: () => void = () => {};
  onoffline: () => void = () => {};

  #edits: () => Edit[];
  #rev: () => number;
  // Both may be wanted at once: on a slow server the hand has rested before the quick question was even asked.
  #quick = false;
  #deep = false;
  #flying = false;
  /** the last question has no deep answer yet */
  #waiting = $state(false);
  #stop: AbortController | undefined;
  #restTimer: ReturnType<typeof setTimeout> | undefined;
  #settleTimer: ReturnType<typeof setTimeout> | undefined;

  constructor(rev: () => number, edits: () => Edit[]) {
    this.#rev = rev;
    this.#edits = edits;
  }

  get shifts(): Shift[] {
    return this.before && this.answer ? shifts(this.before, this.answer.ports) : [];
  }
  get asking() {
    return this.#flying;
  }
  get fresh() {
    return !this.#waiting && this.settled === this.answer;
  }

  isRunning = (machine: string) => this.running.some((r) => r.machine === machine);

  /** Asks again, quickly now and deeply when nothing more comes. */
  ask() {
    this.#quick = true;
    this.#deep = false;
    this.#waiting = true;
    this.#stop?.abort(); // a deep one is no use any more
    void this.#fly();
    clearTimeout(this.#restTimer);
    this.#restTimer = setTimeout(() => {
      this.#deep = true;
      void this.#fly();
    }, rest_ms);
  }

  /** Remembers the numbers before a change, so that it can be shown as before -> after. */
  mark() {
    clearTimeout(this.#settleTimer);
    this.before ??= this.answer?.ports;
  }
  /** The change is done; it is shown a while longer. */
  release() {
    clearTimeout(this.#settleTimer);
    this.#settleTimer = setTimeout(() => (this.before = undefined), settle_ms);
  }
  /** A change made in one step. */
  change(act: () => void) {
    this.before = undefined;
    this.mark();
    act();
    this.ask();
    this.release();
  }

  async #fly() {
    if (this.#flying) return;
    this.#flying = true;
    while (this.#quick || this.#deep) {
      const depth = this.#quick ? "quick" : "deep";
      if (this.#quick) this.#quick = false;
      else this.#deep = false;
      const began = performance.now();
      try {
        await this.#one(depth);
        this.lag_ms = depth === "quick" ? performance.now() - began : this.lag_ms;
        this.problem = "";
      } catch (e) {
        if ((e as Error).name === "AbortError") continue;
        if (depth === "deep") this.#waiting = this.#quick;
        if (e instanceof Refusal) this.problem = e.message;
        else this.onoffline();
      }
    }
    this.#flying = false;
  }

  async #one(depth: "quick" | "deep") {
    const edits = this.#edits();
    const ask: Ask = {
      rev: this.#rev(), edits, running: this.running, filter: this.filter, arrangement: this.arrangement || undefined, open: this.open,
      shut: this.shut, select: this.select || undefined, want: [...(depth === "deep" ? deep : quick), "layout"],
    };
    if (depth === "deep") this.#stop = new AbortController();
    const answer = await api.look(ask, depth === "deep" ? this.#stop?.signal : undefined);
    this.#stop = undefined;
    if (answer.layout) this.layout = answer.layout;
    this.answer = depth === "quick" && edits.length ? { ...answer, ports: withRanges(answer.ports, this.settled?.ports ?? []) } : answer;
    if (depth === "deep") {
      this.settled = answer;
      this.#waiting = this.#quick;
      this.onsettled();
    }
  }
}
