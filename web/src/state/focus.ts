// Where the focus goes when what had it is gone. Nobody is thrown back to the top of the page.

/** Focuses the first of these that is on the page and can be focused. */
export function focusOn(...selectors: string[]): void {
  for (const s of selectors) {
    const it = document.querySelector<HTMLElement>(s);
    it?.focus({ preventScroll: s === "#main" });
    if (it && document.activeElement === it) return;
  }
}
