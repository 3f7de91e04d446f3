import path from 'node:path';
import type { Rig } from '../model/region.ts';
import { checkShape } from './check-shape.ts';
import { readDocument, type SourceDocument } from './document.ts';
import { refuse } from './findings.ts';
import { rigFindings } from './rig-checks.ts';
import { rigSchema } from './schemas/rig.ts';

export interface LoadRigOptions {
  /** True where regions are still to be placed. */
  readonly mayBeEmpty?: boolean;
}

/**
 * Reads and checks `rig.json`. The chart's table becomes an absolute path; missing lists become empty ones.
 * @throws UserError naming file, line and key.
 */
export async function loadRig(file: string, options: LoadRigOptions = {}): Promise<Rig> {
  return rigFromDocument(await readDocument(file), path.dirname(path.resolve(file)), options);
}

/** The rig of an already parsed file that lies in `folder`. */
export function rigFromDocument(document: SourceDocument, folder: string, options: LoadRigOptions = {}): Rig {
  const rig = checkShape(rigSchema, document);
  const findings = rigFindings(rig);
  refuse(document, options.mayBeEmpty === true ? findings.filter(({ code }) => code !== 'no-regions') : findings);
  return {
    name: rig.name,
    frame: rig.frame,
    regions: rig.regions,
    white: rig.white ?? [],
    chart: rig.chart === undefined ? null : { ...rig.chart, values: path.resolve(folder, rig.chart.values) },
    thumbnail: rig.thumbnail ?? null,
    ...(rig.settings === undefined ? {} : { settings: rig.settings }),
  };
}
