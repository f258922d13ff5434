/** What Python puts onto the global before or between the scripts: bridge/assets.py, bridge/pack/, bridge/hosts/quiz.py. */

type Tissue = "bone" | "sheet" | "muscle" | "tendon" | "nerve" | "artery" | "vein";

/** A structure as readers meet it; what is the same as for most is left out. */
interface Entry {
  name: string;
  short: string;
  kind: Tissue;
  latin?: string;
  compartment?: string;
  tone?: string;
  part_of?: string;
  companion_of?: string;
}
type Legend = Record<string, Entry>;

/** How an arm differs in size from the one that is drawn. */
interface Scale {
  length_scale: number;
  girth_scale: number;
}

/** Whole numbers, bridge/pack/numbers.py. */
interface PackedNumbers {
  count: number;
  /** By the sum of the sizes before: how many of 4096 parts each symbol has. */
  tables: number[][];
  /** What the largest symbol leaves of a number. */
  large: number[];
  /** Base64. */
  words: string;
}

/** Outlines of an arm, bridge/pack/outlines.py. */
interface PackedArm {
  unit_mm: number;
  /** Units in one of the numbers. */
  step: number;
  top_mm: number;
  runs: PackedRun[];
  data: PackedNumbers;
}
interface PackedRun {
  id: string;
  /** Whole mm nearest to the elbow. */
  hi: number;
  lo: number;
  /** Points of the ring. */
  n: number;
  /** [from this z down, tissue]. */
  tissues: [number, Tissue][];
  layer: string;
}

/** What was measured, bridge/pack/measures.py. */
interface PackedMeasures {
  ids: string[];
  runs: { id: string; hi: number; lo: number; partner: string | null }[];
  neighbours: number;
  data: PackedNumbers;
}

/** An arm that is drawn otherwise, bridge/pack/arms.py. */
interface PackedOtherArm {
  geometry: PackedArm;
  measures: PackedMeasures;
  order: string[];
  legend: Legend;
  said: ArmSaid;
}
interface ArmSaid {
  differs: string;
  /** mm, from the elbow down. */
  span: [number, number];
  common: ArmSource[];
  lifted: { says: string; because: string }[];
}
interface ArmSource {
  text: string;
  source: string;
  key: string;
}

/** Tables of every block, bridge/pack/blocks.py; chances travel as whole numbers of `full`. */
interface PackedBlocks {
  axes: BlockAxes;
  full: number;
  near_best: number;
  out_of_reach: number;
  nearly_all: number;
  wanted_at_least: number;
  spared_at_least: number;
  length_mm: number;
  blocks: Record<string, PackedBlock>;
  words: Record<string, string>;
}
interface BlockAxes {
  edge_mm: { start: number; step: number; count: number };
  length_mm: number[];
  sd_mm: number[];
}
interface PackedBlock {
  wanted: string[];
  unwanted: string[];
  apart: string[];
  name: string;
  events: Record<string, { prevalence: number; within: number | null; parting: boolean; structures: string[] }>;
  /** Where a curve stands among the tables, by its name or "reading/name". */
  curves: Record<string, number>;
  count: number;
  data: PackedNumbers;
}

/** Questions of the site, bridge/hosts/quiz.py. */
interface QuizData {
  items: Item[];
  /** What is special about the kinds of the items; what does not hold is left out. */
  kinds: Record<string, { drawn_alike?: boolean; in_order?: boolean; before_list?: boolean }>;
  topics: string[];
  operations: string[];
  /** Nerves that an operation needs. */
  nerves: Record<string, string[]>;
  words: Record<string, string>;
  sources: Record<string, string>;
  /** Keys of sources whose names fell back to English. */
  english?: string[];
}
interface Item {
  id: string;
  kind: string;
  form: Form;
  edition: string;
  topics: string[];
  stem: string;
  options: Option[];
  z: number | null;
  shows: boolean;
  target: string | null;
  marks: string[];
  credit: number[];
  why: string;
  sources: string[];
  /** Names of texts that fell back to English. */
  english?: string[];
}
interface Option {
  text: string;
  right: boolean;
  why: string;
  english?: string[];
}
type Form = "choice" | "many" | "tap" | "order" | "height";

/** What Python draws and tells by, figure/shared.py; units unless a name says otherwise. */
interface Shared {
  /** How high the region reaches in the drawn arm, mm. */
  top_mm: number;
  view: Record<
    | "width" | "height" | "column" | "crop_left" | "crop_width"
    | "fit_width" | "fit_height" | "base_scale" | "growth" | "fine",
    number
  >;
  labels: Record<
    | "size" | "line" | "margin" | "gap" | "port" | "clear"
    | "half_height" | "baseline" | "spread" | "eighths" | "narrow_size",
    number
  > & {
    ems: Record<"narrow" | "wide" | "capital" | "other", number>;
    narrow: string;
    wide: string;
    tries: [number, number][];
    tiers: Record<Tissue, number>;
    beside_only: Tissue[];
    narrow_screen: string;
  };
  drawing: Record<
    | "smallest_letter" | "letter_share" | "letter_baseline" | "marrow_share"
    | "scale_bar_mm" | "scale_at" | "scale_foot" | "scale_tick" | "compass_in",
    number
  > & {
    /** Back to front. */
    layers: Tissue[];
    tone: string;
    /** Of discs. */
    letters: Partial<Record<Tissue, string>>;
    hatched: Tissue[];
    round: Tissue[];
    ends: Record<Side, [string, string]>;
    up_and_down: [string, string];
    /** The inside of a drawing of which nothing is drawn, "{id}" for the figure's id. */
    empty: string;
  };
  telling: { kinds: Tissue[]; ways: string[]; touch_mm: number; skin_mm: number };
  chart: { roles: string[] };
  blocks: Record<"step_mm" | "tick_drop" | "surely" | "hardly", number> & { readings: Reading[]; joint: string };
}

interface Wristward {
  shared: Shared;
  legend: Legend;
  words: Record<string, string>;
  arms: Record<string, Scale>;
  others: Record<string, Scale>;
  plotlyBase: { layout: PlotlyLayout; config: Record<string, unknown> };
  drawingStyle: string;
  packedArm: PackedArm;
  packedMeasures: PackedMeasures;
  packedArms: Record<string, PackedOtherArm>;
  packedBlocks: PackedBlocks;
  quizData: QuizData;
}
