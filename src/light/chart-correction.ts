import { mean } from '../numeric/mean.ts';
import type { ChartReport, ChartTable } from '../model/chart.ts';
import type { RegionColours } from '../model/measurement.ts';
import { applyChartModel } from './apply-chart.ts';
import { corrected, type ChartModel, type Triple } from './chart-model.ts';
import { chartTargets } from './chart-targets.ts';
import { fitChart, uncorrectedDeltaE } from './fit-chart.ts';
import type { ChartFit, ChartPatch } from './fit-chart.ts';
import { medianOfAll } from '../numeric/median.ts';

/** How the camera saw one cell of the chart at the beginning of the run. */
export interface ChartReading {
  readonly name: string;
  /** Linear light, were the picture plain sRGB, median over a few frames; `null`: it could not be read. */
  readonly rgb: readonly [number, number, number] | null;
  /** Largest share of samples with a channel at a limit, 0..1. */
  readonly clipped: number;
}

export interface ChartCorrection {
  readonly report: ChartReport;
  /** A region's columns as a faultless camera would have given them; unchanged where the chart was not applied. */
  apply(region: RegionColours): RegionColours;
  /** The same of one linear colour. */
  colour(rgb: Triple): Triple;
}

/** Share of samples at a limit from which a patch is left out. Chosen: a mean over more of them is bent. */
const clippedLimit = 0.02;
/** Patches needed for matrix, light and a common curve (16 unknowns, three values a patch). Chosen. */
const fewestPatches = 12;
/** A patch this far off its table, and this many times the usual, is not what the table says. Chosen: CIEDE2000 of 8 is another colour at a glance. */
const strangeDeltaE = 8;
const strangeFactor = 4;
/** Share of strange patches from which it is the chart, its corners or its table that is wrong. Chosen. */
const mostStrange = 0.25;
/** Mean error of left-out patches, CIEDE2000, above which the chart is not applied. Chosen: twice what modelled cameras of odd sensitivities leave (measured 1.0 to 4). */
const poorDeltaE = 8;
/** A curve must lower the error of left-out patches by this share to be used. Chosen. */
const curveGain = 0.1;

/**
 * The correction that a chart gives, from its first-frames colours and the user's table. Clipped, unread and strange patches are left
 * out and named. Too few patches, or a fit too poor, and nothing is applied: `reason` says why.
 */
export function chartCorrection(
  table: ChartTable,
  chart: { readonly rows: number; readonly columns: number },
  readings: readonly ChartReading[],
): ChartCorrection {
  const targets = chartTargets(table);
  const leftOut: { patch: string; reason: string }[] = [];
  const usable = readings.flatMap((reading, index): ChartPatch[] => {
    const target = targets[index] ?? null;
    if (target === null) return [];
    const out = (reason: string): ChartPatch[] => {
      leftOut.push({ patch: reading.name, reason });
      return [];
    };
    if (reading.rgb === null) return out('too small or not read');
    if (reading.clipped > clippedLimit) return out('at the limit of a channel');
    const x = ((index % chart.columns) + 0.5) / chart.columns - 0.5;
    const y = (Math.floor(index / chart.columns) + 0.5) / chart.rows - 0.5;
    return [{ name: reading.name, x, y, read: reading.rgb, target }];
  });
  const patches = targets.filter((target) => target !== null).length;
  const facts = { patches, leftOut, illuminant: table.illuminant, illuminantStated: table.illuminantStated };
  const refused = (reason: string, used: number, fit: ChartFit | null = null): ChartCorrection => ({
    report: {
      ...facts,
      applied: false,
      reason,
      used,
      curves: fit?.curves ?? 'none',
      ...errorsOf(fit, usable),
    },
    apply: (region) => region,
    colour: (rgb) => rgb,
  });
  const few = `only ${usable.length} of ${patches} patches could be used, ${fewestPatches} are needed`;
  if (usable.length < fewestPatches) return refused(few, usable.length);
  const kept = withoutStrange(usable, leftOut);
  if (kept === null) {
    return refused(
      'its colours do not match the table (corners are given in the order top left, top right, bottom right, bottom left; or the table is another chart\u2019s)',
      0,
    );
  }
  if (kept.length < fewestPatches) return refused(few.replace(String(usable.length), String(kept.length)), kept.length);
  const fit = bestFit(kept);
  if (fit === null) return refused('no fit was found', kept.length);
  if (mean(fit.leftOutDeltaE) > poorDeltaE) {
    return refused(
      'its colours are far off the table even after the fit (corners misplaced, another chart\u2019s table, or another light on it than on the vials)',
      kept.length,
      fit,
    );
  }
  const model: ChartModel = fit.model;
  return {
    report: { ...facts, applied: true, reason: null, used: kept.length, curves: fit.curves, ...errorsOf(fit, kept) },
    apply: (region) => applyChartModel(region, model),
    colour: (rgb) => corrected(model, rgb),
  };
}

/** Leaves out one strange patch after another and names it; `null` when there are too many. */
function withoutStrange(
  patches: readonly ChartPatch[],
  leftOut: { patch: string; reason: string }[],
): readonly ChartPatch[] | null {
  const most = Math.floor(mostStrange * patches.length);
  let kept = patches;
  for (let round = 0; kept.length >= fewestPatches; round += 1) {
    const fit = fitChart(kept, 'common');
    if (fit === null) return kept;
    const limit = Math.max(strangeDeltaE, strangeFactor * medianOfAll(fit.leftOutDeltaE));
    const worst = fit.leftOutDeltaE.indexOf(Math.max(...fit.leftOutDeltaE));
    if (fit.leftOutDeltaE[worst]! <= limit) return kept;
    if (round >= most) return null;
    leftOut.push({
      patch: kept[worst]!.name,
      reason: 'not the colour of its table (covered, glare, or another chart)',
    });
    kept = kept.filter((_, index) => index !== worst);
  }
  return kept;
}

/** The simplest curves whose left-out error is not clearly beaten. */
function bestFit(patches: readonly ChartPatch[]): ChartFit | null {
  let best: ChartFit | null = null;
  for (const curves of ['none', 'common', 'per-channel'] as const) {
    const fit = fitChart(patches, curves);
    if (fit === null) continue;
    if (best === null || mean(fit.leftOutDeltaE) < (1 - curveGain) * mean(best.leftOutDeltaE)) best = fit;
  }
  return best;
}

function errorsOf(
  fit: ChartFit | null,
  patches: readonly ChartPatch[],
): Pick<ChartReport, 'meanDeltaE' | 'maxDeltaE' | 'leftOutMeanDeltaE' | 'uncorrectedMeanDeltaE'> {
  return {
    meanDeltaE: fit === null ? null : mean(fit.deltaE),
    maxDeltaE: fit === null ? null : Math.max(...fit.deltaE),
    leftOutMeanDeltaE: fit === null ? null : mean(fit.leftOutDeltaE),
    uncorrectedMeanDeltaE: patches.length === 0 ? null : mean(uncorrectedDeltaE(patches)),
  };
}
