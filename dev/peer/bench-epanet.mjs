#!/usr/bin/env node
// Times EPANET (a general-purpose pipe-network engine; WebAssembly build, npm package "epanet-js") on the reference networks and
// prints microseconds per hydraulic solve, to set beside ours from the same machine.
//
//   npm ci && node bench-epanet.mjs --dir ../../testdata/reference/networks [--accuracy 1e-6] [--ms 400] [--json] [name-part ...]
//
// cold: flows reset to the engine's start values (about 0.3 m/s in each duct), then solved.
// warm: one duct's loss coefficient alternates between two values (setting it is timed too); starts from the last flows.
// Reading the case, ordering the matrix and writing results are outside the timed part.
// How the translation works, and why the flows differ by about 0.1 % (another friction law): README.md beside the networks.
// Cases of the second schema (joins, humped fans) have no counterpart in the engine and are left out.

import fs from 'node:fs';
import path from 'node:path';
import zlib from 'node:zlib';
import { fileURLToPath } from 'node:url';
import { Project, Workspace } from 'epanet-js';

const here = path.dirname(fileURLToPath(import.meta.url));
const options = { dir: path.join(here, '../../testdata/reference/networks'), accuracy: 1e-6, ms: 400, json: false };
const wanted = [];
for (const args = process.argv.slice(2); args.length;) {
  const a = args.shift();
  const key = a.replace(/^--/, '');
  if (a === '--json') options.json = true;
  else if (a.startsWith('--') && key in options) {
    const v = args.shift();
    options[key] = typeof options[key] === 'number' ? Number(v) : v;
  } else if (a.startsWith('--')) {
    console.error(`unknown option ${a}`);
    process.exit(2);
  } else wanted.push(a);
}

// codes of the engine's toolkit
const PIPE = 1, ITERATIONS = 0, ACCURACY = 1, MINOR_LOSS = 2, LINK_COUNT = 2, FLOW = 8, RESET_FLOWS = 10, KEEP_FLOWS = 0;

// the engine's own constants: gravity in m/s2, litres per cubic foot over the exact number, 8/(pi^2 g) over its rounded number
const gravity = 32.2 * 0.3048;
const litres = 28.317 / 28.316846592;
const minor = 8 / (Math.PI ** 2 * 32.2) / 0.02517;
const text = (v) => Number(v.toPrecision(15)).toString();
const discArea = (d) => Math.PI / 4 * d * d;

function engineInput(net) {
  const { density, viscosity } = net.air;
  const head = (pascal) => pascal / (density * gravity);
  const fixed = new Map(net.nodes.filter((n) => n.type === 'terminal').map((n) => [n.id, n.pressure ?? 0]));
  const part = { extra: [], pipes: [], valves: [], pumps: [], curves: [] };
  const used = new Set();
  const valve = (id, from, to, metres, k) => part.valves.push(`${id} ${from} ${to} ${text(metres * 1000)} TCV ${text(k * minor)} 0`);
  for (const l of net.links.filter((l) => l.state !== 'closed')) {
    used.add(l.from).add(l.to);
    switch (l.type) {
      case 'duct':
        part.pipes.push([l.id, l.from, l.to, text(l.length), text(l.diameter * 1000), text(Math.max(l.roughness * 1000, 1e-9)), text(l.K * minor), 'OPEN'].join(' '));
        break;
      case 'loss':
        valve(l.id, l.from, l.to, l.diameter, l.K);
        break;
      case 'orifice': // 134 times the area: the engine's start of 0.3 m/s is then about the right flow
        valve(l.id, l.from, l.to, Math.sqrt(4 * 134 * l.CdA / Math.PI), 134 ** 2);
        break;
      case 'filter': {
        let from = l.from;
        if (l.a > 0) { // the linear part is a laminar pipe 50 m wide
          from = `${l.id}_x`;
          part.extra.push(from);
          part.pipes.push([`${l.id}_lin`, l.from, from, text(l.a * Math.PI * 50 ** 4 / (128 * viscosity)), '50000 0.0001 0 OPEN'].join(' '));
        }
        valve(l.id, from, l.to, 0.3, l.b * 2 * discArea(0.3) ** 2 / density);
        break;
      }
      case 'fan':
        part.pumps.push(`${l.id} ${l.from} ${l.to} HEAD C${l.id} SPEED ${text(l.speed ?? 1)}`);
        for (const [q, p] of l.curve) part.curves.push(`C${l.id} ${text(q * 1000 * litres)} ${text(head(p))}`);
        break;
      default:
        throw new Error(`link type ${l.type}`);
    }
  }
  const free = net.nodes.filter((n) => n.type !== 'terminal').map((n) => n.id);
  const section = (name, lines) => [`[${name}]`, ...lines, ''];
  return [
    section('TITLE', [net.name]),
    section('JUNCTIONS', [...free, ...part.extra].map((id) => `${id} 0`)),
    section('RESERVOIRS', [...fixed].filter(([id]) => used.has(id)).map(([id, p]) => `${id} ${text(head(p))}`)),
    section('PIPES', part.pipes), section('PUMPS', part.pumps), section('VALVES', part.valves), section('CURVES', part.curves),
    section('OPTIONS', ['UNITS LPS', 'HEADLOSS D-W', `VISCOSITY ${text(viscosity / density)}`, `SPECIFIC GRAVITY ${text(density / 1000)}`, 'ACCURACY 0.001', 'TRIALS 200']),
    section('TIMES', ['DURATION 0']), section('REPORT', ['STATUS NO', 'SUMMARY NO', 'MESSAGES NO']), section('END', []),
  ].flat().join('\n');
}

const read = (file) => {
  const raw = fs.readFileSync(file);
  return JSON.parse((file.endsWith('.gz') ? zlib.gunzipSync(raw) : raw).toString());
};

// median time of a call in microseconds; one sample is enough calls to last about 2 ms
function medianTime(call) {
  for (const end = performance.now() + Math.min(60, options.ms); performance.now() < end;) call(0);
  const sample = (n) => {
    const start = performance.now();
    for (let i = 0; i < n; i++) call(i);
    return performance.now() - start;
  };
  let n = 1;
  while (sample(n) < 2 && n < 8192) n *= 2;
  const samples = [];
  for (const end = performance.now() + options.ms; samples.length < 5 || performance.now() < end;) samples.push(sample(n) / n);
  samples.sort((x, y) => x - y);
  const half = samples.length >> 1;
  return 1000 * (samples.length % 2 ? samples[half] : (samples[half - 1] + samples[half]) / 2);
}

console.warn = () => {}; // the engine warns of negative pressures; here they are the point
const space = new Workspace();
await space.loadModule();
const out = { engine: `EPANET ${space.version} (WebAssembly)`, accuracy: options.accuracy, cases: {} };
const cases = fs.readdirSync(options.dir)
  .filter((f) => /\.json(\.gz)?$/.test(f) && !f.includes('.solution.') && (!wanted.length || wanted.some((w) => f.includes(w))))
  .map((f) => ({ file: f, net: read(path.join(options.dir, f)) }))
  .filter(({ net }) => net.schema === 'airflow-network/1')
  .sort((x, y) => x.net.links.length - y.net.links.length);
if (!options.json) console.log(`${out.engine}, accuracy ${options.accuracy}, node ${process.version}`);

for (const { file, net } of cases) {
  space.writeFile('net.inp', engineInput(net));
  const engine = new Project(space);
  engine.open('net.inp', 'net.rpt', 'net.out');
  engine.openH();
  engine.setOption(ACCURACY, options.accuracy);

  const cold = medianTime(() => { engine.initH(RESET_FLOWS); engine.runH(); });
  const coldSteps = engine.getStatistic(ITERATIONS);
  const solution = path.join(options.dir, file.replace('.json', '.solution.json'));
  const want = read(solution).flows;
  const largest = want.reduce((a, q) => Math.max(a, Math.abs(q)), 0) || 1;
  const off = net.links.reduce((worst, l, i) => {
    if (l.state === 'closed') return worst;
    return Math.max(worst, Math.abs(engine.getLinkValue(engine.getLinkIndex(l.id), FLOW) / 1000 / litres - want[i]) / largest);
  }, 0);

  const count = engine.getCount(LINK_COUNT);
  let pipe = 0; // the first pipe past half the list, else the last one
  for (let i = 1; i <= count && !(pipe && pipe > count / 2); i++) if (engine.getLinkType(i) === PIPE) pipe = i;
  const k = engine.getLinkValue(pipe, MINOR_LOSS);
  const change = (i) => {
    engine.setLinkValue(pipe, MINOR_LOSS, i & 1 ? k : k * 1.1 + 0.05);
    engine.initH(KEEP_FLOWS);
    engine.runH();
  };
  const warm = medianTime(change);
  let warmSteps = 0;
  for (let i = 0; i < 6; i++) { change(i); warmSteps += engine.getStatistic(ITERATIONS) / 6; }
  engine.closeH();
  engine.close();

  out.cases[net.name] = { links: net.links.length, cold_us: cold, cold_steps: coldSteps, warm_us: warm, warm_steps: warmSteps, flow_difference: off };
  if (!options.json) {
    console.log(`${net.name.padEnd(12)} ${String(net.links.length).padStart(6)}  cold ${cold.toFixed(1).padStart(9)} us ${coldSteps} steps  warm ${warm.toFixed(1).padStart(9)} us ${warmSteps.toFixed(1)} steps  off ${off.toExponential(0)}`);
  }
}
if (options.json) console.log(JSON.stringify(out, null, 1));
