import type { Bench } from './bench.ts';
import type { PlanWarning } from './plan.ts';
import { esterDelayS, type Pace } from './rates.ts';
import { isReducer } from './substances.ts';
import type { DosedMaterial } from './vial-dose.ts';
import { duration, short } from './words.ts';

export interface WarningInput {
  readonly bench: Bench;
  readonly materials: readonly DosedMaterial[];
  readonly margin: number;
  readonly acidMolL: number;
  /** Of a primary alcohol under these conditions, for what an ester sets free. */
  readonly alcoholPace: Pace | null;
  readonly readAtS: number;
}

const count = (materials: readonly DosedMaterial[], role: string): number =>
  materials
    .filter(({ material }) => material.role === role)
    .reduce((sum, { material }) => sum + (material.vials ?? 1), 0);

/** All that this plan should be warned of, gravest first. */
export function warningsOf(input: WarningInput): readonly PlanWarning[] {
  return [
    ...referenceWarnings(input),
    ...merged(input.materials.flatMap((one) => materialWarnings(one, input))),
    ...benchWarnings(input),
  ].map((warning) => ({ about: [], said: warning.message, ...warning }));
}

/** Before it is told whom it is about. */
type Warning = Pick<PlanWarning, 'code' | 'message'> & Partial<PlanWarning>;

function referenceWarnings({ materials }: WarningInput): readonly Warning[] {
  const found: Warning[] = [];
  const warn = (code: string, message: string): void => void found.push({ code, message });
  const negatives = count(materials, 'negative');
  if (count(materials, 'positive') === 0) {
    warn('no-positive', 'No positive reference: nothing shows that the reagent works, and extents have no upper end.');
  }
  if (negatives === 0) warn('no-negative', 'No known-clean negative reference: nothing to compare the samples with.');
  if (negatives === 1) {
    warn(
      'one-negative',
      'One negative shows no spread between vials: no sample can be called resisted. Use three or more.',
    );
  }
  if (negatives === 2) {
    warn(
      'two-negatives',
      'Two negatives: one replicate each is judged with a half-width of 7.7 vial spreads; three give 3.4, four 2.6.',
    );
  }
  const blanks = materials.filter(({ material }) => material.role === 'blank');
  if (blanks.length === 0)
    warn('no-blank', 'No blank: add reagent with an inert diluent (water) in place of the sample.');
  else if (!blanks.some((one) => one.kind === 'inert' && (one.sampleG ?? one.sampleMl ?? 0) > 0)) {
    warn(
      'blank-undiluted',
      'No blank holds an inert diluent: give one as much water as the others get sample, so that it is as dilute.',
    );
  }
  const single = materials.filter(({ material }) => material.role === 'sample' && (material.vials ?? 1) < 2);
  if (single.length > 0) {
    const about = single.map(({ material }) => material.name);
    const said = 'one spoiled vial decides. Two vials each are better.';
    found.push({ code: 'no-replicate', message: `No replicate of ${about.join(', ')}: ${said}`, about, said });
  }
  return found;
}

interface MaterialWarning {
  readonly code: string;
  readonly who: string;
  readonly said: string;
}

/** One line where several liquids earn the same words. */
function merged(all: readonly MaterialWarning[]): readonly Warning[] {
  const bySaying = new Map<string, { readonly code: string; readonly names: string[] }>();
  for (const { code, who, said } of all) {
    const known = bySaying.get(said);
    if (known === undefined) bySaying.set(said, { code, names: [who] });
    else known.names.push(who);
  }
  return [...bySaying].map(([said, { code, names }]) => ({
    code,
    message: `${names.join(', ')}: ${said}`,
    about: names,
    said,
  }));
}

function materialWarnings(dosed: DosedMaterial, input: WarningInput): readonly MaterialWarning[] {
  const { bench } = input;
  const { material, kind, layers } = dosed;
  const found: MaterialWarning[] = [];
  const warn = (code: string, message: string): void => void found.push({ code, who: material.name, said: message });
  const share = `${short(dosed.massPercent ?? 0)} % w/w of ${dosed.solublePercent} % soluble in water`;
  if (layers === 'two') warn('two-layers', `two layers (${share}): no rate can be read. Take less.`);
  if (layers === 'doubtful')
    warn('near-two-layers', `may part into two layers (${share}; acid and salt lower it). Take less, or look.`);
  if (layers === 'unknown' && material.role !== 'blank')
    warn(
      'layers-unknown',
      'whether it mixes is not known: give soluble_percent and the amount, or look for a second layer.',
    );
  if (dosed.sampleMol === null && material.role === 'sample')
    warn(
      'amount-unknown',
      'moles not known: give the amount, density_g_ml and molar_mass_g_mol; no level can be told.',
    );
  if (material.sampleMl !== undefined && kind !== 'inert' && material.sampleMl < 0.1) {
    warn('drop-unweighed', 'a small volume: weigh ten drops and give drops and drop_mg; a drop is not 0.05 mL.');
  }
  if (kind === 'ester' && input.alcoholPace !== null) {
    const late = esterDelayS(input.margin, input.alcoholPace.halfTimeS, bench.temperatureC, input.acidMolL);
    warn(
      'ester',
      `an ester: acid splits it, and its alcohol turns the reagent after about ${duration(late / 2)} to ${duration(late * 2)}, clean or not. Read it before, or leave it out.`,
    );
  }
  if (kind === 'aldehyde')
    warn(
      'vapour',
      'an aldehyde: its vapour can turn the vials beside it. Loosely capped, at the end of a row, a blank beside it.',
    );
  if (dosed.freezesC !== null && dosed.freezesC > bench.temperatureC - 3) {
    warn(
      'freezes',
      `freezes near ${short(dosed.freezesC, 3)} C: warm bottle and pipette to about ${Math.ceil(dosed.freezesC + 5)} C before dosing, or drops differ.`,
    );
  }
  if (dosed.boilsC !== null && bench.temperatureC > dosed.boilsC - 15) {
    warn(
      'near-boiling',
      `boils near ${short(dosed.boilsC, 3)} C, too close to ${bench.temperatureC} C: it leaves the vial, and a closed one can burst.`,
    );
  }
  return found;
}

function benchWarnings({ bench, materials, readAtS }: WarningInput): readonly Warning[] {
  const found: Warning[] = [];
  const reducers = materials.some(({ kind }) => kind !== null && isReducer(kind));
  if (bench.sealed === true && (reducers || bench.temperatureC > 30)) {
    found.push({
      code: 'sealed',
      message: 'Sealed vials build pressure (carbon dioxide, oxygen, vapour): cap loosely or use vented caps.',
    });
  }
  if (reducers) {
    found.push({
      code: 'gas',
      message:
        'Over-oxidation sets free gas: bubbles on the glass disturb the reading; leave headspace, and never stopper tightly.',
    });
  }
  if (readAtS > bench.hours * 3600)
    found.push({ code: 'read-after-end', message: 'The reading time lies after the end of the run.' });
  return found;
}
