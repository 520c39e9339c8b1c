// The one place where a number becomes text: the twin of unit.Print on the Go side, held to it by testdata/format.json.
// Everything before this point is SI. Start at `print`.
import { looks } from "./looks";

export type Units = "us" | "si";

/** One unit a quantity is shown in, from a size up. In this unit the value is si·per/mul - zero_at. */
export interface Look {
  quantity: string;
  system: string;
  unit: string;
  from: number;
  how?: string;
  mul: number;
  per: number;
  zero_at?: number;
  step: number;
  fixed?: boolean;
  nought?: boolean;
  no_gap?: boolean;
}

const table = new Map<string, Look[]>();
for (const l of looks) {
  const key = `${l.quantity}/${l.system}`;
  table.set(key, [...(table.get(key) ?? []), l]);
}

const fromSI = (l: Look, v: number) => (v * l.per) / l.mul - (l.zero_at ?? 0);
const toSI = (l: Look, x: number) => ((x + (l.zero_at ?? 0)) * l.mul) / l.per;

/** A hair under a power of ten counts as that power. */
const order = (a: number) => (a <= 0 ? 0 : Math.floor(Math.log10(a * (1 + 1e-9))));

/** Halves go away from zero, and what is a hair under a half because of its conversion too. */
function whole(x: number): number {
  return x < 0 ? -whole(-x) : Math.floor(x * (1 + 1e-12) + 0.5);
}

const pow10 = (k: number) => (k < 0 ? 1 / 10 ** -k : 10 ** k);

function sharePlaces(a: number): number {
  const short = 100 - a;
  if (a < 1e-5 || a >= 1000) return Math.max(0, order(a) - 2);
  if (a < 1) return order(a);
  if (a < 10) return -1;
  if (a > 99 && short > 1e-5) return Math.min(0, order(short));
  return 0;
}

function places(a: number, step: number, fixed: boolean): number {
  const e = order(a);
  if (fixed || a === 0 || e < step - 3) return Math.max(step, e - 8);
  if (e < step) return e;
  return Math.max(step, e - 2);
}

/** n·10^k is what is shown. */
function figures(x: number, l: Look): [n: number, k: number] {
  const a = Math.abs(x);
  const k = l.unit === "%" ? sharePlaces(a) : places(a, l.step, l.fixed ?? false);
  let n = whole(a / pow10(k));
  if (x < 0) n = -n;
  if (l.zero_at && n * pow10(k) < -l.zero_at) n++;
  return [n, k];
}

function rounded(l: Look, v: number): number {
  if (l.how === "sixteenths") return toSI(l, whole(fromSI(l, v) * 16) / 16);
  if (l.how === "feet and inches") return toSI(l, whole(fromSI(l, v) * 12) / 12);
  const [n, k] = figures(fromSI(l, v), l);
  return toSI(l, n * pow10(k));
}

/** No zeros that say nothing, no comma in a number. */
function decimal(n: number, k: number): string {
  if (n === 0) return "0";
  const sign = n < 0 ? "-" : "";
  let s = String(Math.abs(n));
  if (k >= 0) return sign + s + "0".repeat(k);
  if (s.length <= -k) s = "0".repeat(-k - s.length + 1) + s;
  s = `${s.slice(0, s.length + k)}.${s.slice(s.length + k)}`;
  return sign + s.replace(/0+$/, "").replace(/\.$/, "");
}

function sixteenths(n: number): string {
  const sign = n < 0 ? "-" : "";
  n = Math.abs(n);
  const inches = Math.floor(n / 16);
  let top = n % 16;
  let bottom = 16;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  const parts = [];
  if (inches > 0 || top === 0) parts.push(String(inches));
  if (top > 0) parts.push(`${top}/${bottom}`);
  return `${sign}${parts.join(" ")} in`;
}

function feetInches(n: number): string {
  const sign = n < 0 ? "-" : "";
  n = Math.abs(n);
  const rest = n % 12;
  return `${sign}${Math.floor(n / 12)} ft${rest > 0 ? ` ${rest} in` : ""}`;
}

function write(l: Look, v: number): string {
  if (l.how === "sixteenths") return sixteenths(whole(fromSI(l, v) * 16));
  if (l.how === "feet and inches") return feetInches(whole(fromSI(l, v) * 12));
  const [n, k] = figures(fromSI(l, v), l);
  if (!l.unit) return decimal(n, k);
  return decimal(n, k) + (l.no_gap ? "" : " ") + l.unit;
}

/** The largest unit v reaches; what only rounds up to the next one is shown as the least of that. */
function choose(v: number, all: Look[]): [Look, number] {
  let i = all.length - 1;
  const start = (at: number) => toSI(all[at]!, all[at]!.from);
  while (i > 0 && Math.abs(v) < start(i) * (1 - 1e-9)) i--;
  if (i + 1 < all.length) {
    const next = start(i + 1);
    if (Math.abs(rounded(all[i]!, v)) >= next * (1 - 1e-9)) {
      i++;
      v = Math.sign(v) * next;
    }
  }
  const chosen = all[i]!;
  if (rounded(chosen, v) === toSI(chosen, 0)) {
    const nought = all.find((l) => l.nought);
    if (nought) return [nought, 0];
  }
  return [chosen, v];
}

function odd(v: number): string | undefined {
  if (v === Infinity) return "no limit";
  return Number.isFinite(v) ? undefined : "unknown";
}

function looksOf(quantity: string, units: Units): Look[] {
  const all = table.get(`${quantity}/${units}`);
  if (!all) throw new Error(`units: nothing is known of ${quantity}`);
  return all;
}

/** Writes an SI value for the owner. */
export function print(quantity: string, v: number, units: Units): string {
  const strange = odd(v);
  if (strange) return strange;
  const [l, x] = choose(v, looksOf(quantity, units));
  return write(l, x);
}

/** "250 to 345 cfm": both ends in the unit that suits the larger; one value if both look alike. */
export function printRange(quantity: string, low: number, high: number, units: Units): string {
  if (odd(low) || odd(high)) return `${print(quantity, low, units)} to ${print(quantity, high, units)}`;
  const lowIsBig = Math.abs(low) > Math.abs(high);
  const [l, v] = choose(lowIsBig ? low : high, looksOf(quantity, units));
  let from = write(l, lowIsBig ? v : low);
  let to = write(l, lowIsBig ? high : v);
  if (l.how) [from, to] = [print(quantity, lowIsBig ? v : low, units), print(quantity, lowIsBig ? high : v, units)];
  if (from === to) return to;
  const cut = unitPart(to);
  if (!l.how && cut && from.endsWith(cut)) from = from.slice(0, -cut.length).trimEnd();
  return `${from} to ${to}`;
}

function unitPart(s: string): string {
  const cut = s.indexOf(" ");
  return cut > 0 ? s.slice(cut + 1) : s.replace(/^[-.0-9]+/, "");
}

export const flow = (m3s: number, units: Units) => print("airflow", m3s, units);
export const length = (m: number, units: Units) => print("length", m, units);
export const speed = (ms: number, units: Units) => print("speed", ms, units);
export const pressure = (pa: number, units: Units) => print("pressure", pa, units);
export const share = (of: number, units: Units) => print("share", of, units);

/** The number alone, for "283 of 400 cfm" and axis marks. */
export const bare = (text: string) => text.split(" ")[0] ?? text;

/** The unit alone. */
export const unitOf = unitPart;

/**
 * A place on the floor as the shop file writes it: whole inches, or centimetres. Printing keeps three figures, which is
 * coarser than a hand can place a machine in a long room.
 */
export function written(m: number, units: Units): string {
  if (units === "si") return `${Number(m.toFixed(2))} m`;
  const inches = Math.round(m / 0.0254);
  const sign = inches < 0 ? "-" : "";
  const a = Math.abs(inches);
  if (a < 12) return `${sign}${a} in`;
  return `${sign}${Math.floor(a / 12)} ft${a % 12 ? ` ${a % 12} in` : ""}`;
}

/** The step a hand places things by: one inch, or two centimetres. */
export const handStep = (units: Units) => (units === "us" ? 0.0254 : 0.02);
