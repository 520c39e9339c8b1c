// What the hand holds: a machine being moved or turned, not yet written. Numbers follow it; the file does not.
import type { XY } from "../core/geometry";
import type { Edit, LaidMachine } from "../core/types";
import { written, type Units } from "../core/units";

export interface Held {
  machine: string;
  from: LaidMachine;
  at: XY;
  facing_rad: number;
}

export class Hand {
  held = $state.raw<Held>();
  /** the edits of a draft or a remedy that is being tried, without a machine in hand */
  trying = $state.raw<Edit[]>([]);

  take(m: LaidMachine) {
    this.held = { machine: m.name, from: m, at: m.at as unknown as XY, facing_rad: m.facing_rad };
  }
  move(at: XY) {
    if (this.held) this.held = { ...this.held, at };
  }
  turn(by_rad: number) {
    if (!this.held) return;
    const full = 2 * Math.PI;
    this.held = { ...this.held, facing_rad: (((this.held.facing_rad + by_rad) % full) + full) % full };
  }
  drop() {
    this.held = undefined;
  }

  get moved() {
    const h = this.held;
    return !!h && (h.at[0] !== h.from.at[0] || h.at[1] !== h.from.at[1]);
  }
  get turned() {
    return !!this.held && Math.abs(this.held.facing_rad - this.held.from.facing_rad) > 1e-9;
  }

  /** The edits that put the machine where the hand has it. A height written with the place stays: only two items are set. */
  edits(units: Units): Edit[] {
    const h = this.held;
    if (!h) return this.trying;
    const out: Edit[] = [...this.trying];
    const [e, n] = [written(h.at[0], units), written(h.at[1], units)];
    if (this.moved && h.from.placed) out.push({ set: `${h.from.at_path}/1`, to: e }, { set: `${h.from.at_path}/2`, to: n });
    if (this.moved && !h.from.placed) out.push({ set: h.from.at_path, to: [e, n] });
    if (this.turned) out.push({ set: h.from.facing_path, to: `${Math.round((h.facing_rad * 180) / Math.PI)}°` });
    return out;
  }
}
