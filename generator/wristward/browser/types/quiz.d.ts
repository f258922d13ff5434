/** What the room quiz puts onto the global: questions drawn, played, scored, kept and come back to. */

interface Chance {
  /** 32 bits. */
  word(): number;
  below(count: number): number;
  choice<Value>(values: Value[]): Value;
  shuffled<Value>(values: Iterable<Value>): Value[];
}

/** A question as it is asked: options by their place in the item. */
interface Asked {
  item: Item;
  side: Side;
  order: number[];
}
/** What an educator's fence asks for; null asks for nothing. */
interface Choice {
  kinds?: string[] | null;
  topics?: string[] | null;
  levels?: number[] | null;
  ids?: string[] | null;
}
interface Compose {
  kindOf(item: Item): QuizData["kinds"][string];
  fits(item: { topics: string[] }, topic: string | null): boolean;
  choose(items: Item[], choice: Choice): Item[];
  draw(items: Item[], how?: { topic?: string | null; count?: number; seed?: number }): Asked[];
  ask(item: Item, chance: Chance): Asked;
}

/** Marks are a share, 0 to 1. */
interface Score {
  FULL: number;
  STEP_MM: number;
  tap(distance: number, insideOther: boolean): number;
  tau(answer: number[]): number;
  order(answer: number[]): number;
  range(value: number, low: number, high: number): number;
  height(value: number, key: number): number;
  credit(value: number, credit: number[]): number;
  many(chosen: boolean[], right: boolean[]): number;
  interval(right: number, asked: number): [number, number];
}

type Rating = 1 | 2 | 3 | 4;
/** Where a question stands in the schedule: days, ms since 1970. */
interface Card {
  state: "learning" | "review" | "relearning";
  step: number | null;
  stability: number;
  hard: number;
  last: number;
  due: number;
}
/** An answer as it is kept. */
interface Answer {
  key: string;
  item: string;
  at: number;
  rating: Rating;
  marks: number;
  sure: boolean | null;
  topics: string[];
  edition: string | null;
}
/** What the schedule reads of an answer; without an edition it counts for any. */
type Logged = Pick<Answer, "item" | "at" | "rating"> & { edition?: string | null };
interface Schedule {
  recall(days: number, stability: number): number;
  answer(card: Card | null, rating: Rating, at: number): Card;
  rating(marks: number, sure: boolean | null): Rating;
  cards(log: Logged[], editions?: Map<string, string>): Map<string, Card>;
  due(cards: Map<string, Card>, now: number): string[];
}

interface OpenedLog {
  kept: boolean;
  /** Keys of what a reader is to be told. */
  notices: string[];
  all(): Promise<Answer[]>;
  add(entry: Answer): Promise<void>;
  addAll(entries: Answer[]): Promise<number>;
  clear(): Promise<void>;
  heard(act: () => unknown): Undo;
  close(): void;
}
/** What makes a file no progress of ours: a key of the words, and the place of the answer in the file. */
type Refusal = Error & { number?: number };
interface Store {
  entry(given: unknown): Answer | null;
  key(): string;
  read(text: string): Answer[];
  text(log: Answer[]): string;
  open(): Promise<OpenedLog>;
}

/** What may have fallen back to English on a page of another language: names of texts, or keys. */
interface Fallen {
  english?: string[];
}
interface Spoken {
  as(from: Fallen, name: string): { lang: "en" | null };
  text<Name extends string>(from: Fallen & Record<Name, string>, name: Name): HTMLElement;
  sources(item: Item): Child[];
}

interface QuizFigure {
  host: HTMLElement;
  /** mm from the marker to the target's edge and what lies under it; null before it is placed. */
  tap(target: string): { distance: number; under: string | null } | null;
  answer(lit: string | null): void;
  undo(): void;
}

/** What a reader answered: marks as a share, and what is told of it besides right and wrong. */
interface Read {
  marks: number;
  told: string[];
}
/** The controls of a question: null before anything is chosen, and then locked with the key shown. */
interface Controls {
  read(): Read | null;
  show(): void;
}
type Forms = Record<Form, (asked: Asked, place: HTMLElement, figure: QuizFigure | null) => Controls>;

interface PlayOptions {
  answered?(item: Item, marks: number, sure: boolean | null): unknown;
  again?: (() => void) | null;
  closed?(): void;
  sectionUrl?: string | null;
}

interface Before {
  about(items: Item[], operation: string): { own: Item[]; others: Item[] };
  draw(items: Item[], operation: string, seed: number): Asked[];
  clock(place: HTMLElement): () => void;
  sheet(place: HTMLElement, quiz: Asked[], title: string): void;
}

/** What the hosts of quizzes share. */
interface QuizPage {
  cardsOf(answers: Answer[]): Map<string, Card>;
  failing(host: HTMLElement): (problem: unknown) => void;
  loaded(data: { assets: string }): Promise<unknown>;
  log(): Promise<OpenedLog>;
  notices(place: HTMLElement, opened: OpenedLog): void;
}

interface QuizHostData extends Choice {
  assets: string;
  section: string | null;
  topic: string | null;
  count: number;
  seed: number;
}
interface PracticeData {
  assets: string;
  section: string | null;
  count: number;
}
interface Mounters {
  quiz(host: HTMLElement, data: QuizHostData): Undo;
  practice(host: HTMLElement, data: PracticeData): Undo;
  progress(host: HTMLElement, data: { assets: string }): Undo;
}
interface Parts {
  begin: HTMLButtonElement;
}
interface Selected {
  ".w-quiz-stem": HTMLElement;
}
interface Wristward {
  random(seed: number): Chance;
  get compose(): Compose;
  set compose(begun: object);
  get score(): Score;
  set score(begun: object);
  get schedule(): Schedule;
  set schedule(begun: object);
  get store(): Store;
  set store(begun: object);
  get before(): Before;
  set before(begun: object);
  spoken: Spoken;
  quizPage: QuizPage;
  quizFigure(asked: {
    z: number;
    side: Side;
    numbers?: string[];
    alike?: boolean;
    marker?: boolean;
    heard?: (text: string) => void;
  }): QuizFigure;
  quizButton(text: string, act: () => unknown, kind?: string): HTMLButtonElement;
  playQuiz(host: HTMLElement, quiz: Asked[], options?: PlayOptions): Undo;
}
