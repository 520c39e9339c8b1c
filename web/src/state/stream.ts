// One stream of events for all tabs of a browser: it opens six connections to a server and no more, so a stream for each tab
// would leave the seventh none to look with. The tab that has the lock listens for all; when it closes another takes over.

/** What a tab hears: an event of the server, or that the stream is open or broken. */
export interface Ears {
  event: (kind: "doc" | "job" | "reload", data: string) => void;
  open: () => void;
  /** for good: the server wants something first */
  broke: (closed: boolean) => void;
  /** whatever was said in between was not heard */
  missed: () => void;
}

type Said = { kind: "event"; name: "doc" | "job" | "reload"; data: string } | { kind: "open" } | { kind: "broke"; closed: boolean } | { kind: "hello" } | { kind: "here" };

const kinds = ["doc", "job", "reload"] as const;
const name = "winnow events";
/** How long the tab that listens may take to answer: one that sleeps is relieved. */
export const answers_ms = 4000;
/** How often a tab that hears through another asks whether it has heard all. */
const again_ms = 10_000;

function listen(url: string, tell: (s: Said) => void): EventSource {
  const source = new EventSource(url);
  source.addEventListener("open", () => tell({ kind: "open" }));
  source.addEventListener("error", () => tell({ kind: "broke", closed: source.readyState === EventSource.CLOSED }));
  for (const k of kinds) source.addEventListener(k, (e) => tell({ kind: "event", name: k, data: (e as MessageEvent<string>).data }));
  return source;
}

function hear(ears: Ears, s: Said) {
  if (s.kind === "event") ears.event(s.name, s.data);
  else if (s.kind === "open") ears.open();
  else if (s.kind === "broke") ears.broke(s.closed);
}

/** Hears the events of a stream until the answer is called. */
export function share(url: string, ears: Ears): () => void {
  // Locks are missing where the page comes over plain http from another machine.
  if (!globalThis.navigator?.locks || !globalThis.BroadcastChannel) return whileShown(url, ears);
  const channel = new BroadcastChannel(name);
  const quit = new AbortController();
  let source: EventSource | undefined;
  let release: (() => void) | undefined;
  let waiting: ReturnType<typeof setTimeout> | undefined;
  /** what a tab that comes later must know: the last revision, and each job */
  const last = new Map<string, Said>();

  const tell = (s: Said) => {
    if (s.kind === "event") last.set(s.name === "job" ? `job ${JSON.parse(s.data).id}` : s.name, s);
    else last.set("state", s);
    channel.postMessage(s);
    hear(ears, s);
  };
  const lead = () => {
    source = listen(url, tell);
    return new Promise<void>((done) => (release = done));
  };
  const follow = (late: boolean, steal = false) => {
    void navigator.locks
      .request(name, steal ? { steal } : { signal: quit.signal }, () => {
        clearTimeout(waiting);
        if (quit.signal.aborted) return;
        if (late) ears.missed();
        return lead();
      })
      .catch(() => {
        if (quit.signal.aborted) return;
        source?.close(); // this tab slept, and another took over
        source = undefined;
        follow(true);
      });
  };
  /** Asks the tab that listens whether it still does. */
  const hello = () => {
    if (source) return;
    channel.postMessage({ kind: "hello" } satisfies Said);
    clearTimeout(waiting);
    waiting = setTimeout(() => !source && follow(true, true), answers_ms);
  };
  const shown = () => document.visibilityState === "visible" && hello();

  channel.onmessage = ({ data: s }: MessageEvent<Said>) => {
    if (s.kind === "hello") {
      if (!source) return;
      channel.postMessage({ kind: "here" } satisfies Said);
      if (source.readyState === EventSource.CLOSED) source = listen(url, tell); // it was refused; whoever asks may have said the passphrase
      else for (const known of last.values()) channel.postMessage(known);
      return;
    }
    clearTimeout(waiting);
    if (!source) hear(ears, s);
  };
  document.addEventListener("visibilitychange", shown);
  // On a busy machine a tab may miss what was said: it asks again now and then, and when somebody turns to it.
  addEventListener("focus", shown);
  const now_and_then = setInterval(shown, again_ms);
  navigator.locks.request(name, { ifAvailable: true }, (lock) => (lock && !quit.signal.aborted ? lead() : "taken")).then(
    (r) => {
      if (r !== "taken" || quit.signal.aborted) return;
      follow(true);
      hello();
    },
    () => {
      source?.close();
      source = undefined;
      if (!quit.signal.aborted) follow(true);
    },
  );
  return () => {
    quit.abort();
    clearTimeout(waiting);
    document.removeEventListener("visibilitychange", shown);
    removeEventListener("focus", shown);
    clearInterval(now_and_then);
    source?.close();
    source = undefined;
    release?.();
    channel.close();
  };
}

/** Where tabs cannot share, a hidden one does not listen: it asks when it is shown again. */
function whileShown(url: string, ears: Ears): () => void {
  let source: EventSource | undefined;
  const shown = () => {
    if (document.visibilityState === "hidden") {
      source?.close();
      source = undefined;
    } else if (!source) {
      source = listen(url, (s) => hear(ears, s));
      ears.missed();
    }
  };
  if (document.visibilityState !== "hidden") source = listen(url, (s) => hear(ears, s));
  document.addEventListener("visibilitychange", shown);
  return () => {
    document.removeEventListener("visibilitychange", shown);
    source?.close();
  };
}
