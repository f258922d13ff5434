/** The one global, and what the room core puts onto it; each room adds its own in a file that is called like it. */

interface Window {
  get wristward(): Wristward;
  /** Any script may be the first one. */
  set wristward(begun: object);
}

/** The theme's stream of pages, where the theme is. */
declare const document$: { subscribe(hear: () => void): void } | undefined;

type Undo = () => void;

/** Each kind of figure is mounted by `(host, data) => its undo`; a room adds its kinds, each with its own data. */
interface Mounters {
  [kind: string]: { mount(host: HTMLElement, data: object): Undo }["mount"] | undefined;
}

/** Where figures of one page are told to go, mm of the mean arm. */
interface News {
  z?: number;
}

/** What a sentence is filled with. */
type Values = Record<string, string | number>;

type Child = Node | string;
type Attributes = Record<string, string | number | boolean | null | undefined>;

/** Elements of a host by their `data-part`, where they are not plain elements. */
interface Parts {}
type Find = <Name extends string>(name: Name) => Name extends keyof Parts ? Parts[Name] : HTMLElement;

/** What is found by the selectors that are asked for, as Python writes it. */
interface Selected {
  "[data-wristward]": HTMLElement;
  /** What appears with a script only. */
  "[data-script]": HTMLElement;
}
interface ParentNode {
  querySelector<Selector extends keyof Selected>(selector: Selector): Selected[Selector] | null;
  querySelectorAll<Selector extends keyof Selected>(selector: Selector): NodeListOf<Selected[Selector]>;
}
interface Element {
  closest<Selector extends keyof Selected>(selector: Selector): Selected[Selector] | null;
}
type Found<Selector> = Selector extends keyof Selected
  ? Selected[Selector]
  : Selector extends keyof HTMLElementTagNameMap
    ? HTMLElementTagNameMap[Selector]
    : Selector extends keyof SVGElementTagNameMap
      ? SVGElementTagNameMap[Selector]
      : Element;

interface On {
  <Kind extends keyof HTMLElementEventMap>(
    target: HTMLElement | SVGElement,
    kind: Kind,
    act: (event: HTMLElementEventMap[Kind]) => unknown,
    options?: AddEventListenerOptions,
  ): void;
  (target: MediaQueryList, kind: "change", act: (event: MediaQueryListEvent) => unknown): void;
  <Kind extends keyof DocumentEventMap>(target: Document, kind: Kind, act: (event: DocumentEventMap[Kind]) => unknown): void;
  <Kind extends keyof WindowEventMap>(target: Window, kind: Kind, act: (event: WindowEventMap[Kind]) => unknown): void;
}

/** What the address says of a figure. */
interface Place {
  /** mm in the arm shown. */
  z: number;
  side: Side;
  arm: string;
  shown: string | null;
}
type Side = "left" | "right";

interface Address {
  read(
    text: string,
    preset: Place,
    known: { arms: string[]; ids: string[]; longest: (arm: string) => number },
  ): Place;
  write(place: Place): string;
}

interface Numbers {
  /** Hands out the next so many of the packed numbers. */
  reader(packed: PackedNumbers): (length: number) => Int32Array;
  /** Works in place. */
  column(column: Int32Array): Int32Array;
  outlines(
    found: Int32Array,
    rows: Int16Array,
    lies: { from: number; count: number; width: number; length: number; step: number },
  ): void;
}

interface Wristward {
  get numbers(): Numbers;
  set numbers(begun: object);
  get mounters(): Mounters;
  set mounters(begun: object);
  number(value: number | string): string;
  say(key: string, values?: Values): string;
  learn(words: Record<string, string>): void;
  load(address: string): Promise<unknown>;
  link(name: string | null | undefined, hear: (news: News) => unknown): Undo;
  tell(name: string | null | undefined, news: News, from: (news: News) => unknown): void;
  listening(): { on: On; stop(): void };
  pacing(host: HTMLElement, draw: () => void, rest: () => void): { ask(): void; settle(): void; stop(): void };
  one<Selector extends string>(host: ParentNode, selector: Selector): Found<Selector>;
  parts(host: ParentNode): Find;
  element<Name extends keyof HTMLElementTagNameMap>(
    name: Name,
    attributes?: Attributes,
    ...children: Child[]
  ): HTMLElementTagNameMap[Name];
  svgElement<Name extends keyof SVGElementTagNameMap>(
    name: Name,
    attributes?: Attributes,
    ...children: Child[]
  ): SVGElementTagNameMap[Name];
  colour(role: string): string;
  get address(): Address;
  set address(begun: object);
}
