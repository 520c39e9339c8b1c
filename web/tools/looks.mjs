// Writes src/core/looks.ts, the table of units, from the golden the Go side keeps: node tools/looks.mjs
import { readFileSync, writeFileSync } from "node:fs";

const golden = JSON.parse(readFileSync(new URL("../../testdata/format.json", import.meta.url), "utf8"));
const lines = golden.looks
  .filter((l) => l.quantity !== "wire size") // gauges are counted, not measured; the page shows none
  .map((l) => `  ${JSON.stringify(l).replace(/"([a-z_]+)":/g, "$1: ").replace(/,(?=[a-z_]+: )/g, ", ").replace(/^\{/, "{ ").replace(/\}$/, " }")},`);
writeFileSync(
  new URL("../src/core/looks.ts", import.meta.url),
  `// Written by tools/looks.mjs from testdata/format.json; units.test.ts says when it has drifted.
import type { Look } from "./units";

export const looks: Look[] = [
${lines.join("\n")}
];
`,
);
