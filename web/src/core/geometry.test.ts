import { describe, expect, it } from "vitest";
import { along, bearing, boxOf, facingOf, fit, inside, lengthOf, lowered, onFloor, onScreen, path, scaleBar, snap, zoom } from "./geometry";

const room = { low: [0, 0], high: [8, 6] } as const;

describe("view", () => {
  it("shows the whole room in the frame, north up", () => {
    const v = fit(room, 800, 600, 40);
    const [left, bottom] = onScreen(v, [0, 0]);
    const [right, top] = onScreen(v, [8, 6]);
    for (const [p, most] of [[left, 800], [right, 800], [top, 600], [bottom, 600]] as const) {
      expect(p).toBeGreaterThanOrEqual(39.9);
      expect(p).toBeLessThanOrEqual(most - 39.9);
    }
    expect(top).toBeLessThan(bottom);
  });

  it("goes there and back", () => {
    const v = { x: 31, y: 410, k: 72.5 };
    const [e, n] = onFloor(v, ...onScreen(v, [3.21, -1.5]));
    expect(e).toBeCloseTo(3.21, 12);
    expect(n).toBeCloseTo(-1.5, 12);
  });

  it("zooms about the pointer", () => {
    const v = fit(room, 800, 600);
    const under = onFloor(v, 300, 200);
    const [x, y] = onScreen(zoom(v, 1.7, 300, 200), under);
    expect(x).toBeCloseTo(300, 9);
    expect(y).toBeCloseTo(200, 9);
  });
});

describe("lines", () => {
  const bend = [[0, 0], [3, 0], [3, 4]];
  it("are as long as Pythagoras says", () => {
    expect(lengthOf(bend)).toBe(7);
    expect(lengthOf([[0, 0], [3, 4]])).toBe(5);
  });
  it("are walked along", () => {
    expect(along(bend, 0.5).at[1]).toBeCloseTo(0.5, 12);
    expect(along(bend, 0.5).direction).toEqual([0, 1]);
    expect(along([], 0.5).at).toEqual([0, 0]);
    expect(along(bend, 2).at).toEqual([3, 4]);
  });
  it("are lowered to the south whichever way they run, and to the east where they are upright", () => {
    for (const line of [[[0, 1], [5, 1]], [[5, 1], [0, 1]]]) for (const p of lowered(line, 0.1)) expect(p[1]).toBeCloseTo(0.9, 12);
    for (const line of [[[2, 0], [2, 5]], [[2, 5], [2, 0]]]) for (const p of lowered(line, 0.1)) expect(p[0]).toBeCloseTo(2.1, 12);
  });
  it("become paths", () => {
    expect(path(bend)).toBe("M0 0L3 0L3 4");
    expect(path(bend, true)).toBe("M0 0L3 0L3 4Z");
    expect(path([])).toBe("");
  });
});

describe("areas", () => {
  const ell = [[0, 0], [4, 0], [4, 2], [2, 2], [2, 4], [0, 4]] as const;
  it("hold what is in them, corners cut out too", () => {
    expect(inside([1, 3], ell)).toBe(true);
    expect(inside([3, 1], ell)).toBe(true);
    expect(inside([3, 3], ell)).toBe(false);
    expect(boxOf(ell)).toEqual({ low: [0, 0], high: [4, 4] });
  });
});

describe("scale bar", () => {
  it("is a round number of feet or metres, as long as fits", () => {
    expect(scaleBar(2.2, true) / 0.3048).toBeCloseTo(5, 9);
    expect(scaleBar(3.4, true) / 0.3048).toBeCloseTo(10, 9);
    expect(scaleBar(2.2, false)).toBe(2);
    expect(scaleBar(0.6, false)).toBeCloseTo(0.5, 9);
  });
  it("snaps to the hand's step", () => expect(snap(1.013, 0.0254)).toBeCloseTo(1.016, 9));
});

describe("facing", () => {
  it("is read from the front edge of a footprint, clockwise from north", () => {
    const north = [[-1, 1], [1, 1], [1, -1], [-1, -1]];
    const east = [[1, 1], [1, -1], [-1, -1], [-1, 1]];
    expect(facingOf(north)).toBeCloseTo(0);
    expect(facingOf(east)).toBeCloseTo(Math.PI / 2);
    expect(facingOf([...north.slice(2), ...north.slice(0, 2)])).toBeCloseTo(Math.PI);
  });
  it("a bearing goes by whole steps", () => {
    expect(bearing([0, 0], [1, 1.1], Math.PI / 12)).toBeCloseTo(Math.PI / 4);
    expect(bearing([0, 0], [-1, 0], Math.PI / 12)).toBeCloseTo(-Math.PI / 2);
  });
});
