// Where a path of the file leads on the floor: to a machine, to a system, and to what is lit of it.
export interface Lead {
  machine?: string;
  system?: string;
  lit: string[];
}

/** Nothing for what has no place on the floor: the room, the routine, a circuit. */
export function leadOf(path: string): Lead | undefined {
  const [kind, name, ...rest] = path.split("/");
  if (!name) return undefined;
  if (kind === "machines") return { machine: name, lit: [path] };
  if (kind === "systems") return { system: name, lit: rest.length ? [path] : [] };
  return undefined;
}
