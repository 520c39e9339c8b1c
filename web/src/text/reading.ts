// Which chapter of the handbook explains what is on the screen: [chapter, heading]. A journey opens each of them.
export const reading = {
  floor: ["page", "what-the-floor-shows"],
  hands: ["page", "what-hands-can-do"],
  gets: ["numbers", "what-a-machine-gets"],
  chips: ["numbers", "chips"],
  sure: ["numbers", "how-sure"],
  help: ["numbers", "what-would-help"],
  file: ["shop-file", "ten-rules"],
  faults: ["shop-file", "what-a-message-means"],
  gates: ["gates", ""],
  air: ["air", ""],
  power: ["power", ""],
} satisfies Record<string, [chapter: string, heading: string]>;

export type Topic = keyof typeof reading;
