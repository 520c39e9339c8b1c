// Builds the program once, with the page that `npm run build` left in dist. WINNOW names one that is built already.
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export default function setup() {
  if (process.env.WINNOW) return;
  const page = new URL("../dist/index.html", import.meta.url);
  if (!existsSync(page)) throw new Error("dist is empty: npm run build first");
  const to = join(mkdtempSync(join(tmpdir(), "winnow-")), "winnow");
  execFileSync("go", ["build", "-o", to, "./cmd/winnow"], { cwd: new URL("../..", import.meta.url).pathname, stdio: "inherit" });
  process.env.WINNOW = to;
}
