// The gate chart by system: which rows and columns there are, and how each gate stands in a row. Plain data in and out.
import type { Chart, ChartLine } from "./types";

export interface ChartRow {
  line: ChartLine;
  /** the machine, with its setup or place where those differ */
  name: string;
}
export interface ChartTable {
  system: string;
  gates: string[];
  rows: ChartRow[];
}

export type Stand = "open" | "shut" | "";

export const rowName = (l: ChartLine) => [l.machine, l.setup || l.place].filter(Boolean).join(", ");

/** One table a system, in the order of the file; gates in the order in which the air meets them. */
export function tables(chart: Chart, order: (system: string) => readonly string[]): ChartTable[] {
  const out: ChartTable[] = [];
  for (const line of chart.lines) {
    let t = out.find((x) => x.system === line.system);
    if (!t) out.push((t = { system: line.system, gates: [], rows: [] }));
    t.rows.push({ line, name: rowName(line) });
    for (const g of [...line.open, ...line.shut]) if (!t.gates.includes(g)) t.gates.push(g);
  }
  for (const t of out) {
    const by = order(t.system);
    const at = (g: string) => (by.includes(g) ? by.indexOf(g) : by.length);
    t.gates.sort((a, b) => at(a) - at(b));
  }
  return out;
}

export function stand(line: ChartLine, gate: string): Stand {
  if (line.open.includes(gate)) return "open";
  return line.shut.includes(gate) ? "shut" : "";
}

/** What a person starts, in order; what follows by itself stands last. */
export function order(line: ChartLine): { by: string[]; follows: string[] } {
  const also = line.also_start ?? [];
  return line.starts === "by itself" ? { by: [line.machine], follows: [line.system, ...also] } : { by: [line.system, ...also, line.machine], follows: [] };
}

/** A wait from which a person is told to wait for the light: common practice, as in the study. */
export const slow = 3;
export const mustWait = (line: ChartLine) => line.starts === "by itself" && line.wait_s > slow;

/** Waits of a few seconds stay in seconds: "0.5 s" beside "4 s", never "500 ms". */
export const secondsOf = (s: number) => (s < 120 ? `${+s.toPrecision(3)} s` : `${+(s / 60).toPrecision(2)} min`);
