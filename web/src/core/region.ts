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
