// What the history says of a change: a name for it, not the whole sentence of the act, which tells its effects too.

/** The server takes no longer ones; a line of the history has no room for them either. */
export const mostOfCause = 120;

/** An act's sentence up to its effects, and never longer than the history takes. */
export function causeOf(sentence: string): string {
  const act = sentence.split(": ", 1)[0]!.trim();
  const letters = [...act]; // by letters, so that none is cut in two
  if (letters.length <= mostOfCause) return act;
  const head = letters.slice(0, mostOfCause - 1).join("");
  return `${head.slice(0, head.lastIndexOf(" ") > mostOfCause / 2 ? head.lastIndexOf(" ") : undefined)}…`;
}
