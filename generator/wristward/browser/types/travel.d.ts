/** What the room travel puts onto the global: the page "Elbow to wrist". */

interface TravelData {
  figure: string;
  z: number;
  side: Side;
  arm: string;
  shown: string | null;
  assets: string;
  link: string | null;
  /** Arms drawn otherwise that may be chosen. */
  others: string[];
  /** Address of the page of sources. */
  sources: string | null;
  /** mm of the drawn arm. */
  levels: { z: number; name: string }[];
  /** Address of each structure's page. */
  pages: Record<string, string>;
}
/** Where a reader is; `z` in mm of the arm shown, `hidden` by tissue. */
interface TravelState extends Place {
  lit: string | null;
  names: boolean;
  hidden: Set<string>;
}

/** An arm that is drawn otherwise, joined to the drawn one. */
interface OtherArm {
  arm: Arm;
  legend: Legend;
  said: ArmSaid;
  measures(table: MeasureTable): MeasureTable;
}
interface Arming {
  geometry(drawn: Arm, own: Arm, order: string[]): Arm;
  measures(drawn: MeasureTable, own: MeasureTable, stretch: { hi: number; lo: number }): MeasureTable;
  load(address: string, name: string, drawn: Arm): Promise<OtherArm>;
}

/** The figure; `arm` and `legend` are those of the arm shown, whichever it is. */
interface TravelFigure extends Pointed {
  arm: Arm;
  legend: Legend;
  svg: SVGSVGElement;
  worn(): OtherArm | null;
  isZoomed(): boolean;
  wear(other: OtherArm | null): void;
  draw(cut: Cut, how: DrawOptions, rests: boolean): void;
  describe(title: string, text: string): void;
  measure(): Promise<void>;
  tell(id: string, z: number, girth: number): Told | null;
  openZoom(cut: Cut, title: string): Promise<void>;
  closeZoom(): void;
  undo(): void;
}
interface TravelPlace {
  state: TravelState;
  /** The address the page was opened with, where it asks for an arm that is still to come. */
  awaited: string | null;
  read(text: string): Place;
  longest(arm: string): number;
  isDrawnOtherwise(arm: string): boolean;
  stored(): number;
  girth(): number;
  moveTo(z: number): boolean;
  ofStored(z: number): number;
  with(changed: Partial<TravelState>): Partial<TravelState> & { arm: string; z: number };
  levelBeyond(direction: 1 | -1): number | undefined;
  keep(): void;
}
interface TravelAct extends Act {
  goTo(z: number): void;
  level(direction: 1 | -1): void;
  set(changed: Partial<TravelState>): void;
  hide(tissue: string, hidden: boolean): void;
  zoom(): Promise<void>;
  save(): void;
}
interface TravelPanel {
  follow(state: TravelState, cut: Cut, tell: Tell, share: number): void;
  elsewhere(id: string, state: TravelState): string;
  rest(state: TravelState, cut: Cut, tell: Tell): void;
  description(state: TravelState, cut: Cut): string;
  arm(state: TravelState, most: number, other: OtherArm | null): void;
  waiting(waiting: boolean, text?: string): void;
  course(state: TravelState): void;
  zoomed(open: boolean): void;
  busy(waiting: boolean): void;
  complain(text: string): void;
  undo(): void;
}

/** What some browsers say of the reader's connection. */
interface Navigator {
  connection?: { saveData?: boolean };
}
interface Mounters {
  travel(host: HTMLElement, data: TravelData): Undo;
}
interface Selected {
  tbody: HTMLTableSectionElement;
  "[role=option]": HTMLElement;
}
interface Parts {
  cursor: SVGLineElement;
  course: SVGGElement;
}
interface Wristward {
  get arming(): Arming;
  set arming(begun: object);
  armNote(said: ArmSaid, data: TravelData): Child[];
  structureList(
    host: HTMLElement,
    legend: Legend,
    act: Act,
  ): { fill(cut: Cut, tell: Tell): void; mark(pinned: string | null, lit: string | null): void; undo: Undo };
  travelFigure(host: HTMLElement, find: Find, data: TravelData): TravelFigure;
  travelPlace(data: TravelData, arm: Arm, legend: Legend): TravelPlace;
  travelPanel(
    host: HTMLElement,
    find: Find,
    given: { legend: Legend; arm: Arm; data: TravelData; act: TravelAct; longest: (arm: string) => number },
  ): TravelPanel;
  plotlyAhead(host: HTMLElement, address: string): Undo;
}
