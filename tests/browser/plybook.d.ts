// What the page scripts share through `window.plybook`, for the type check alone.

/** First and last day (since 1970-01-01), recalls that went well, 1 when it was helped. */
type WorkItem = [number, number, number, number];
/** Items by `lesson/name`. */
type Work = Record<string, WorkItem>;
type ReadWork = { items: Work } | { fault: "not-ours" | "other-course" | "damaged" };

interface Progress {
  today(): number;
  load(): Work;
  record(id: string, help: boolean): WorkItem;
  fail(id: string): WorkItem;
  dueOn(item: WorkItem): number;
  due(day?: number): string[];
  clear(): void;
  exportText(): string;
  readText(text: string): ReadWork;
  merge(items: Work): number;
  isKept(): boolean;
  onChange(call: () => void): void;
}

interface Board {
  show(wanted: string, left: number, reached: number): void;
  turn(wanted: boolean): void;
  /** The drawing of the man on a square. */
  man(square: number): SVGElement | undefined;
}

interface Plybook {
  /** Takes charge of a drawn board. */
  startBoard(svg: SVGSVGElement, first: string): Board;
  /** Plays the ply that stands at a place of a text. */
  playDelta(before: string, text: string, at: number): { board: string; from: number; to: number; end: number };
  progress: Progress;
  /** What search.html looks in; search.js names its shape. */
  searchData?: unknown;
}

/** The library of the search page, as far as it is used. */
declare class MiniSearch {
  constructor(options: object);
  addAll(records: object[]): void;
  search(query: string, options?: object): { id: number; terms: string[] }[];
}

/** A question of the warm-up; `t` says who is to move in an exercise, a card has none. */
interface WarmUpItem {
  id: string;
  l: number;
  q: string;
  a: string;
  qb?: string;
  ab?: string;
  t?: string;
}
interface WarmUpData {
  items: WarmUpItem[];
  lessons: { n: number; s: string; t: string; lang?: string }[];
}

interface Window {
  plybook: Plybook;
  plybookWarmUp?: WarmUpData;
}
