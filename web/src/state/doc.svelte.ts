// The shop file as the server said it last. Every change goes through here, one after the other.
import type { Edit, Fault, Job, State } from "../core/types";
import { causeOf } from "../core/cause";
import { ownNames } from "../core/names";
import { api, once, Refusal, speakOf } from "./api";

export type Kept = "saved" | "saving" | "not saved";

export class Doc {
  state = $state.raw<State>();
  kept = $state<Kept>("saved");
  /** why the last change was refused, in the server's words */
  refused = $state("");
  refusedFaults = $state.raw<Fault[]>([]);
  conflict = $state.raw<{ yours: string; theirs: string; edits: Edit[]; cause: string }>();
  /** the server wants a passphrase first */
  locked = $state(false);
  unreachable = $state(false);
  /** how far the last job has got that anybody began */
  job = $state.raw<Job>();
  /** the last step, for the live region and the undo button */
  last = $state("");

  #loading: Promise<void> | undefined;
  #tail: Promise<unknown> = Promise.resolve();
  #again = false;
  /** the latest revision the stream spoke of */
  #heard = 0;
  #heardRun: string | undefined;
  /** what was loaded last is of another start of the server, and may be another shop */
  anew = false;
  #changed: () => void;

  constructor(changed: () => void) {
    this.#changed = changed;
  }

  get rev() {
    return this.state?.rev ?? 0;
  }
  get units() {
    return this.state?.units ?? "us";
  }

  /** Loads the latest revision; calls made while one is under way are answered by one more load. */
  load(): Promise<void> {
    if (this.#loading) {
      this.#again = true;
      return this.#loading;
    }
    this.#loading = (async () => {
      try {
        let older = 0;
        const was = this.state?.run;
        do {
          this.#again = false;
          this.state = await api.state();
          speakOf(ownNames(this.state));
          this.unreachable = this.locked = false;
        } while (this.#again || ((this.state.rev < this.#heard || this.#otherRun(this.#heardRun)) && older++ < 2));
        this.anew = !!was && was !== this.state.run;
      } catch (e) {
        if (this.failed(e)) this.unreachable = true; // it answers, and has no shop to show
        return;
      } finally {
        this.#loading = undefined;
      }
      this.#changed();
    })();
    return this.#loading;
  }

  /** What a question came to that got no answer: the server's own words, or none where it wants a passphrase or did not answer. */
  failed(e: unknown): string {
    if (!(e instanceof Refusal)) this.unreachable = true;
    else if (e.status === 401) this.locked = true;
    else return e.message;
    return "";
  }

  #otherRun(run: string | undefined): boolean {
    return !!run && !!this.state?.run && run !== this.state.run;
  }

  /** Follows changes made elsewhere: another page, an editor, a phone. */
  follow(): () => void {
    return api.events(
      (rev, cause, run) => {
        this.#heardRun = run;
        const other = this.#otherRun(run); // its numbers are not ours: even the same one means another text
        if (rev <= this.rev && !other) return;
        if (!other) this.last = cause;
        this.#heard = rev;
        if (!this.#loading) void this.load(); // what is under way may bring it already
      },
      () => void this.load(),
      () => (this.unreachable || this.locked) && void this.load(),
      (j) => (this.job = j),
      () => void this.load(), // says what is wrong: the server is away, or wants its passphrase
    );
  }

  /** Writes edits; false if they were refused. */
  commit(edits: Edit[], why: string): Promise<boolean> {
    const cause = causeOf(why);
    return this.#write(() => api.commit({ rev: this.rev, run: this.state?.run, id: once(), edits, cause }), cause, edits);
  }
  commitText(text: string, why: string, rev?: number, run?: string): Promise<boolean> {
    const cause = causeOf(why);
    return this.#write(() => api.commit({ rev: rev ?? this.rev, run: run ?? this.state?.run, id: once(), text, cause }), cause, []);
  }
  /** Undefined where there is nothing to undo once all before it is written. */
  undo(): Promise<boolean | undefined> {
    return this.#queue(async () => (this.state?.undo ? api.step("undo", this.rev, once(), this.state?.run) : undefined), "", []);
  }
  redo(): Promise<boolean | undefined> {
    return this.#queue(async () => (this.state?.redo ? api.step("redo", this.rev, once(), this.state?.run) : undefined), "", []);
  }

  /** One after the other: two quick strokes of undo are two steps, the second from where the first left off. */
  #queue(act: () => Promise<{ rev: number; what: string } | undefined>, cause: string, edits: Edit[]): Promise<boolean | undefined> {
    const done = this.#tail.then(() => this.#writeNow(act, cause, edits));
    this.#tail = done;
    return done;
  }
  async #write(act: () => Promise<{ rev: number; what: string }>, cause: string, edits: Edit[]): Promise<boolean> {
    return (await this.#queue(act, cause, edits)) === true;
  }
  async #writeNow(act: () => Promise<{ rev: number; what: string } | undefined>, cause: string, edits: Edit[]): Promise<boolean | undefined> {
    this.kept = "saving";
    this.forgive();
    try {
      const done = await act();
      if (!done) {
        this.kept = "saved";
        return undefined;
      }
      this.last = done.what || cause;
      await this.load();
      this.kept = "saved";
      return true;
    } catch (e) {
      this.kept = "not saved";
      await this.#explain(e, cause, edits);
      return false;
    }
  }

  async #explain(e: unknown, cause: string, edits: Edit[]) {
    if (!(e instanceof Refusal)) {
      this.unreachable = true;
      return;
    }
    if (e.status === 401) this.locked = true;
    if (e.status === 409 && e.theirs !== undefined && e.yours) this.conflict = { yours: e.yours, theirs: e.theirs, edits, cause };
    else this.refused = e.message;
    this.refusedFaults = e.faults;
    if (e.status === 409) await this.load();
  }

  forgive() {
    this.refused = "";
    this.refusedFaults = [];
  }

  /** Ends a conflict: ours over theirs, or theirs as it is. */
  async settle(which: "yours" | "theirs") {
    const c = this.conflict;
    this.conflict = undefined;
    if (which === "yours" && c) await this.commitText(c.yours, c.cause);
    else {
      this.kept = "saved";
      await this.load();
    }
  }
}
