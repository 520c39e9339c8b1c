// Where the eye is over the floor. While a hand drags or zooms the view, the drawing is moved as it is; when it rests, all is laid out anew.
import { zoom, type View, type XY } from "../core/geometry";

/** How long after the last turn of the wheel the hand rests. */
const wheel_ms = 120;

export class Eye {
  /** once the owner has moved the view it is theirs */
  #own = $state.raw<View>();
  /** while a hand drags a thing, the frame holds still */
  #held = $state.raw<View>();
  #toward = $state.raw<View>();
  #whole: () => View;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(whole: () => View) {
    this.#whole = whole;
  }

  /** what the drawing is laid out for */
  now: View = $derived.by(() => this.#own ?? this.#held ?? this.#whole());
  /** how much larger than laid out it is shown for the moment */
  scale = $derived.by(() => (this.#toward ? this.#toward.k / this.now.k : 1));
  /** the moment's move of the whole drawing, for SVG */
  moved = $derived.by(() => this.#toward && `translate(${this.#toward.x - this.now.x * this.scale} ${this.#toward.y - this.now.y * this.scale}) scale(${this.scale})`);

  /** Moves the drawing as it is. */
  follow(v: View) {
    this.#toward = v;
  }
  /** Lays it out where it was moved to. */
  arrive() {
    clearTimeout(this.#timer);
    if (this.#toward) this.#own = this.#toward;
    this.#toward = undefined;
  }
  wheel(by: number, x: number, y: number) {
    this.#toward = zoom(this.#toward ?? this.now, by, x, y);
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.arrive(), wheel_ms);
  }
  nearer(by: number, x: number, y: number) {
    this.arrive();
    this.#own = zoom(this.now, by, x, y);
  }
  step(by: XY) {
    this.arrive();
    this.#own = { ...this.now, x: this.now.x - by[0], y: this.now.y + by[1] };
  }
  whole() {
    this.arrive();
    this.#own = undefined;
  }
  hold() {
    this.#held ??= this.now;
  }
  free() {
    this.#held = undefined;
  }
}
