// The places of the page, in the order of the rail.
export type Place = "floor" | "air" | "power" | "next" | "gates" | "log" | "print";
export const places: Place[] = ["floor", "air", "power", "next", "gates", "log", "print"];
