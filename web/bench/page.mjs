// How fast the page is: the real program and a real browser, medians and 95th percentiles beside their goals. Nothing is asserted,
// as machines differ. WINNOW names the program, CHROMIUM the browser; run it by `go run ./dev bench page`.
import { spawn } from "node:child_process";
import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { chromium } from "@playwright/test";
import { bigShop } from "./shop.mjs";

const program = process.env.WINNOW;
const example = new URL("../../examples/millrace.yaml", import.meta.url).pathname; // the largest: twelve ports, one main
const folder = mkdtempSync(join(tmpdir(), "winnow-bench-"));

const sorted = (xs) => [...xs].sort((a, b) => a - b);
const part = (xs, p) => sorted(xs)[Math.min(xs.length - 1, Math.floor(xs.length * p))];
function line(what, xs, unit, goal) {
  if (!xs.length) return console.log(`${what.padEnd(52)} nothing was measured`);
  console.log(`${what.padEnd(52)} median ${part(xs, 0.5).toFixed(1).padStart(7)}  p95 ${part(xs, 0.95).toFixed(1).padStart(7)} ${unit.padEnd(4)} of ${String(xs.length).padStart(4)}   ${goal}`);
}

async function serve(name, text) {
  const path = join(folder, name);
  if (text) writeFileSync(path, text);
  else copyFileSync(example, path);
  const began = performance.now();
  const server = spawn(program, ["serve", path, "--addr", "127.0.0.1:0"], { cwd: folder, stdio: ["ignore", "pipe", "ignore"] });
  const address = await new Promise((found) => {
    let said = "";
    server.stdout.on("data", (d) => {
      const m = /https?:\/\/\S+/.exec((said += d));
      if (m) found(m[0]);
    });
  });
  return { server, address, began, stop: () => new Promise((done) => (server.on("exit", done), server.kill())) };
}

const settled = (page) => page.waitForFunction(() => document.querySelector("[data-testid=aside]")?.dataset.settled === "true", undefined, { timeout: 30_000 });

/** From the start of the program to numbers on the screen; the browser is running already. */
async function coldStart(browser) {
  const times = [];
  for (let i = 0; i < 9; i++) {
    const s = await serve(`cold${i}.yaml`);
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(s.address, { waitUntil: "commit" });
    await page.waitForFunction(() => /\d/.test(document.querySelector("[data-testid=sentence]")?.textContent ?? ""), undefined, { polling: 5 });
    times.push(performance.now() - s.began);
    await context.close();
    await s.stop();
  }
  line("cold start to the first numbers on the screen", times, "ms", "goal 1000");
}

/** The question the hand asks, each with another place of a machine: none is answered from what is kept. */
async function looks(s) {
  const state = await (await fetch(`${s.address}api/shops/shop`)).json();
  const ask = (i, want) => ({
    rev: state.rev, running: [{ machine: "planer" }, { machine: "jointer" }], filter: "due", select: "planer", want,
    edits: [{ set: "machines/planer/at/1", to: `${(3 + i * 0.01).toFixed(2)} m` }],
  });
  for (const [what, want] of [
    ["look", ["alone", "curve", "sheet", "layout"]], ["look with ranges", ["alone", "curve", "sheet", "layout", "ranges"]],
    ["look with ranges, remedies and findings", ["alone", "curve", "sheet", "layout", "ranges", "remedies", "findings"]],
  ]) {
    const trips = [];
    const inside = [];
    for (let i = 0; i < (what === "look" ? 250 : 60); i++) {
      const t = performance.now();
      const r = await fetch(`${s.address}api/shops/shop/look`, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(ask(i, want)) });
      const answer = await r.json();
      if (!r.ok) throw new Error(JSON.stringify(answer));
      if (i >= 10) [trips.push(performance.now() - t), inside.push(answer.took_ms)];
    }
    line(`${what}, in the server`, inside, "ms", what === "look" ? "goal p95 10" : "");
    line(`${what}, there and back`, trips, "ms", "");
  }
}

/**
 * From the hand's move to the numbers, painted. The move is the newest one that the question knew of; a question may go out in two
 * parts, and the later of both answers counts.
 */
const watchHand = () => {
  window.painted = [];
  let moved = 0;
  addEventListener("pointermove", (e) => (moved = e.timeStamp), true);
  const under = new Map();
  const real = window.fetch;
  window.fetch = async (url, init) => {
    if (!String(url).endsWith("/look") || !init.body.includes("/at/") || init.body.includes("remedies")) return real(url, init);
    const key = JSON.stringify({ ...JSON.parse(init.body), want: 0 });
    const asked = under.get(key) ?? { parts: 0, cause: moved };
    under.set(key, asked);
    asked.parts++;
    const r = await real(url, init);
    const json = r.json.bind(r);
    r.json = async () => {
      const answer = await json();
      if (--asked.parts > 0) return answer;
      under.delete(key);
      requestAnimationFrame(() => {
        const c = new MessageChannel(); // its message comes after the frame is painted
        c.port1.onmessage = () => window.painted.push(performance.now() - asked.cause);
        c.port2.postMessage(0);
      });
      return answer;
    };
    return r;
  };
};

async function drag(browser, s) {
  const page = await browser.newPage({ viewport: { width: 1320, height: 820 } });
  await page.addInitScript(watchHand);
  await page.goto(s.address);
  await page.getByTestId("run planer").click();
  await page.getByTestId("run jointer").click();
  await settled(page);
  const box = await page.getByTestId("machine planer").locator(".body").boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= 150; i++) {
    await page.mouse.move(x + 60 * Math.sin(i / 15), y + 30 * Math.sin(i / 11));
    await page.waitForTimeout(16);
  }
  await page.keyboard.press("Escape");
  await page.mouse.up();
  const painted = await page.evaluate(() => window.painted);
  line("drag to redrawn numbers and ranges", painted, "ms", "goal p95 50");
  await page.close();
}

async function pan(browser) {
  const s = await serve("big.yaml", bigShop(60, 200));
  const page = await browser.newPage({ viewport: { width: 1320, height: 820 } });
  page.on("pageerror", (e) => console.log(e.message));
  await page.goto(s.address);
  await settled(page);
  await page.evaluate(() => {
    window.frames = [];
    let last = performance.now();
    const next = (now) => (window.frames.push(now - last), (last = now), requestAnimationFrame(next));
    requestAnimationFrame(next);
  });
  const drawn = await page.evaluate(() => [document.querySelectorAll("[data-machine]").length, document.querySelectorAll("[data-piece]").length]);
  for (const [what, runs] of [["nothing runs", 0], ["three machines run", 3]]) {
    for (let i = 0; i < runs; i++) await page.getByTestId(`run machine ${i * 7 + 1}`).click();
    await settled(page);
    const floor = await page.getByTestId("floor").boundingBox();
    await page.mouse.move(floor.x + 6, floor.y + 6);
    await page.mouse.down();
    await page.evaluate(() => (window.frames.length = 0));
    const began = performance.now();
    for (let i = 0; performance.now() - began < 3000; i++) await page.mouse.move(floor.x + 200 + 180 * Math.sin(i / 20), floor.y + 200 + 150 * Math.sin(i / 17));
    const frames = await page.evaluate(() => window.frames.slice(2));
    await page.mouse.up();
    line(`pan, ${drawn[0]} machines, ${drawn[1]} pieces drawn, ${what}`, frames, "ms", "goal 20 (50 frames a second)");
  }
  await page.close();
  await s.stop();
}

function weight() {
  const dist = new URL("../dist/", import.meta.url).pathname;
  const all = readdirSync(dist, { recursive: true, withFileTypes: true }).filter((f) => f.isFile()).map((f) => join(f.parentPath, f.name));
  const size = (f) => (f.endsWith(".woff2") ? readFileSync(f).length : gzipSync(readFileSync(f)).length);
  const kb = (list) => (list.reduce((sum, f) => sum + size(f), 0) / 1000).toFixed(0);
  console.log(`the page, compressed                                 ${kb(all)} kB, ${kb(all.filter((f) => f.endsWith(".js")))} of it scripts   goal 300`);
}

async function memory(browser, s) {
  const page = await browser.newPage();
  await page.goto(s.address);
  await settled(page);
  await page.waitForTimeout(3000);
  const held = () => Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${s.server.pid}/status`, "utf8"))[1]) / 1024;
  console.log(`server, idle, with a page open                       ${held().toFixed(0)} MB   goal 64`);
  await page.close();
}

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--disable-gpu", ...(process.getuid?.() === 0 ? ["--no-sandbox"] : [])] });
try {
  weight();
  await coldStart(browser);
  const quiet = await serve("quiet.yaml");
  await memory(browser, quiet);
  await quiet.stop();
  const s = await serve("shop.yaml");
  await looks(s);
  await drag(browser, s);
  await s.stop();
  await pan(browser);
} finally {
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
}
