/** What the room charts puts onto the global: a chart over height. */

/** A chart as Python drew it: heights in mm, places in units of the picture. */
interface ChartData {
  figure: string;
  assets: string;
  link: string | null;
  z: number | null;
  top: number;
  left: number;
  right: number;
  width: number;
  plotly: { data: PlotlyTrace[]; layout: PlotlyLayout };
}
interface Mounters {
  chart(host: HTMLElement, data: ChartData): Undo;
}
interface Parts {
  slider: HTMLInputElement;
  zoom: PlotlyBox;
}
interface Selected {
  ".w-cursor": SVGGraphicsElement;
}
