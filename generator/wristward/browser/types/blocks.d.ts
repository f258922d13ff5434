/** What the room blocks puts onto the global: the chances of blocks, their chart, their words. Heights are mm of the arm shown. */

/** How branches are counted: by where they leave the trunk, or where they no longer run beside it. */
type Reading = "take_off" | "parting";

/** Curves of a reading by their names: "wanted", "spared", "both", "caught.…" of an event; a chance at every whole mm. */
type Curves = Record<string, Float64Array>;

/** The tables of one block: a cube of whole numbers for each different curve, edge slowest, sd fastest. */
interface BlockTable {
  axes: BlockAxes;
  full: number;
  block: PackedBlock;
  cubes: Int16Array[];
}
/** mm of the arm. */
interface BlockSetting {
  length: number;
  sd: number;
  scale: number;
  top: number;
}
interface BlockLimit {
  event: string;
  chance: number;
  z: number;
}
/** Where a block does what is wanted; without such a place only the best compromise, in `best`. */
type BlockWindow = {
  best: number;
  chance: number;
  below: BlockLimit | null;
  above: BlockLimit | null;
} & ({ empty: false; low: number; high: number } | { empty: true; low: null; high: null });

interface Blocks {
  READINGS: Reading[];
  unpack(packed: PackedBlocks, nerve: string): BlockTable;
  curve(table: BlockTable, reading: Reading, name: string, setting: BlockSetting): Float64Array;
  curves(table: BlockTable, setting: BlockSetting): Record<Reading, Curves>;
  window(packed: PackedBlocks, block: PackedBlock, curves: Curves): BlockWindow;
}

interface BlockWords {
  percent(chance: number): string;
  names(ids: string[]): string;
  sentence(
    packed: PackedBlocks,
    block: PackedBlock,
    state: { ml: number; windows: Record<Reading, BlockWindow>; inReach: boolean },
  ): string;
  limits(packed: PackedBlocks, block: PackedBlock, window: BlockWindow): string[];
  assumed(spread: Spread & { length: number }): string;
  card(window: BlockWindow, inReach: boolean): string;
}

/** Length bathed by no volume, by each mL more, and its standard deviation, mm. */
interface Spread {
  base: number;
  perMl: number;
  sd: number;
}
/** Where things lie in a block's drawing, units, figure/block_chart.py. */
interface BlockFrame {
  width: number;
  left: number;
  right: number;
  joint: Panel;
  each: Panel | null;
  bathed: number;
  step: number;
  tick: number;
  badges: number[];
  least: number;
}
/** [top, bottom]. */
type Panel = [number, number];

/** What the chart shows of a state. */
interface BlockSeen {
  curves: Record<Reading, Curves>;
  windows: Record<Reading, BlockWindow>;
  inReach: boolean;
  block: PackedBlock;
  top: number;
  z: number;
  length: number;
}
interface AdoptedChart {
  svg: SVGSVGElement;
  draw(seen: BlockSeen): void;
  point(seen: BlockSeen): void;
  light(keys: Set<string>): void;
  /** Height under a pointer. */
  under(event: MouseEvent, top: number): number;
}
interface ZoomedChart {
  patch(seen: BlockSeen): void;
  settle(seen: BlockSeen): Promise<unknown>;
  undo(): void;
}
interface BlockChart {
  adopt(svg: SVGSVGElement, frame: BlockFrame): AdoptedChart;
  zoom(
    box: PlotlyBox,
    plotly: { data: PlotlyTrace[]; layout: PlotlyLayout },
    first: BlockSeen,
    roles: Record<string, string>,
    point: (z: number) => void,
  ): Promise<ZoomedChart>;
}

/** The panel of one nerve. */
interface BlockPanel {
  panel: HTMLElement;
  part: Find;
  chart: AdoptedChart;
}
interface BlockState extends Spread {
  nerve: string;
  z: number;
  ml: number;
  arm: string;
  lit: string | null;
  event: string | null;
}
interface BlockAct {
  set(change: Partial<BlockState>): void;
  goTo(z: number, from?: "link"): void;
  best(reading: Reading): void;
  light(id: string | null): void;
  event(id: string | null): void;
  zoom(): Promise<void>;
}
interface BlockControls {
  begin(): void;
  follow(state: BlockState, seen: BlockSeen, here: BlockPanel): void;
  rest(state: BlockState, seen: BlockSeen, here: BlockPanel): void;
  zoomed(here: BlockPanel, how: "busy" | "open" | "closed" | "failed"): void;
  undo(): void;
}

interface BlockLevelsData {
  figure: string;
  nerve: string;
  z: number;
  ml: number;
  arm: string;
  link: string;
  assets: string;
  travel: string;
  spread: Spread;
  limits: Record<"ml" | keyof Spread, [number, number]>;
  charts: Record<
    string,
    { frame: BlockFrame; plotly: { data: PlotlyTrace[]; layout: PlotlyLayout }; roles: Record<string, string> }
  >;
  /** A nerve and what it goes on as, in the order in which one is to be lit. */
  parts: Record<string, string[]>;
}
interface Mounters {
  "block-levels"(host: HTMLElement, data: BlockLevelsData): Undo;
}
interface Parts {
  ml: HTMLInputElement;
  base: HTMLInputElement;
  perMl: HTMLInputElement;
  sd: HTMLInputElement;
  reset: HTMLButtonElement;
  travel: HTMLAnchorElement;
  "best-take_off": HTMLButtonElement;
  "best-parting": HTMLButtonElement;
}
/** What stands for a curve, a window, a best level or a number in a block's drawing. */
interface Marked {
  dataset: DOMStringMap & { line: string; reading: Reading; window: Reading; best: Reading; badge: string };
}
interface Selected {
  "[data-nerve]": HTMLElement;
  "[data-event]": HTMLElement & { dataset: DOMStringMap & { event: string } };
  "[data-event] button": HTMLButtonElement;
  '[data-part="ticks"]': SVGGElement;
  '[data-part="cursor"]': SVGPathElement;
  '[data-part="bathed"]': SVGPathElement;
  "[data-line]": SVGPathElement & Marked;
  "[data-window]": SVGPathElement & Marked;
  "[data-best]": SVGPathElement & Marked;
  "[data-badge]": SVGGElement & Marked;
}
interface Wristward {
  get blocks(): Blocks;
  set blocks(begun: object);
  get blockWords(): BlockWords;
  set blockWords(begun: object);
  get blockChart(): BlockChart;
  set blockChart(begun: object);
  blockControls(
    host: HTMLElement,
    find: Find,
    given: { data: BlockLevelsData; act: BlockAct; panels: Map<string, BlockPanel> },
  ): BlockControls;
}
