import type { AnalyseRequest } from './analyse-request.ts';
import { type DosingTimes, withDosingError } from './dosing-times.ts';
import { readSeries } from './extent-series.ts';
import { keptStep, type KeptPlace } from './files/index.ts';
import { coderError } from './judge/coder-error.ts';
import { keptByEvents } from './judge/events.ts';
import { slowLightError } from './judge/light-error.ts';
import { fitSeries } from './kinetics/fit-kinetics.ts';
import { withLag } from './kinetics/lag-allowance.ts';
import { atReadingTime } from './kinetics/series-fit.ts';
import type { ColourPath, ExtentSeries } from './model/extent.ts';
import type { Fit } from './model/fit.ts';
import type { Measurement } from './model/measurement.ts';
import type { Role } from './model/run.ts';
import { median } from './numeric/median.ts';

export interface FitsRequest extends Pick<AnalyseRequest, 'run' | 'reaction'> {
  readonly measurement: Measurement;
  /** A path found earlier on this rig and reagent; `null`: it is fitted to this run. */
  readonly saved: ColourPath | null;
  readonly dosed: DosingTimes;
  /** Where steps are kept; `null`: nowhere. */
  readonly place: KeptPlace | null;
}

export interface FittedVials {
  readonly path: ColourPath;
  /** In the order of the run file's vials, as are the fits. */
  readonly series: readonly ExtentSeries[];
  readonly fits: readonly Fit[];
}

/** Roles that the path and the fits tell apart; all others are alike to them, so that a sample made a standard is judged with what is kept. */
const pathRoles: ReadonlySet<Role> = new Set(['blank', 'positive', 'negative', 'mixture']);

/** Colours to extents along one path, extents to kinetics. Either step that nothing has changed is taken from where it was kept. */
export async function fitVials({ measurement, run, reaction, saved, dosed, place }: FitsRequest): Promise<FittedVials> {
  const times = measurement.frames.timeRunS;
  const typicalGapS = median(times.slice(1).map((time, index) => time - times[index]!)) ?? 0;
  const usable = new Map(run.vials.map(({ region }) => [region, keptByEvents(run.events, region, typicalGapS)]));
  const { addedRunS, addedRunU, unseen } = dosed;
  const seriesFrom = {
    ...{ reaction, saved, dose: run.dose, events: run.events },
    vials: run.vials.map(({ region, role, extent }, index) => ({
      ...{ region, extent, addedRunS: addedRunS[index]! },
      role: pathRoles.has(role) ? role : 'pins nothing',
    })),
  };
  const { path, series } = await keptStep(place, 'extents', seriesFrom, () =>
    readSeries(measurement, run, reaction, saved, addedRunS, (region, runS) => usable.get(region)!(runS)),
  );
  const falseAlarm = run.alpha / run.vials.length;
  const pathDraws = path.draws.length === 0 ? null : { extent: path.extent, draws: path.draws };
  const lightSe = slowLightError(measurement.light);
  const seriesFits = await keptStep(place, 'fits', { seriesFrom, falseAlarm }, () =>
    series.map(({ timeS, extent, extentSe, vialSe }, index) => {
      // a mixture stands where it was made: its level is no burst
      const offsetSe = run.vials[index]!.role === 'mixture' ? 1 : vialSe === null ? null : Math.max(vialSe, 1e-3);
      return fitSeries(
        { timeS, extent, extentSe },
        { falseAlarm, pathDraws, lightSe, ...(offsetSe === null ? {} : { offsetSe }) },
      );
    }),
  );
  const fits = seriesFits.map((one, index) =>
    withLag(
      withDosingError(atReadingTime(one, pathDraws, run.readAtS), addedRunU[index]!, unseen[index]!),
      coderError({ measurement, run }, run.vials[index]!, 0.5),
    ),
  );
  return { path, series, fits };
}
