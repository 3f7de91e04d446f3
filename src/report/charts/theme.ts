/** Paper, ink and one grey scale; colours of the charts other than those the camera saw. */
export interface ChartTheme {
  readonly paper: string;
  readonly ink: string;
  /** Secondary text; at least 4.5:1 on paper (WCAG 2.2, 1.4.3). */
  readonly soft: string;
  /** Axes, whiskers and outlines; at least 3:1 on paper (WCAG 2.2, 1.4.11). */
  readonly rule: string;
  /** Grid lines and decoration that carries no meaning of its own. */
  readonly hair: string;
  /** Filled bands: the fit's, and the lighter one of the negative references. */
  readonly band: string;
  readonly faint: string;
}

export const lightTheme: ChartTheme = {
  paper: '#ffffff',
  ink: '#1a1a1a',
  soft: '#565656',
  rule: '#7d7d7d',
  hair: '#dedede',
  band: '#c4c4c4',
  faint: '#e9e9e9',
};

/** Black on white, for paper and slides. */
export const printTheme: ChartTheme = {
  ...lightTheme,
  paper: 'none',
  ink: '#000000',
  soft: '#3d3d3d',
  rule: '#5f5f5f',
};

/** Inside the report the page's own variables, so that light, dark and print follow the reader's choice. */
export const pageTheme: ChartTheme = {
  paper: 'var(--paper)',
  ink: 'var(--ink)',
  soft: 'var(--soft)',
  rule: 'var(--rule)',
  hair: 'var(--hair)',
  band: 'var(--band)',
  faint: 'var(--faint)',
};
