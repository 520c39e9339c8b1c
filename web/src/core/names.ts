// Which names the floor should carry, and how much room each takes. Far off, what stands still is named where there is room for it;
// what runs or is looked at is named always.
import type { Rect, Wanted } from "./labels";
import type { State } from "./types";

/** Pixels to the metre from which every name has room. */
export const near = 34;

export interface Named {
  name: string;
  rect: Rect;
  /** the numbers written behind it */
  numbers: string;
  /** it runs or is looked at */
  matters: boolean;
}

/** Pixels of a letter, for names and for numbers. */
const letter = { large: { name: 7.1, number: 6.6 }, small: { name: 6.3, number: 6.2 } };

export function widthOf(name: string, numbers: string, small: boolean): number {
  const l = small ? letter.small : letter.large;
  return l.name * (name.length + 0.4) + (numbers ? 7 + l.number * numbers.length : 0);
}

/** Names of things that stand beside them, what matters first. */
export function beside(things: readonly Named[], prefix: string, k: number, small: boolean): Wanted[] {
  return [...things]
    .sort((a, b) => Number(b.matters) - Number(a.matters))
    .map((t) => ({ key: prefix + t.name, of: t.rect, w: widthOf(t.name, t.numbers, small), h: 15, spare: k <= near && !t.matters }));
}

/** Names of areas, written into them; upright where they are slim. */
export function areas(things: readonly { name: string; rect: Rect }[]): Wanted[] {
  return things.map((o) => {
    const long = 6.4 * o.name.length;
    const upright = o.rect.h > o.rect.w && o.rect.w < long;
    return { key: `thing: ${o.name}`, of: o.rect, inside: true, spare: true, w: upright ? 14 : long, h: upright ? long : 14 };
  });
}

/** All that the owner gave a name, as far as a sentence may speak of it. */
export function ownNames(s: State): string[] {
  const l = s.layout;
  return [...new Set([
    ...s.machines.map((m) => m.name), ...s.systems.flatMap((y) => [y.name, ...y.gates]), ...s.arrangements, ...l.outlets.flatMap((o) => [o.name, o.circuit]),
    ...l.pieces.flatMap((p) => [p.run, p.name]), ...[...l.obstacles, ...l.cleaners, ...l.walkways, ...l.doors].map((x) => x.name),
  ])].filter((n) => n !== "");
}
