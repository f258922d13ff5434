/** What the room shares puts onto the global: bars of a section. */

/** Areas in mm² by kind of tissue, and how far two bars lie apart in the picture. */
interface SharesData {
  row: number;
  shares: Record<string, number>;
}
interface Mounters {
  shares(host: HTMLElement, data: SharesData): Undo;
}
