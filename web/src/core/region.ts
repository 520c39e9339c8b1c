// One dictionary, two ways of saying some of its words. The owner's names in a sentence are never touched.

export type Region = "us" | "uk";

/** [US, UK]; longer ones first, as a word is changed once. */
const pairs: [us: string, uk: string][] = [
  ["dust collector", "chip extractor"],
  ["shop vacuum", "vac"],
  ["extension cord", "extension lead"],
  ["collector", "chip extractor"],
  ["outlet", "socket"],
  ["breaker", "MCB"],
  ["cord", "lead"],
  ["miter", "mitre"],
  ["color", "colour"],
];

const escaped = (s: string) => s.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
/** The dictionary is written in American words with British spelling. */
const table: Record<Region, Map<string, string>> = { us: new Map([["mitre", "miter"], ["colour", "color"]]), uk: new Map(pairs) };
const finder = (words: Iterable<string>) => new RegExp(`\\b(${[...words].map(escaped).join("|")})(s?)\\b`, "gi");
const find = { us: finder(table.us.keys()), uk: finder(table.uk.keys()) };

/** Writes a text in the words of a region. */
export function inWords(s: string, region: Region): string {
  const words = table[region];
  return s.replace(find[region], (all, word: string, many: string) => {
    const other = words.get(word.toLowerCase());
    if (!other) return all;
    const upper = word[0] !== word[0]!.toLowerCase() && other[0] === other[0]!.toLowerCase();
    return (upper ? other[0]!.toUpperCase() + other.slice(1) : other) + many;
  });
}

/** British or American, from the browser's language. */
export const regionOf = (language: string): Region => (/^en-(GB|IE|AU|NZ|ZA|IN)/i.test(language) || !/^en/i.test(language) ? "uk" : "us");

/** Writes a sentence of the server's: what the owner named, and what stands in the file's own words, is left alone. */
export function sentenceIn(s: string, region: Region, names: readonly string[]): string {
  const own = names.filter((n) => inWords(n, region) !== n).sort((a, b) => b.length - a.length);
  const kept = new RegExp(["`[^`]*`", ...own.map(escaped)].join("|"), "g");
  let out = "";
  let at = 0;
  for (const m of s.matchAll(kept)) {
    out += inWords(s.slice(at, m.index), region) + m[0];
    at = m.index + m[0].length;
  }
  return out + inWords(s.slice(at), region);
}

/** Parts of an answer that hold no sentence, or one that quotes the file. */
const silent = new Set(["faults", "layout", "edits", "ports", "pieces", "gates", "fans", "curve", "sheet"]);

/** An answer of the server's with its sentences so written. Names, words of the file and faults stay as they are. */
export function answerIn<T>(answer: T, region: Region, names: readonly string[]): T {
  if (Array.isArray(answer)) return answer.map((x) => answerIn(x, region, names)) as T;
  if (!answer || typeof answer !== "object") return answer;
  const spoken = (k: string, v: unknown) => typeof v === "string" && (k === "sentence" || (k === "text" && "kind" in answer && (answer.kind === "" || answer.kind === "piece")));
  return Object.fromEntries(
    Object.entries(answer).map(([k, v]) => {
      if (silent.has(k)) return [k, v];
      return [k, spoken(k, v) ? sentenceIn(v as string, region, names) : answerIn(v, region, names)];
    }),
  ) as T;
}

// A private mark stands for an argument while a sentence is written, if it has words of ours in it: so only our own are changed.
const marked = /\uE000(\d+)\uE001/g;

/** A dictionary of texts and of functions that write texts, in the words of a region. */
export function inRegion<T>(of: T, region: Region): T {
  if (typeof of === "string") return inWords(of, region) as T;
  if (typeof of === "function") {
    const write = of as unknown as (...args: unknown[]) => unknown;
    return ((...args: unknown[]) => {
      const kept: string[] = [];
      const hide = (a: unknown): unknown => {
        if (Array.isArray(a)) return a.map(hide);
        return typeof a === "string" && inWords(a, region) !== a ? `\uE000${kept.push(a) - 1}\uE001` : a;
      };
      const said = write(...args.map(hide));
      return typeof said === "string" ? inWords(said, region).replace(marked, (_, i) => kept[Number(i)]!) : said;
    }) as T;
  }
  if (Array.isArray(of)) return of.map((x) => inRegion(x, region)) as T;
  if (of && typeof of === "object") return Object.fromEntries(Object.entries(of).map(([k, v]) => [k, inRegion(v, region)])) as T;
  return of;
}
