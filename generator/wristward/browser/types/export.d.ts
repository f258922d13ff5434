/** What the room export puts onto the global, and what a learning-management system offers: SCORM 1.2. */

interface ScormApi {
  LMSInitialize(nothing: ""): unknown;
  LMSFinish(nothing: ""): unknown;
  LMSGetValue(key: string): string;
  LMSSetValue(key: string, value: string): unknown;
  LMSCommit(nothing: ""): unknown;
}
interface Window {
  API?: ScormApi;
}

/** Marks are in percent. */
interface Scorm {
  span(ms: number): string;
  time(now: Date): string;
  pack(marks: number[]): string;
  unpack(text: string, count: number): number[];
  mean(marks: number[], count: number): number;
}
/** What the page of a package holds, export/scorm.py. */
interface ScormData {
  asked: { id: string; side: Side; order: number[] }[];
  words: Record<string, string>;
  /** Of the words that fell back to another. */
  languages?: Record<string, string>;
}
/** One attempt: what was kept before it, and what is kept of it. */
interface Session {
  open: boolean;
  reviewing: boolean;
  before: number[];
  keep(item: Item, share: number): void;
  close(): void;
  total(): number;
  done(): boolean;
}
interface Selected {
  "[data-shows]": HTMLInputElement;
  "[data-part]": HTMLElement;
  "#data": HTMLElement;
  "#notice": HTMLElement;
  "#quiz": HTMLElement;
}
interface Wristward {
  scorm: Scorm;
}
