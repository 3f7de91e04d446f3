import type { ResultCheck } from '../../model/result.ts';
import type { JudgedSample } from '../judge-samples.ts';
import type { Check, Situation } from '../situation.ts';
import { ageing } from './ageing.ts';
import { blankStill } from './blank-still.ts';
import { camera } from './camera.ts';
import { chart } from './chart.ts';
import { clipped } from './clipped.ts';
import { colourPath } from './colour-path.ts';
import { evaporation } from './evaporation.ts';
import { rackEvents } from './events.ts';
import { fastPartSeen } from './fast-part.ts';
import { frames } from './frames.ts';
import { light } from './light.ts';
import { marginMet } from './margin.ts';
import { mixtures } from './mixtures.ts';
import { negativesStill } from './negatives-still.ts';
import { neighbourEffect } from './neighbour-effect.ts';
import { otherNotes, sourceChecks } from './notes.ts';
import { offPath } from './off-path.ts';
import { positivesTurned } from './positives-turned.ts';
import { readingReached } from './reading.ts';
import { referencesAgree } from './references-agree.ts';
import { replicatesAgree } from './replicates-agree.ts';
import { spreadKnown } from './spread.ts';
import { temperature } from './temperature.ts';
import { twoLayers } from './two-layers.ts';
import { vialMoved } from './vial-moved.ts';

/** Controls first, then what the judgement rests on, then the measuring. */
const checks: readonly Check[] = [
  positivesTurned,
  negativesStill,
  blankStill,
  referencesAgree,
  readingReached,
  spreadKnown,
  colourPath,
  mixtures,
  ageing,
  neighbourEffect,
  fastPartSeen,
  twoLayers,
  offPath,
  evaporation,
  vialMoved,
  light,
  chart,
  camera,
  clipped,
  frames,
  rackEvents,
  temperature,
];

/** All trust checks of a run, passed ones too. */
export function runChecks(situation: Situation, samples: readonly JudgedSample[]): readonly ResultCheck[] {
  return [
    ...checks.flatMap((check) => check(situation)),
    ...replicatesAgree(samples, situation.margin.value),
    ...marginMet(situation, samples),
    ...sourceChecks(situation.input.measurement),
    ...otherNotes(situation.input.measurement).map(({ code, severity, message }) => ({
      code,
      status: severity === 'fail' ? ('fail' as const) : ('warn' as const),
      message,
    })),
  ];
}
