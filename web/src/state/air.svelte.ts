// What the room's air answers: one question a revision, asked while its place is open. The last answer stays on screen meanwhile.
import { changesOf, type Air, type Change } from "../core/air";
import { api } from "./api";
import { shop } from "./shop.svelte";

export class Room {
  answer = $state.raw<Air>();
  /** a new answer is being worked out */
  working = $state(false);
  problem = $state("");
  /** what the last change did, in the figures shown */
  changes = $state.raw<Change[]>([]);
  /** a machine that another place asked about */
  lit = $state("");

  #rev = 0;
  #file = "";

  /** Asks where the revision is another than last time; what it returns stops the question. */
  want(): () => void {
    const { rev, state } = shop.doc;
    const file = state?.file ?? "";
    if (!rev || (rev === this.#rev && file === this.#file)) return () => {};
    const stop = new AbortController();
    void this.#ask(rev, file, stop);
    return () => {
      stop.abort();
      this.working = false;
    };
  }

  async #ask(rev: number, file: string, stop: AbortController) {
    this.working = true;
    try {
      const look = await api.look({ rev, want: ["air"] }, stop.signal);
      if (stop.signal.aborted) return;
      const before = this.answer;
      this.answer = whole(look.air);
      this.changes = before && this.answer && file === this.#file ? changesOf(before, this.answer, shop.doc.units) : [];
      [this.#rev, this.#file, this.problem] = [rev, file, ""];
    } catch (e) {
      if (stop.signal.aborted) return;
      this.problem = shop.doc.failed(e);
    } finally {
      if (!stop.signal.aborted) this.working = false;
    }
  }
}

/** A list that is left out is an empty one. */
function whole(a: Air | undefined): Air | undefined {
  if (!a) return undefined;
  for (const k of ["tasks", "options", "day", "limits", "findings", "filters", "setups", "together", "hoods", "no_hours", "sentence", "general"] as const) (a as any)[k] ??= [];
  for (const o of a.options) o.edits ??= [];
  for (const f of a.findings) for (const r of f.remedies ?? []) r.edits ??= [];
  return a;
}

export const room = new Room();
