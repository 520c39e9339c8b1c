// The handbook while it lies open beside the page: the chapter, the way back, and what had the focus before.
import type { Chapter, ChapterLine } from "../core/types";
import { reading, type Topic } from "../text/reading";
import { api } from "./api";

interface Place {
  name: string;
  heading: string;
}

export class Reader {
  open = $state(false);
  /** nothing: the list of chapters */
  chapter = $state.raw<Chapter>();
  heading = $state("");
  lines = $state.raw<ChapterLine[]>([]);
  problem = $state(false);
  /** counts what was opened: the pane goes to the heading each time, even to the same one */
  turned = $state(0);

  #way = $state.raw<Place[]>([]);
  #from: Element | null = null;

  get canGoBack() {
    return this.#way.length > 1;
  }

  about(topic: Topic): Promise<void> {
    const [name, heading] = reading[topic];
    return this.read(name, heading);
  }
  /** Opens a chapter, at a heading; without a name the list of chapters. */
  async read(name = "", heading = ""): Promise<void> {
    if (!this.open) {
      this.#from = document.activeElement;
      this.#way = [];
    }
    this.#way = [...this.#way, { name, heading }];
    await this.#show({ name, heading });
  }
  async back(): Promise<void> {
    this.#way = this.#way.slice(0, -1);
    await this.#show(this.#way.at(-1) ?? { name: "", heading: "" });
  }
  /** Closes it; the focus goes back to what opened it. */
  close() {
    this.open = false;
    (this.#from as HTMLElement | null)?.focus?.();
    this.#from = null;
  }

  async #show(p: Place) {
    this.open = true;
    this.problem = false;
    try {
      if (!this.lines.length) this.lines = await api.handbook();
      if (this.chapter?.name !== p.name) this.chapter = p.name ? await api.chapter(p.name) : undefined;
      this.heading = p.heading;
      this.turned++;
    } catch {
      this.problem = true;
    }
  }
}

export const reader = new Reader();
