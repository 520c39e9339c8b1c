// The verbs of the page. Components call these and read doc, hand, look and prefs; nothing else writes them.
import { freshName } from "../core/change";
import type { XY } from "../core/geometry";
import { leadOf } from "../core/leads";
import { withTaker, type HoseEnd } from "../core/hoses";
import type { AskRunning, Edit, LaidMachine, Remedy } from "../core/types";
import { bare, flow, handStep, written } from "../core/units";
import { besides, snap } from "../core/geometry";
import { places, type Place } from "../core/places";
import { text } from "../text/en";
import { emptyLayout } from "./api";
import { Doc } from "./doc.svelte";
import { Hand } from "./hand.svelte";
import { LookAt } from "./look.svelte";
import { Prefs } from "./prefs.svelte";
import { reader } from "./reader.svelte";

export { places, type Place };

export class Shop {
  place = $state<Place>("floor");
  /** the piece lit on the floor */
  lit = $state<readonly string[]>([]);
  /** the collector or vacuum that is looked at, instead of a machine */
  system = $state("");
  /** said aloud by a screen reader */
  said = $state("");
  /** the first run: a file without a machine asks its questions */
  starting = $state(false);
  /** the file lies open as text */
  reading = $state(false);
  /** before and after of the last change, said aloud too */
  changes = $state("");
  /** the panel shows what would help */
  helping = $state(0);

  hand = new Hand();
  prefs = new Prefs();
  doc = new Doc(() => this.#fresh());
  look = new LookAt(
    () => this.doc.rev,
    () => this.hand.edits(this.doc.units),
  );

  constructor() {
    this.look.onoffline = () => (this.doc.unreachable = true);
    this.look.onsettled = () => this.#tell();
  }

  /** Says what a change did, once, when the numbers have settled. */
  #tell() {
    const u = this.doc.units;
    const all = this.look.shifts.map((s) => text.said.shift(s.port, bare(flow(s.before, u)), flow(s.after, u)));
    this.changes = all.slice(0, 4).join(". ");
  }

  /** Every act begins in silence: what it says is heard, then, even where the act before said the same. */
  #begin() {
    this.said = this.changes = "";
  }

  #stop: (() => void) | undefined;

  /** Begins, or begins again: after the passphrase nothing of what was refused goes on by itself. */
  start(): () => void {
    this.#stop?.();
    void this.doc.load();
    this.look.ask(); // of whatever is the latest: it need not wait for the file
    this.#readAddress();
    const back = () => this.#readAddress();
    addEventListener("hashchange", back);
    const stop = this.doc.follow();
    this.#stop = () => {
      removeEventListener("hashchange", back);
      stop();
    };
    return () => this.#stop?.();
  }

  get layout() {
    return this.look.layout ?? this.doc.state?.layout ?? emptyLayout;
  }
  get machines() {
    return this.doc.state?.machines ?? [];
  }
  /** Machines with a port that is short, as it runs or alone; each once, in the order of the answer. */
  shortMachines(): string[] {
    const short = (this.look.answer?.ports ?? []).filter((p) => p.needs_chips_m3s > 0 && p.gets_m3s < p.needs_chips_m3s);
    return [...new Set(short.map((p) => p.machine))];
  }
  machine = (name: string) => this.machines.find((m) => m.name === name);
  get selected() {
    return this.machine(this.look.select.split("/")[0] ?? "");
  }
  laid = (name: string) => this.layout.machines.find((m) => m.name === name);

  go(place: Place) {
    location.hash = place === "floor" ? "" : place;
    this.place = place;
  }
  #readAddress() {
    const p = location.hash.slice(1) as Place;
    const [book, name, heading] = location.hash.slice(1).split("/");
    if (book === "handbook") return void reader.read(name, heading); // the place stays: one reads beside it
    this.place = places.includes(p) ? p : "floor";
  }

  /** A new revision: what is shown must not speak of machines that are gone. */
  #fresh() {
    if (this.doc.state && !this.machines.length && !this.doc.state.faults.length) this.starting = true;
    const names = this.machines.map((m) => m.name);
    this.look.running = this.look.running.filter((r) => names.includes(r.machine));
    if (this.look.select && !names.includes(this.look.select.split("/")[0]!)) this.look.select = "";
    if (this.system && !this.doc.state?.systems.some((y) => y.name === this.system)) this.system = "";
    if (this.look.arrangement && !this.doc.state?.arrangements.includes(this.look.arrangement)) this.look.arrangement = "";
    // the question of the start, which went out before the file was here, is about this revision too
    const known = this.look.answer?.rev ?? (this.look.asking ? this.doc.rev : 0);
    if (this.doc.anew) [this.hand.held, this.hand.trying] = [undefined, []]; // of another shop
    if (known !== this.doc.rev || this.doc.anew) this.look.ask();
  }

  // What runs.

  select(machine: string) {
    this.system = "";
    if (this.look.select === machine) return;
    this.look.select = machine;
    this.look.ask();
  }
  /** Goes to what a path of the file names, and lights it. */
  follow(path: string) {
    const to = leadOf(path);
    if (!to) return;
    if (this.place !== "floor") this.go("floor");
    if (to.machine) this.select(to.machine);
    else if (to.system && to.system !== this.system) this.selectSystem(to.system);
    this.lit = to.lit;
  }
  /** Looks at a collector or a vacuum. */
  selectSystem(system: string) {
    this.look.select = "";
    this.system = system;
    this.look.ask();
  }
  unselect() {
    this.look.select = this.system = "";
    this.look.ask();
  }
  toggle(machine: string) {
    this.#begin();
    this.look.change(() => {
      if (this.look.isRunning(machine)) this.look.running = this.look.running.filter((r) => r.machine !== machine);
      else {
        this.look.running = [...this.look.running, { machine }];
        this.look.select = machine;
        this.system = "";
      }
    });
    this.said = text.said.running(machine, this.look.isRunning(machine));
  }
  /** A tap on the floor: starts what stands, looks at what runs, stops what is looked at. */
  tap(machine: string) {
    const runs = this.look.isRunning(machine);
    if (!this.machine(machine)?.served || (runs && this.look.select !== machine)) this.select(machine);
    else this.toggle(machine);
  }
  setup(machine: string, setup: string) {
    this.#begin();
    this.look.change(() => {
      this.look.running = this.look.running.map((r) => (r.machine === machine ? { ...r, setup } : r));
    });
  }
  stand(machine: string, place: string) {
    this.#begin();
    this.look.change(() => {
      this.look.running = this.look.running.map((r) => (r.machine === machine ? { ...r, place } : r));
    });
  }
  filter(filter: "clean" | "now" | "due") {
    this.#begin();
    this.look.change(() => (this.look.filter = filter));
  }
  arrange(arrangement: string) {
    this.#begin();
    this.look.change(() => (this.look.arrangement = arrangement));
  }
  /** A gate by hand; the third tap gives it back to the machines. */
  gate(gate: string, open: boolean) {
    this.#begin();
    const forced = this.look.open.includes(gate) || this.look.shut.includes(gate);
    this.look.change(() => {
      this.look.open = this.look.open.filter((g) => g !== gate);
      this.look.shut = this.look.shut.filter((g) => g !== gate);
      if (forced) return;
      if (open) this.look.shut = [...this.look.shut, gate];
      else this.look.open = [...this.look.open, gate];
    });
    this.said = text.said.gate(gate, forced ? undefined : !open);
  }

  // What the hand holds.

  take(m: LaidMachine) {
    this.#begin();
    this.hand.take(m);
    this.look.before = undefined;
    this.look.mark();
  }
  drag(at: XY) {
    const step = handStep(this.doc.units);
    this.hand.move([snap(at[0], step), snap(at[1], step)]);
    this.look.ask();
  }
  turnHeld(by_rad: number) {
    this.hand.turn(by_rad);
    this.look.ask();
  }
  letGo() {
    this.hand.drop();
    this.look.before = undefined;
    this.look.ask();
  }
  /** Writes what the hand holds. The held place is shown until the server has answered, so nothing jumps. */
  async put(): Promise<void> {
    const { hand, look } = this;
    const edits = hand.edits(this.doc.units);
    const held = hand.held;
    if (!held || edits.length === 0) {
      hand.drop();
      look.release();
      return;
    }
    const cause = hand.moved ? text.cause.moved(held.machine) : text.cause.turned(held.machine);
    const done = await this.doc.commit(edits, cause);
    if (hand.held === held) hand.drop();
    look.ask();
    look.release();
    if (done) this.said = cause;
  }

  // The end of a hose in the hand: over a machine, the hose is tried there and the machine runs.

  #ranBefore: AskRunning[] | undefined;

  tryHose(end: HoseEnd, machine: string) {
    if (!this.#ranBefore) {
      this.#begin();
      this.#ranBefore = this.look.running;
      this.look.before = undefined;
      this.look.mark();
    }
    const others = this.#ranBefore.filter((r) => !end.ports.has(r.machine));
    this.look.running = [...others, { machine }];
    this.hand.trying = this.#hoseEdits(end, machine);
    this.look.ask();
  }
  leaveHose() {
    if (!this.#ranBefore) return;
    this.look.running = this.#ranBefore;
    this.#ranBefore = undefined;
    this.hand.trying = [];
    this.look.before = undefined;
    this.look.ask();
  }
  /** Lets go of the hose at a machine, which runs with it; only a machine that never had it is news to the file. */
  async putHose(end: HoseEnd, machine: string): Promise<void> {
    this.tryHose(end, machine);
    const before = this.#ranBefore!;
    this.#ranBefore = undefined;
    const edits = this.#hoseEdits(end, machine);
    const done = !edits.length || (await this.doc.commit(edits, text.cause.joined(machine, end.run)));
    this.hand.trying = [];
    if (done) this.select(machine);
    else this.look.running = before;
    this.look.ask();
    this.look.release();
    if (done) this.said = text.said.hose(end.run, machine);
  }
  #hoseEdits(end: HoseEnd, machine: string): Edit[] {
    const to = withTaker(end, machine);
    return to === end.has ? [] : [{ set: `systems/${end.system}/runs/${end.run}/from`, to }];
  }

  // What is typed: tried with every stroke, written when it is done.

  tryOut(edits: Edit[]) {
    if (this.hand.trying.length === 0 && edits.length) {
      this.#begin();
      this.look.before = undefined;
      this.look.mark();
    }
    this.hand.trying = edits;
    if (edits.length === 0) this.look.release();
    this.look.ask();
  }
  async keepTry(edits: Edit[], cause: string) {
    const done = await this.doc.commit(edits, cause);
    this.hand.trying = [];
    this.look.ask();
    this.look.release();
    if (done) this.said = cause;
  }

  // What is written at once.

  async write(edits: Edit[], cause: string): Promise<boolean> {
    this.#begin();
    this.look.before = undefined;
    this.look.mark();
    const done = await this.doc.commit(edits, cause);
    if (done) this.said = cause;
    this.look.release();
    return done;
  }
  async apply(r: Remedy): Promise<boolean> {
    const done = await this.write(r.edits, r.sentence);
    // A filter that was cleaned is still judged "due for cleaning" unless one looks at it as it is.
    if (done && r.edits.some((e) => e.set?.endsWith("/since cleaning"))) {
      this.filter("now");
      this.said = r.sentence;
    }
    return done;
  }

  async undo() {
    this.#begin();
    this.look.before = undefined;
    this.look.mark();
    const done = await this.doc.undo();
    if (done !== false) this.said = done ? text.said.undone(this.doc.last) : text.said.nothingToUndo;
    this.look.release();
  }
  async redo() {
    this.#begin();
    this.look.before = undefined;
    this.look.mark();
    const done = await this.doc.redo();
    if (done !== false) this.said = done ? text.said.redone(this.doc.last) : text.said.nothingToRedo;
    this.look.release();
  }

  async add(kind: string, at: XY): Promise<void> {
    const name = freshName(kind, this.machines.map((m) => m.name));
    const u = this.doc.units;
    const to = { kind, at: [written(at[0], u), written(at[1], u)], facing: "0°" };
    if (await this.write([{ set: `machines/${name}`, to }], text.cause.added(name))) this.select(name);
  }
  /** Lets a machine take a hose that others take already. */
  async join(system: string, run: string, machine: string) {
    const from = this.layout.lays.filter((l) => l.system === system && l.run === run).map((l) => l.port);
    const to = [...new Set([...from, machine])];
    await this.write([{ set: `systems/${system}/runs/${run}/from`, to }], text.cause.joined(machine, run));
  }

  /** Takes a machine out with all that speaks of it; false if that was refused. */
  takeOut(machine: string): Promise<boolean> {
    return this.write([{ take_out: `machines/${machine}` }], text.cause.removed(machine));
  }
  /** One more just like it, beside it; nothing serves it yet. */
  async duplicate(machine: string): Promise<void> {
    const name = freshName(machine, this.machines.map((m) => m.name));
    const edits: Edit[] = [{ duplicate: `machines/${machine}`, to: name }];
    const laid = this.laid(machine);
    if (laid?.placed) {
      const u = this.doc.units;
      const at = besides(laid, this.layout.corners);
      edits.push({ set: `machines/${name}/at`, to: [written(at[0], u), written(at[1], u)] });
      edits.push({ set: `machines/${name}/facing`, to: `${Math.round((laid.facing_rad * 180) / Math.PI)}°` });
    }
    if (await this.write(edits, text.cause.duplicated(machine))) this.select(name);
  }
}

export const shop = new Shop();
