/** What the room section puts onto the global: an arm cut at a height, its drawing, its words, and naming under a pointer. */

/** Flat [x0, y0, x1, y1, …]. */
type Ring = ArrayLike<number>;

/** A stretch of a structure, unpacked: a row a mm from `hi` down, the ring and then its centre, in quanta. */
interface Run extends PackedRun {
  width: number;
  rows: Int16Array;
}
interface ArmPart {
  id: string;
  most: number;
  runs: Run[];
  ring: Float64Array;
  shape: Shape;
}
interface Arm {
  /** mm of one step of the rows. */
  quantum: number;
  top: number;
  /** Back to front; skin and fascia come first. */
  parts: ArmPart[];
  byId: Map<string, ArmPart>;
}

/** A structure in a cut: mm, the first `count` points of the ring. */
interface Shape {
  id: string;
  ring: Float64Array;
  count: number;
  cx: number;
  cy: number;
  tissue: Tissue;
  layer: string;
  present: boolean;
  units?: Float64Array;
}
interface Cut {
  at: number;
  side: Side;
  girth: number;
  skin: Shape;
  fascia: Shape;
  shapes: Shape[];
}

interface Geometry {
  /** Whole numbers of a packed text, one after the other. */
  reader(text: string): () => number;
  column(next: () => number, length: number, write: (k: number, value: number) => void): void;
  grid(next: () => number, rows: Int16Array, lies: { from: number; width: number; length: number }): void;
  unpack(packed: PackedArm): Arm;
  drawn(): Arm;
  part(id: string, runs: Run[]): ArmPart;
  cut(arm: Arm, at: number, how?: { side?: Side; girth?: number }): Cut;
  inside(x: number, y: number, ring: Ring, count: number): boolean;
  edgeDistance(x: number, y: number, ring: Ring, count: number): number;
  area(ring: Ring, count: number): number;
  nameAt(cut: Cut, x: number, y: number, reach?: number): string | null;
}

/** Scale (units a mm) and middle (mm) of a picture. */
interface Seen {
  scale: number;
  x: number;
  y: number;
}
interface View {
  WIDTH: number;
  HEIGHT: number;
  COLUMN: number;
  FIT_WIDTH: number;
  FIT_HEIGHT: number;
  BASE_SCALE: number;
  GROWTH: number;
  FINE: number;
  of(ring: Ring, count: number): Seen;
  placeX(seen: Seen, x: number): number;
  placeY(seen: Seen, y: number): number;
  unplace(seen: Seen, ux: number, uy: number): [number, number];
  ringPath(ring: Ring, count: number, seen: Seen, share?: number, cx?: number, cy?: number): string;
}

/** A name that wants a place, units. */
interface Wanted {
  id: string;
  inside: string | null;
  outside: string;
  tier: number;
  x: number;
  y: number;
  count: number;
  ring: Float64Array;
}
interface Disc {
  id: string;
  tissue: Tissue;
  x: number;
  y: number;
  radius: number;
}
/** A name at its place, with the line from (ax, ay) in its structure to (px, py). */
interface PlacedName {
  id: string;
  lines: string[];
  x: number;
  y: number;
  column: "inside" | "left" | "right";
  ax: number;
  ay: number;
  px: number;
  py: number;
}
interface Labels {
  SIZE: number;
  LINE: number;
  textWidth(text: string): number;
  wrap(text: string): string[];
  place(
    wanted: Wanted[],
    discs: Disc[],
    room?: { larger?: number; columns?: boolean; held?: Map<string, PlacedName> | null },
  ): PlacedName[];
}

interface Adopted {
  svg: SVGSVGElement;
  seen: Seen | null;
  draw(
    cut: Cut,
    how?: { names?: boolean; hidden?: Set<string>; lit?: string | null; narrow?: boolean; rests?: boolean },
  ): void;
  light(cut: Cut, id: string | null): void;
  describe(title: string, text: string): void;
  /** mm under a pointer. */
  under(event: MouseEvent): { x: number; y: number; pixelsPerMm: number };
}
interface Drawing {
  role(tissue: Tissue, entry: Entry): string;
  wanted(cut: Cut, seen: Seen, legend: Legend, always?: string | null): Wanted[];
  discs(cut: Cut, seen: Seen): Disc[];
  adopt(svg: SVGSVGElement, figureId: string, arm: Arm, legend: Legend): Adopted;
}

/** What was measured of a structure at a height: mm, degrees, mm². */
interface Told {
  id: string;
  depth_mm: number;
  volar_depth_mm: number;
  bearing_deg: number;
  area_mm2: number;
  partner: string | null;
  partner_gap_mm: number | null;
  neighbours: { id: string; gap_mm: number; direction: number }[];
}
type Tell = (id: string) => Told | null;
interface MeasuredRun {
  id: string;
  hi: number;
  lo: number;
  partner: string | null;
  columns: Int16Array[] | Int32Array[];
  /** Those of another arm, where the run is of it. */
  ids?: string[];
}
interface MeasureTable {
  ids: string[];
  count: number;
  byId: Map<string, MeasuredRun[]>;
}
interface Measures {
  unpack(packed: PackedMeasures): MeasureTable;
  at(table: MeasureTable, id: string, z: number, girth?: number): Told | null;
}

interface InWords {
  KINDS: Tissue[];
  TOUCH_MM: number;
  cm(z: number): string;
  capital(text: string): string;
  height(z: number): string;
  title(z: number, side: Side, arm: string): string;
  way(bearing: number): string;
  whole(value: number): number;
  depth(mm: number): string;
  gap(mm: number, name: string): string;
  tissue(shape: Shape, entry: Entry): string;
  nearest(told: Told, legend: Legend): string;
  line(shape: Shape, entry: Entry, told: Told | null, legend: Legend): string;
  paragraph(section: {
    z: number;
    side: Side;
    arm: string;
    width_mm: number;
    height_mm: number;
    present: Shape[];
    legend: Legend;
    tell: Tell;
  }): string;
  row(shape: Shape, entry: Entry, told: Told | null, legend: Legend): string[];
}

interface MovingShapes {
  draw(shapes: Shape[], seen: Seen): void;
  rest(): void;
}
interface ZoomedFigure {
  patch(cut: Cut): void;
  settle(cut: Cut): Promise<unknown>;
  undo(): void;
}

interface SectionData {
  figure: string;
  z: number;
  assets: string;
  shown: string | null;
  link: string | null;
}
interface Mounters {
  section(host: HTMLElement, data: SectionData): Undo;
}
interface Wristward {
  get geometry(): Geometry;
  set geometry(begun: object);
  get view(): View;
  set view(begun: object);
  get labels(): Labels;
  set labels(begun: object);
  get drawing(): Drawing;
  set drawing(begun: object);
  get measures(): Measures;
  set measures(begun: object);
  get inWords(): InWords;
  set inWords(begun: object);
  movingShapes(
    places: { tissue: SVGGElement; discs: SVGGElement },
    look: (shape: Shape) => { fill: string; disc: boolean; marrow: boolean },
  ): MovingShapes;
  pointing(
    box: HTMLElement,
    adopted: Adopted,
    tag: HTMLElement,
    legend: Legend,
    state: () => { cut: Cut },
    act: { light(id: string | null): void; pin(id: string | null): void },
  ): { hideTag(): void; undo: Undo };
  zoomFigure(box: PlotlyBox, first: Cut, legend: Legend, title: string): Promise<ZoomedFigure>;
  saveDrawing(svg: SVGSVGElement, name: string): void;
}
