import type { Command } from 'commander';

/** One verb of the command line. Its module is loaded only when the verb is used, so that help is quick. */
export interface CommandEntry {
  readonly name: string;
  readonly alias?: string;
  /** One line for `vialapse --help`; the module's own summary says the same (held by a test). */
  readonly summary: string;
  readonly load: () => Promise<{ readonly register: (program: Command) => void }>;
}

/** In the order in which a bench needs them. */
export const commands: readonly CommandEntry[] = [
  {
    name: 'demo',
    summary: 'makes an example run, analyses it, says where the report is',
    load: () => import('./commands/demo.ts'),
  },
  {
    name: 'start',
    summary: 'writes a commented run.yaml and a rig.json to fill in',
    load: () => import('./commands/start.ts'),
  },
  {
    name: 'rig',
    summary: 'opens a page to place the regions and name the vials',
    load: () => import('./commands/rig.ts'),
  },
  {
    name: 'preview',
    summary: 'reads everything, analyses nothing, says what is doubtful',
    load: () => import('./commands/preview.ts'),
  },
  {
    name: 'analyse',
    alias: 'analyze',
    summary: 'analyses one run and writes its report folder',
    load: () => import('./commands/analyse.ts'),
  },
  {
    name: 'batch',
    summary: 'many runs, and one overview of all',
    load: () => import('./commands/batch.ts'),
  },
  {
    name: 'chart',
    summary: 'charts that compare rates, from one report or several',
    load: () => import('./commands/chart.ts'),
  },
  {
    name: 'match',
    summary: 'end-point colour tests: which known reference each sample agrees with',
    load: () => import('./commands/match.ts'),
  },
  {
    name: 'plan',
    summary: 'before the run: recipe, detectable level, places, bench sheet, run.yaml',
    load: () => import('./commands/plan.ts'),
  },
  {
    name: 'simulate',
    summary: 'makes a run whose true extents are known, from the physical model',
    load: () => import('./commands/simulate.ts'),
  },
];
