// Writes src/api.d.ts from a running server: npm run types [-- http://127.0.0.1:8420]
// Lists are never null on this wire: the server sends an empty one, and state/api.ts mends what slips through.
import { writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import openapiTS, { astToString } from "openapi-typescript";

export async function types(base) {
  const spec = await (await fetch(`${base}/api/openapi.json`)).json();
  delete spec.info.version;
  spec.info.version = "";
  const text = JSON.stringify(spec).replaceAll('"type":["array","null"]', '"type":"array"');
  return astToString(await openapiTS(JSON.parse(text), { alphabetize: true }));
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(new URL("../src/api.d.ts", import.meta.url), await types(process.argv[2] ?? "http://127.0.0.1:8420"));
}
