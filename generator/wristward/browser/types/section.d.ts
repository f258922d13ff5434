/** What the room section puts onto the global: an arm cut at a height, its drawing, its words, and naming under a pointer. */

/** Flat [x0, y0, x1, y1, …]; often only the first points count. */
type Ring = ArrayLike<number>;

/** A stretch of a structure, unpacked: a row a mm from `hi` down, the ring and then its centre, in units of the arm. */
interface Run extends PackedRun {
  width: number;
  rows: Int16Array;
}
interface ArmPart {
  id: string;
  runs: Run[];
}
interface Arm {
  /** What the rows count in, mm. */
  unit: number;
  top: number;
  /** Back to front; skin and fascia come first. */
  parts: ArmPart[];
  byId: Map<string, ArmPart>;
}

/** A structure in a cut, mm. */
interface Shape {
  id: string;
  ring: number[];
  count: number;
  cx: number;
  cy: number;
  tissue: Tissue;
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
  unpack(packed: PackedArm): Arm;
  drawn(): Arm;
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
/** What leads a line, as a canvas does. */
type Pen = Pick<CanvasPath, "moveTo" | "quadraticCurveTo" | "closePath">;
interface View {
  of(ring: Ring, count: number): Seen;
  placeX(seen: Seen, x: number): number;
  placeY(seen: Seen, y: number): number;
  unplace(seen: Seen, ux: number, uy: number): [number, number];
  trace(pen: Pen, shape: Shape, seen: Seen, share?: number): void;
  outline(shape: Shape, seen: Seen, share?: number): string;
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
  ring: number[];
}
/** What is round, units. */
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
  textWidth(text: string): number;
  wrap(text: string): string[];
  place(
    wanted: Wanted[],
    discs: Disc[],
    room?: { larger?: number; columns?: boolean; held?: Map<string, PlacedName> | null },
  ): PlacedName[];
}

/** A structure that a drawing holds, and what it is drawn as. */
interface DrawnPart {
  id: string;
  kind: Tissue;
}
/** Groups in which each structure stands by itself. */
interface DrawnPlaces {
  tissue: SVGGElement;
  discs: SVGGElement;
}
type Look = (shape: Shape) => { fill: string; disc: boolean; bone: boolean };
/** A letter at its baseline, units. */
interface Letter {
  id: string;
  tissue: Tissue;
  text: string;
  x: number;
  y: number;
  size: number;
}

/** Each takes over a group and returns what draws it. */
interface Layers {
  called: {
    shape(tissue: Tissue): string;
    marrow: string;
    letter(tissue: Tissue): string;
    name(placed: PlacedName, isOnBone: boolean): string;
    leader: string[];
    light: string[];
  };
  anchors: Record<PlacedName["column"], Anchor>;
  baselines(placed: PlacedName): number[];
  bar(seen: Seen): { line: string; words: number };
  shapes(places: DrawnPlaces, parts: DrawnPart[], look: Look, told: boolean): (visible: Shape[], seen: Seen) => void;
  letters(group: SVGGElement): (all: Letter[]) => void;
  names(
    groups: { labels: SVGGElement; leaders: SVGGElement },
    isOnBone: (id: string) => boolean,
  ): (all: PlacedName[], lit: string | null) => void;
  light(group: SVGGElement): (shape: Shape | undefined, seen: Seen) => void;
  scale(group: SVGGElement): (seen: Seen) => void;
  compass(group: SVGGElement): (side: Side) => void;
}
/** What a drawing shows. */
interface Picture {
  /** What is shown of it. */
  cut: Cut;
  seen: Seen;
  letters: Letter[];
  names: PlacedName[];
  light: Shape | undefined;
}
/** What shows a drawing while its cut moves. */
interface MovingPicture {
  paint(picture: Picture, how: { look: Look; isOnBone: (id: string) => boolean }): void;
  rest(): void;
  undo: Undo;
}
/** How a canvas fills, draws and writes what the style sheet describes. */
interface Ink {
  fill: string | CanvasPattern | null;
  stroke: string | null;
  /** Opacity of the stroke. */
  fade: number;
  width: number;
  join: CanvasLineJoin;
  cap: CanvasLineCap;
  /** What stands before the size, the size, and what stands behind it. */
  font: [string, string, string];
  spacing: string;
}
type Anchor = "start" | "middle" | "end";
/** What is known of the drawing's style sheet; `scale` in pixels a unit. */
interface Inks {
  put(pen: CanvasRenderingContext2D, ink: Ink, line?: Path2D | null): void;
  write(
    pen: CanvasRenderingContext2D,
    ink: Ink,
    what: { text: string; x: number; y: number; anchor: Anchor; tall?: string },
  ): void;
  of(svg: SVGSVGElement): {
    of(name: "path" | "text", called: string, fill?: string | null): Ink;
    scale(pixels: number): void;
    undo: Undo;
  };
}

interface DrawOptions {
  names?: boolean;
  /** By tissue. */
  hidden?: Set<string>;
  /** By id: what carries no letter. */
  unlettered?: Set<string>;
  lit?: string | null;
  narrow?: boolean;
  /** False while the cut moves. */
  rests?: boolean;
}
/** What a pointer may be over. */
interface Pointed {
  svg: SVGSVGElement;
  /** mm under a pointer, and CSS pixels a mm. */
  under(event: MouseEvent): { x: number; y: number; pixelsPerMm: number };
}
interface Adopted extends Pointed {
  /** Of the last picture. */
  seen: Seen;
  draw(cut: Cut, how?: DrawOptions): void;
  describe(title: string, text: string): void;
}
interface Drawing {
  narrow: MediaQueryList;
  role(tissue: Tissue, entry: Entry): string;
  alike(cut: Cut): Cut;
  wanted(cut: Cut, seen: Seen, legend: Legend, always?: string | null): Wanted[];
  discs(cut: Cut, seen: Seen): Disc[];
  letters(discs: Disc[]): Letter[];
  parts(arm: Arm, legend: Legend): DrawnPart[];
  empty(svg: SVGSVGElement, figureId: string): void;
  adopt(svg: SVGSVGElement, figureId: string, parts: DrawnPart[], legend: Legend, how?: { told?: boolean; moving?: MovingPicture | null }): Adopted;
}

/** What was measured of a structure at a height: mm, degrees, mm². */
interface Told {
  id: string;
  depth_mm: number;
  straight_depth_mm: number;
  bearing_deg: number;
  area_mm2: number;
  partner: string | null;
  partner_gap_mm: number | null;
  neighbours: { id: string; gap_mm: number; eighth: number }[];
}
type Tell = (id: string) => Told | null;
interface MeasuredRun {
  id: string;
  hi: number;
  lo: number;
  partner: string | null;
  columns: Int32Array[];
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
  cm(z: number): string;
  capital(text: string): string;
  height(z: number): string;
  shortHeight(z: number): string;
  band(low: number, high: number): string;
  span(low: number, high: number): string;
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

/** What a reader does to a figure by pointing. */
interface Act {
  light(id: string | null): void;
  pin(id: string | null): void;
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
interface Selected {
  ".w-skin": SVGPathElement;
  ".w-loose": SVGPathElement;
  ".w-tissue": SVGGElement;
  ".w-discs": SVGGElement;
  ".w-letters": SVGGElement;
  ".w-labels": SVGGElement;
  ".w-leaders": SVGGElement;
  ".w-light": SVGGElement;
  ".w-frame": SVGGElement;
  ".w-scale": SVGPathElement;
  ".w-scale-text": SVGTextElement;
  ".w-compass": SVGTextElement;
  ".scatterlayer > .trace": SVGGElement;
}
interface Wristward {
  get geometry(): Geometry;
  set geometry(begun: object);
  get view(): View;
  set view(begun: object);
  get labels(): Labels;
  set labels(begun: object);
  get layers(): Layers;
  set layers(begun: object);
  get inks(): Inks;
  set inks(begun: object);
  get drawing(): Drawing;
  set drawing(begun: object);
  get measures(): Measures;
  set measures(begun: object);
  get inWords(): InWords;
  set inWords(begun: object);
  canvasOver(box: HTMLElement, svg: SVGSVGElement): MovingPicture | null;
  pointing(
    box: HTMLElement,
    pointed: Pointed,
    tag: HTMLElement,
    legend: Legend,
    state: () => { cut: Cut },
    act: Act,
  ): { hideTag(): void; undo: Undo };
  zoomFigure(box: PlotlyBox, first: Cut, legend: Legend, title: string): Promise<ZoomedFigure>;
  takeOff(box: PlotlyBox): void;
  saveDrawing(svg: SVGSVGElement, name: string): void;
}
