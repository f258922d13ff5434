/** The few functions of plotly.js that are called, and what of its figures is read or set. */

declare const Plotly: {
  newPlot(box: PlotlyBox, traces: PlotlyTrace[], layout: PlotlyLayout, config: Record<string, unknown>): Promise<unknown>;
  react(box: PlotlyBox, traces: PlotlyTrace[], layout: PlotlyLayout, config: Record<string, unknown>): Promise<unknown>;
  purge(box: PlotlyBox): void;
  Plots: { resize(box: PlotlyBox): void };
};

/** The element that holds a figure; what plotly adds is there once a figure is drawn. */
interface PlotlyBox extends HTMLElement {
  layout?: PlotlyLayout;
  /** Private to plotly; a test watches what is used of it. */
  _fullLayout: { xaxis: PlotlyScale; yaxis: PlotlyScale; yaxis2: PlotlyScale };
  on(kind: "plotly_hover", hear: (event: { points: { x: number }[] }) => unknown): void;
}
interface PlotlyScale {
  /** Pixels of a value. */
  c2p(value: number): number;
}

interface PlotlyTrace {
  uid: string;
  type?: string;
  mode?: string;
  name?: string;
  text?: string | string[];
  x: (number | null)[];
  y: (number | null)[];
  yaxis?: string;
  fill?: string;
  fillcolor?: string;
  fillpattern?: Record<string, string | number>;
  line?: { color?: string; width?: number; dash?: string };
  hoveron?: string;
  hoverinfo?: string;
  showlegend?: boolean;
  textfont?: { size: number[]; color: string[] };
}

type PlotlyAxis = { range?: number[] } & Record<string, unknown>;

interface PlotlyLayout {
  xaxis: PlotlyAxis;
  yaxis: PlotlyAxis;
  yaxis2?: PlotlyAxis;
  newshape?: Record<string, unknown>;
  shapes?: unknown[];
  dragmode?: string;
  font?: { color: string };
  paper_bgcolor?: string;
  plot_bgcolor?: string;
  modebar?: Record<string, string>;
  hoverlabel?: Record<string, unknown>;
}
