// The words of this browser's owner: what they chose, else what their language suggests.
import { inWords, regionOf, type Region } from "../core/region";

function chosen(): Region {
  try {
    const kept = JSON.parse(localStorage.getItem("winnow") ?? "{}").words;
    if (kept === "us" || kept === "uk") return kept;
  } catch {
    // a browser that keeps nothing is fine
  }
  return regionOf(typeof navigator === "undefined" ? "en-US" : navigator.language);
}

export const region = chosen();

/** Our own word for a kind of thing; never the owner's name for one. */
export const local = (word: string) => inWords(word, region);
