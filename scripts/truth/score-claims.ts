import type { Analysis } from '../../src/model/analysis.ts';
import { chromiumMolPerVial } from '../../src/simulate/chemistry.ts';
import { electronsPerChromium, scenarioChemistry } from './bench.ts';
import { standardSlope, type RackKind } from './racks.ts';
import {
  constantOf,
  holds,
  initialRateOf,
  startOf,
  timeOfExtent,
  trueExtent,
  type Interval,
  type TrueVial,
} from './true-course.ts';

/** What a run claims beside extents, constants and outcomes, each against the truth. */
export interface ClaimScore {
  /** What a vial truly is and what it was called. */
  readonly models: readonly { readonly true: string; readonly named: string | null }[];
  readonly onsets: readonly {
    /** Truly never reaches an extent of 0.001. */
    readonly still: boolean;
    readonly seen: boolean;
    /** The whole interval lies before anything happened. */
    readonly early: boolean;
    /** True extent at the detection; `null`: none. */
    readonly extent: number | null;
  }[];
  readonly ratios: readonly {
    readonly of: 'constants' | 'initial rates' | 'half-times' | 'upper limit';
    /** Of the true ratio; `null` where that is 0 or nothing was claimed. */
    readonly error: number | null;
    readonly bounded: boolean;
    readonly covered: boolean;
  }[];
  readonly levels: readonly {
    readonly basis: 'standards' | 'electrons';
    /** In units of the detection limit. */
    readonly inLimits: number;
    readonly said: 'not seen' | 'value' | 'more than';
    readonly covered: boolean;
    /** Relative error of a value. */
    readonly error: number | null;
  }[];
  /** Of the true window's opening, relative; `null`: not found, or there is none. */
  readonly window: { readonly there: boolean; readonly found: boolean; readonly openingError: number | null };
}

/** Below this a vial counts as still: a tenth of what a frame's noise hides. Chosen. */
const stillExtent = 0.001;

export function scoreClaims(rack: RackKind, analysis: Analysis, truth: readonly TrueVial[]): ClaimScore {
  const { run, series, result } = analysis;
  const lastS = Math.min(...series.map(({ timeS }) => timeS[timeS.length - 1]!));
  const vials = run.vials.flatMap(({ role }, vial) => (role === 'mixture' ? [] : [vial]));
  return {
    models: vials.map((vial) => ({ true: classOf(truth[vial]!), named: result.vials[vial]!.fit.model })),
    onsets: vials.flatMap((vial) => {
      const found = result.vials[vial]!.onset_s;
      if (found === null) return [];
      const seen = found.censored !== 'right';
      const start = startOf(truth[vial]!);
      return [
        {
          still: trueExtent(truth[vial]!, lastS) < stillExtent,
          seen,
          early: seen && (start === null || (found.ci95[1] ?? Infinity) < start),
          extent: seen ? trueExtent(truth[vial]!, found.value) : null,
        },
      ];
    }),
    ratios: scoreRatios(analysis, truth, lastS),
    levels: scoreLevels(rack, analysis, truth),
    window: scoreWindow(analysis, truth, lastS),
  };
}

/** Truth in the words of the models. */
function classOf({ kinetics }: TrueVial): string {
  if (kinetics.model === 'none') return 'still';
  if (kinetics.model === 'zero-order') return 'slow and straight';
  return kinetics.model === 'burst-background' ? 'burst' : kinetics.model;
}

function scoreRatios({ run, result }: Analysis, truth: readonly TrueVial[], lastS: number): ClaimScore['ratios'] {
  const vialOf = (region: string): TrueVial => truth[run.vials.findIndex((vial) => vial.region === region)]!;
  return result.samples.flatMap(({ regions, against }) =>
    against.flatMap(({ reference, rate_ratio: rate, rate_basis: basis, half_time_ratio: half }) => {
      const sample = vialOf(regions[0]!);
      const below = vialOf(reference);
      const score = (
        of: ClaimScore['ratios'][number]['of'],
        found: { readonly value: number; readonly ci95: Interval; readonly bounded: boolean } | null,
        [top, bottom]: readonly [number | null, number | null],
      ): ClaimScore['ratios'] => {
        if (found === null || top === null || bottom === null || bottom === 0) return [];
        const ratio = top / bottom;
        const error = ratio > 0 && found.value > 0 ? found.value / ratio - 1 : null;
        return [{ of, error, bounded: found.bounded, covered: holds(found.ci95, ratio) }];
      };
      const of = basis === 'rate constant' ? constantOf : initialRateOf;
      const name =
        rate?.se === null && rate.value === 0
          ? 'upper limit'
          : basis === 'rate constant'
            ? 'constants'
            : 'initial rates';
      return [
        ...score(name, rate, [of(sample), of(below)]),
        ...score('half-times', half, [timeOfExtent(sample, 0.5, lastS), timeOfExtent(below, 0.5, lastS)]),
      ];
    }),
  );
}

/** Levels of samples whose quick part is over by the reading time, or which used up the reagent. */
function scoreLevels(rack: RackKind, { run, result }: Analysis, truth: readonly TrueVial[]): ClaimScore['levels'] {
  return result.samples.flatMap(({ regions, level }) => {
    const { kinetics } = truth[run.vials.findIndex((vial) => vial.region === regions[0])]!;
    if (level === null || level.limit === null) return [];
    const burst = 'amplitude' in kinetics ? kinetics.amplitude : 0;
    const held = level.basis === 'standards' ? burst / standardSlope : burst * perExtent;
    if (level.basis === 'standards' && rack !== 'standards') throw new Error('a calibration without standards');
    const said = level.value === null ? 'not seen' : level.only_more_than ? 'more than' : 'value';
    return [
      {
        basis: level.basis,
        inLimits: held / level.limit,
        said,
        covered: said === 'not seen' ? held <= level.limit : holds(level.ci95, held),
        error: said === 'value' && held > 0 ? level.value! / held - 1 : null,
      },
    ];
  });
}

/** Micro-equivalents per mol of sample of one unit of extent, by the bench's own amounts. */
const perExtent = (1e6 * electronsPerChromium * chromiumMolPerVial(scenarioChemistry())) / sampleMol();

function sampleMol(): number {
  const { sampleMl, densityGMl, molarMassGMol } = scenarioChemistry();
  return (sampleMl * densityGMl!) / molarMassGMol!;
}

function scoreWindow({ run, result }: Analysis, truth: readonly TrueVial[], lastS: number): ClaimScore['window'] {
  const positives = truth.filter((_, vial) => run.vials[vial]!.role === 'positive');
  const openings = positives.map((vial) => timeOfExtent(vial, 0.5, lastS));
  const opens = openings.some((time) => time === null) ? null : Math.max(...openings.map((time) => time!));
  const closed = truth.some(
    (vial, index) =>
      opens !== null && run.vials[index]!.role === 'negative' && trueExtent(vial, opens) > result.run.margin,
  );
  const found = result.reading_window;
  const there = opens !== null && !closed;
  return {
    there,
    found: found !== null,
    openingError: there && found !== null ? found.from_s / opens - 1 : null,
  };
}
