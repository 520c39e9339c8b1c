// What this browser prefers: theme and whether motion is wanted. Kept in this browser alone.
import type { Region } from "../core/region";

export type Theme = "auto" | "light" | "dark";

const key = "winnow";

export class Prefs {
  theme = $state<Theme>("auto");
  still = $state(false);
  #words: Region | undefined;

  constructor() {
    try {
      const kept = JSON.parse(localStorage.getItem(key) ?? "{}");
      if (["light", "dark"].includes(kept.theme)) this.theme = kept.theme;
      this.still = kept.still === true;
      if (["us", "uk"].includes(kept.words)) this.#words = kept.words;
    } catch {
      // a browser that keeps nothing is fine
    }
    this.#show();
  }

  /** Kept, and read anew with the page: every text on it is written in these words. */
  setWords(words: Region) {
    this.#words = words;
    this.#keep();
    location.reload();
  }

  set(theme: Theme) {
    this.theme = theme;
    this.#keep();
  }
  setStill(still: boolean) {
    this.still = still;
    this.#keep();
  }

  #show() {
    const root = document.documentElement;
    if (this.theme === "auto") delete root.dataset.theme;
    else root.dataset.theme = this.theme;
    root.dataset.still = String(this.still);
  }
  #keep() {
    this.#show();
    try {
      localStorage.setItem(key, JSON.stringify({ theme: this.theme, still: this.still, words: this.#words }));
    } catch {
      // see above
    }
  }
}
