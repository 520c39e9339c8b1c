// A shop of any size, for measuring only: rows of machines along mains, a drop for each.

/** A shop file with so many machines, and at least so many pieces of pipe, hose and fittings. */
export function bigShop(machines, pieces) {
  const perMain = 12;
  const mains = Math.ceil(machines / perMain);
  const extra = Math.max(0, Math.ceil(pieces / machines) - 2); // hose and pipe are there anyhow
  const out = ["winnow: 1", "name: big", "units: si", "", "room:", `  corners: [[0 m, 0 m], [${perMain * 2 + 4} m, 0 m], [${perMain * 2 + 4} m, ${mains * 4 + 2} m], [0 m, ${mains * 4 + 2} m]]`, "", "machines:"];
  const at = (i) => [3 + (i % perMain) * 2, 3 + Math.floor(i / perMain) * 4];
  for (let i = 0; i < machines; i++) {
    const [e, n] = at(i);
    out.push(`  machine ${i + 1}: {kind: band saw, at: [${e} m, ${n} m], facing: ${(i % 4) * 90}°}`);
  }
  out.push("", "systems:");
  for (let m = 0; m < mains; m++) {
    const n = 1 + m * 4;
    const own = Array.from({ length: Math.min(perMain, machines - m * perMain) }, (_, i) => m * perMain + i);
    out.push(`  collector ${m + 1}:`, "    kind: collector", `    at: [1 m, ${n} m]`, "    footprint: 100 cm x 60 cm", "    fan:", "      rating: {free air: 4000 m³/h, shut-off: 3 kPa}", "    motor: {power: 3 kW, voltage: 400 V}",
      "    filter: {kind: cartridge, area: 20 m2}", "    runs:", "      main:", "        size: 200 mm", "        kind: snap-lock pipe", "        pieces:");
    for (const i of [...own].reverse()) {
      const [e] = at(i);
      if (i !== own.at(-1)) out.push(`          - {wye: drop ${i + 1}, angle: 45°, at: [${e - 0.5} m, ${n} m, 2.5 m]}`);
      else out.push(`          - {wye: [drop ${i + 1}, spare ${m + 1}], make: two-way split, at: [${e - 0.5} m, ${n} m, 2.5 m]}`);
      out.push("          - {pipe: drawn}");
    }
    for (const i of own) {
      const [e, k] = at(i);
      out.push(`      drop ${i + 1}:`, `        from: machine ${i + 1}`, "        size: 125 mm", "        kind: snap-lock pipe", "        pieces:", "          - {hose: 1.2 m, kind: wire-helix hose}", `          - {gate: gate ${i + 1}, at: [${e} m, ${k - 0.8} m, 1.5 m]}`);
      for (let x = 0; x < extra; x++) out.push("          - {pipe: drawn}", `          - {elbow: drawn, at: [${(e - 0.1 * (x + 1)).toFixed(2)} m, ${(k - 0.8 - 0.2 * (x + 1)).toFixed(2)} m, ${(1.6 + 0.1 * x).toFixed(2)} m]}`);
      out.push("          - {pipe: drawn}");
    }
    out.push(`      spare ${m + 1}: {from: cap, size: 125 mm, kind: snap-lock pipe, pieces: [{pipe: 30 cm}]}`);
  }
  return `${out.join("\n")}\n`;
}
