import { expect, it } from "vitest";
import { caught, span } from "./measure";

const v = { x: 0, y: 100, k: 50 };

it("measures straight and along the walls", () => {
  expect(span([1, 1], [4, 5])).toEqual({ length_m: 5, east_m: 3, north_m: 4 }); // 3, 4, 5
});

it("catches a corner that is near on the screen, at any zoom", () => {
  const corners = [[2, 1], [2.1, 1]];
  expect(caught([2.02, 1.02], corners, v)).toEqual([2, 1]);
  expect(caught([2.5, 1], corners, v)).toEqual([2.5, 1]); // 20 px away
  expect(caught([2.02, 1.02], corners, { ...v, k: 1000 })).toEqual([2.02, 1.02]); // now 28 px away
});
