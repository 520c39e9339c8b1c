// A shop of one's own for each test: `winnow serve` on a copy of an example. At the end it is asserted that the page asked
// nothing of anybody else and that the browser found nothing to complain about.
import { spawn, spawnSync } from "node:child_process";
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test as base, expect, type Page } from "@playwright/test";

const program = () => process.env.WINNOW!;
export interface Served {
  address: string;
  path: string;
  text(): string;
  write(text: string): void;
  /** the same question on the command line */
  ask(...args: string[]): any;
}

/** Starts `winnow serve` and waits for its address; `says` is typed into it first. */
export async function serve(folder: string, args: string[], says = ""): Promise<{ address: string; out: () => string; stop: () => Promise<void> }> {
  const server = spawn(program(), ["serve", ...args], { cwd: folder });
  server.stdin.end(says);
  let said = "";
  const address = await new Promise<string>((found, failed) => {
    server.stdout.on("data", (d) => {
      said += d;
      const m = /https?:\/\/\S+/.exec(said);
      if (m) found(m[0]);
    });
    server.stderr.on("data", (d) => (said += d));
    server.on("exit", () => failed(new Error(`winnow serve ended: ${said}`)));
  });
  return {
    address,
    out: () => said,
    stop: async () => {
      server.removeAllListeners("exit");
      const gone = new Promise((done) => server.on("exit", done));
      server.kill();
      await gone;
    },
  };
}

export const examples = new URL("../../examples/", import.meta.url).pathname;

export const test = base.extend<{ example: string; served: Served; page: Page }>({
  example: ["carport.yaml", { option: true }],
  served: async ({ example }, use) => {
    const folder = mkdtempSync(join(tmpdir(), "winnow-shop-"));
    const path = join(folder, "shop.yaml");
    if (example) copyFileSync(join(examples, example), path); // none: whoever has no shop file yet
    const { address, stop } = await serve(folder, [...(example ? [path] : []), "--addr", "127.0.0.1:0"]);
    await use({
      address,
      path,
      text: () => readFileSync(path, "utf8"),
      write: (text) => writeFileSync(path, text),
      // a shop that is short of air ends the command with 1: the answer stands all the same
      ask: (...args) => JSON.parse(spawnSync(program(), [...args, "--json"], { encoding: "utf8" }).stdout).answer,
    });
    await stop();
    rmSync(folder, { recursive: true, force: true });
  },
  page: async ({ page, served }, use) => {
    const elsewhere: string[] = [];
    const complaints: string[] = [];
    page.on("request", (r) => {
      if (!r.url().startsWith(served.address) && !r.url().startsWith("data:")) elsewhere.push(r.url());
    });
    page.on("pageerror", (e) => complaints.push(e.message));
    page.on("console", (m) => {
      // a refused edit answers 409 or 422, which the browser logs too; the tests that provoke one look at what is shown. Where no
      // phone can come in, its picture answers 404.
      const told = /status of (409|422)/.test(m.text()) || m.location().url.endsWith("/api/phone.png");
      if (m.type() === "error" && !told) complaints.push(m.text());
    });
    await page.goto(served.address);
    await use(page);
    expect(elsewhere, "the page may ask nobody but its own server").toEqual([]);
    expect(complaints).toEqual([]);
  },
});

export { expect };

export const machine = (page: Page, name: string) => page.getByTestId(`machine ${name}`);

/** The numbers of a machine on the floor: "315 / 400". */
export const numbers = (page: Page, name: string) => machine(page, name).locator(".number");

/** Waits until the last answer is the deep one: ranges and remedies are there. */
export async function settled(page: Page) {
  await expect(page.getByTestId("aside")).toHaveAttribute("data-settled", "true", { timeout: 15_000 }); // 512 samples on a busy machine
}

/** Drags by pixels, in steps as a hand does. */
export async function drag(page: Page, name: string, dx: number, dy: number, steps = 8) {
  const box = (await machine(page, name).locator(".body").boundingBox())!;
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= steps; i++) {
    await page.mouse.move(x + (dx * i) / steps, y + (dy * i) / steps);
    await page.waitForTimeout(16);
  }
}

/** Lines that differ between two texts of the same number of lines. */
export function changedLines(a: string, b: string): number[] {
  const [x, y] = [a.split("\n"), b.split("\n")];
  expect(y.length).toBe(x.length);
  return x.flatMap((line, i) => (line === y[i] ? [] : [i + 1]));
}
