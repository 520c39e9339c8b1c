// The tape on the floor: off, or a cross that looks for a point, one point, both.
import type { XY } from "../core/geometry";
import { span } from "../core/measure";
import { length, type Units } from "../core/units";
import { text } from "../text/en";

interface Drawn {
  at: XY;
  from?: XY;
  to?: XY;
}

export class Tape {
  drawn = $state.raw<Drawn>();

  get on() {
    return !!this.drawn;
  }
  toggle(at: XY) {
    this.drawn = this.drawn ? undefined : { at };
  }
  /** The cross goes with the hand until both points are set. */
  hover(at: XY) {
    if (this.drawn && !this.drawn.to) this.drawn = { ...this.drawn, at };
  }
  /** The first point, or the second; a third begins anew. */
  point(p: XY, first = false) {
    if (first || !this.drawn?.from || this.drawn.to) this.drawn = { at: p, from: p };
    else this.drawn = { ...this.drawn, at: p, to: p };
  }
  /** Moves the cross by keys; after both points it looks for a new first one. */
  step(by: XY) {
    if (!this.drawn) return;
    const at: XY = [this.drawn.at[0] + by[0], this.drawn.at[1] + by[1]];
    this.drawn = this.drawn.to ? { at } : { ...this.drawn, at };
  }
  /** Takes the points back; without any it is put away. */
  back() {
    this.drawn = this.drawn?.from ? { at: this.drawn.at } : undefined;
  }
  /** What lies between both points, in words. */
  says(units: Units): string {
    const d = this.drawn;
    if (!d?.from || !d.to) return "";
    const s = span(d.from, d.to);
    return `${length(s.length_m, units)}. ${text.measureSides(length(s.east_m, units), length(s.north_m, units))}`;
  }
}
