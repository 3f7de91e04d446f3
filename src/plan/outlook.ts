import { extentOfLevel, levelOfExtent, nineTenthsS, type Trace } from './trace.ts';
import { acidOrder, activationKJ, warmthFactor } from './rates.ts';
import { chanceOfResisted, detectableDifference, type ErrorModel } from './half-width.ts';
import { duration, short } from './words.ts';

export interface OutlookInput {
  readonly model: ErrorModel | null;
  readonly trace: Trace | null;
  readonly impurity: string;
  readonly wantedMolPercent: number;
  readonly readAtS: number;
  readonly temperatureC: number;
  readonly acidMolL: number;
  readonly lowestBoilingC: number | null;
}

export interface Outlook {
  readonly detectableExtent: number | null;
  readonly detectableMolPercent: number | null;
  readonly chanceOfResisted: number | null;
  readonly lines: readonly string[];
}

/** What the run would see, how sure `resisted` would be, and what would make it finish in time. */
export function outlookOf(input: OutlookInput): Outlook {
  const { model, trace, impurity, wantedMolPercent, readAtS } = input;
  const lines: string[] = [];
  const extent = model === null ? null : detectableDifference(model);
  const level = extent === null || trace === null ? null : levelOfExtent(extent, trace, readAtS);
  // One negative shows no spread: the judge never says `resisted` then.
  const chance = model === null ? null : model.m < 2 ? 0 : chanceOfResisted(model);
  if (extent !== null) {
    const asLevel = level === null ? 'no level known' : `${short(level)} mol % of ${impurity}`;
    lines.push(
      `Smallest level this run would see (9 runs in 10): extent ${short(extent)} above the negatives, ${asLevel} by ${duration(readAtS)}.`,
    );
  }
  if (trace !== null) {
    const made = extentOfLevel(wantedMolPercent, trace, readAtS);
    const verdict = extent === null ? '' : made >= extent ? ': would be seen' : ': WOULD BE MISSED';
    lines.push(
      `Not to be missed: ${wantedMolPercent} mol % of ${impurity} makes extent ${short(made)} by then${verdict}. ${short(trace.exhaustingMolPercent)} mol % uses up all Cr(VI).`,
    );
    lines.push(finishLine(input, trace));
  }
  if (model !== null && chance !== null) {
    lines.push(
      `A clean sample is called resisted in ${Math.round(chance * 100)} of 100 runs. ${replicatesLine(model)}`,
    );
  }
  return { detectableExtent: extent, detectableMolPercent: level, chanceOfResisted: chance, lines };
}

/** Acid or warmth by which nine tenths of a trace would be used up at the reading time. */
function finishLine({ readAtS, temperatureC, acidMolL, lowestBoilingC }: OutlookInput, trace: Trace): string {
  const needed = nineTenthsS(trace);
  const factor = needed / readAtS;
  if (factor <= 1) return `Nine tenths of a trace have reacted after about ${duration(needed)}: in time.`;
  const acid = [acidOrder.high, acidOrder.low].map((order) => acidMolL * factor ** (1 / order));
  const warm = [activationKJ.high, activationKJ.low].map((kJ) => warmerC(temperatureC, factor, kJ));
  const hot =
    lowestBoilingC !== null && warm[1]! > lowestBoilingC - 15
      ? `, but a liquid here boils at ${short(lowestBoilingC, 3)} C`
      : '';
  return `Nine tenths of a trace have reacted only after about ${duration(needed)}, ${short(factor)} times the time there is. To be in time: ${short(acid[0]!)} to ${short(acid[1]!)} mol/L acid (order 2 to 1), or ${Math.ceil(warm[0]!)} to ${Math.ceil(warm[1]!)} C (60 to 40 kJ/mol)${hot}.`;
}

/** Temperature at which rates are `factor` times those at `fromC`. */
export function warmerC(fromC: number, factor: number, kJMol: number): number {
  const perKelvin = 8.314462618e-3 / kJMol;
  const kelvin = 1 / (1 / (fromC + 273.15) - perKelvin * Math.log(factor));
  return kelvin > 0 && warmthFactor(fromC, kelvin - 273.15, kJMol) > 0 ? kelvin - 273.15 : Infinity;
}

/** Fewest negatives with which nine clean samples in ten are called resisted. */
function replicatesLine(model: ErrorModel): string {
  for (let m = 2; m <= 12; m += 1) {
    const df = Number.isFinite(model.df) ? model.df - Math.max(0, model.m - 1) + m - 1 : model.df;
    if (chanceOfResisted({ ...model, m, df }) < 0.9) continue;
    return `${m} negatives suffice for nine in ten at ${model.n} ${model.n === 1 ? 'vial' : 'vials'} a sample.`;
  }
  return `No number of negatives up to 12 brings nine in ten: widen the margin, or run more vials a sample.`;
}
