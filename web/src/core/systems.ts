// A collector or a vacuum in the hand is moved and turned as a machine is.
import { facingOf } from "./geometry";
import type { LaidMachine, LaidSystem } from "./types";

export function asMachine(y: LaidSystem): LaidMachine {
  return {
    name: y.name, placed: y.placed, away: false, place: "", at_path: `systems/${y.name}/at`, facing_path: `systems/${y.name}/facing`, at: y.at,
    facing_rad: facingOf(y.footprint), footprint: y.footprint, infeed: [], outfeed: [], ports: [],
  };
}

export const isSystem = (m: LaidMachine) => m.at_path.startsWith("systems/");
