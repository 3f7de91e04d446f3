import { marginOf } from './match/margin.ts';
import type { MeasuredRun, RunMatch } from './match-run.ts';
import type { Comparison, Distance, ViewFacts } from './match/types.ts';
import type { Result, ResultCheck, ResultColourDistance, ResultColourPair, ResultMatch } from './model/result.ts';
import type { Vial } from './model/run.ts';
import { framesOf, madeOf, type Provenance } from './result-facts.ts';

/** Said in every report, summary and result. */
const matchClaim =
  'Agreement is of colour only, under this light and camera: it does not identify a substance. Different spectra can look alike (metamerism), and a substance that is not in the panel can look like one that is.';

export interface MatchParts extends Provenance {
  readonly own: MeasuredRun;
  readonly knowns: MeasuredRun | null;
  /** The other run's file as the user would find it from this one. */
  readonly knownsFrom: string | null;
  readonly match: RunMatch;
}

/** Lays out result.json of a match: the contract's result, its kinetic parts unknown, with a `match` block. */
export function assembleMatch(parts: MatchParts): Result {
  const { own, match } = parts;
  const { run, measurement } = own;
  const times = measurement.frames.timeRunS;
  const block = blockOf(parts);
  return {
    schema: 'vialapse/result@1',
    made: madeOf(parts, measurement),
    run: {
      name: run.name,
      reaction: run.reaction.name,
      duration_s: times.at(-1)! - times[0]!,
      read_at_s: match.readAtS,
      read_at_declared: run.readAtS !== null && run.readAtS === match.readAtS,
      alpha: run.alpha,
      margin: run.margin.value,
      glance: measurement.glance,
      assumptions: assumptionsOf(parts, block),
      record: run.record,
      frames: framesOf(measurement),
      path: { pins: [], source: 'fitted', residual: null, extent_error: null },
      between_vial_sd: null,
    },
    vials: run.vials.map((vial) => vialOf(vial, match)),
    samples: [],
    references: [],
    reading_window: null,
    match: block,
    checks: checksOf(parts, block),
  };
}

function blockOf({ match, knownsFrom }: MatchParts): ResultMatch {
  const { panel } = match;
  return {
    claim: matchClaim,
    alpha: panel.alpha,
    knowns_from: knownsFrom,
    views: panel.views.map((facts) => ({
      view: facts.view,
      like_vials: facts.likeVials,
      margin: marginOf(Math.hypot(facts.likeVials, Math.sqrt(facts.noise.dayVariance))),
      df: facts.noise.df,
      directions: facts.noise.directions,
      day_error: Math.sqrt(facts.noise.dayVariance),
      source: sourceOf(facts),
    })),
    units: panel.units.map(({ name, role, vials, final, history }) => ({
      name,
      role,
      regions: vials.map(({ region }) => region),
      lab: final,
      history,
    })),
    samples: panel.samples.map((sample) => ({
      name: sample.unit,
      answer: sample.answer,
      agrees_with: sample.agreesWith,
      not_ruled_out: sample.notRuledOut,
      reason: sample.reason,
      against: sample.against.map(pairOf),
    })),
    panel: panel.panel.map(pairOf),
  };
}

function sourceOf({ noise, raised }: ViewFacts): string {
  if (noise.df === 0) return 'assumed: no liquid has a second vial';
  return raised ? 'frame noise, larger than the scatter of replicate vials' : 'scatter of replicate vials';
}

const pairOf = (pair: Comparison): ResultColourPair => ({
  first: pair.first,
  second: pair.second,
  verdict: pair.verdict,
  reason: pair.reason,
  final: distanceOf(pair.final),
  history: pair.history === null ? null : distanceOf(pair.history),
  history_unstretched: pair.historyUnstretched,
  stretch: pair.stretch,
  clipped: pair.clipped,
});

const distanceOf = ({ value, pDiffers, pAgrees, margin }: Distance): ResultColourDistance => ({
  value,
  p_differs: pDiffers,
  p_agrees: pAgrees,
  margin,
});

function vialOf(vial: Vial, match: RunMatch): Result['vials'][number] {
  const unread = match.unread.includes(vial.region);
  return {
    region: vial.region,
    label: vial.label,
    role: vial.role,
    group: vial.group,
    added_run_s: vial.addedRunS,
    hue: { first_deg: null, last_deg: null, span_deg: null },
    extent: { at_read: null, last: null },
    onset_s: null,
    fit: {
      model: null,
      reason: 'match compares colours; no extent was read and nothing fitted',
      rate_constant: null,
      amplitude: null,
      induction_s: null,
      background_rate: null,
      initial_rate: null,
      half_time_s: null,
      residual_sd: null,
      aicc: null,
      candidates: [],
    },
    flags: unread
      ? [{ code: 'unread', message: 'could not be read at the reading time', from_run_s: null, to_run_s: null }]
      : [],
  };
}

function assumptionsOf({ own, knownsFrom }: MatchParts, block: ResultMatch): readonly string[] {
  const history = block.views.some(({ view }) => view === 'history');
  return [
    block.claim,
    'Distances are CIEDE2000 between colours in CIELAB (D65) as the camera saw them, not as a colorimeter would measure them.',
    'Uneven light over the picture (two tilts and a fall-off to the corners) is learnt from replicates in different places and taken out; what remains unknown of it is counted in every distance, so replicates spread over the rack tell more than replicates side by side.',
    'Like vials of every liquid, samples too, are taken to differ by the same relative errors of light and depth; what these make of each colour is worked out.',
    history
      ? 'Histories are compared with time stretched up to twofold, as temperature or dose may do; the distance with times as they are stands beside it.'
      : 'There is no time-lapse long enough: only the colours at the reading time are compared.',
    ...(own.measurement.light.basis === 'patches'
      ? []
      : ['There is no neutral patch: the colours hold for this light only.']),
    ...(knownsFrom === null
      ? []
      : [
          `The knowns were seen in another run (${knownsFrom}); an error of ${block.views[0]!.day_error.toFixed(0)} CIEDE2000 between the days was added to every distance and to the margin.`,
        ]),
  ];
}

function checksOf({ own, match }: MatchParts, block: ResultMatch): readonly ResultCheck[] {
  const knowns = block.units.filter(({ role }) => role === 'known').map(({ name }) => name);
  const between = block.panel.filter(({ first, second }) => knowns.includes(first) && knowns.includes(second));
  const apart = between.filter(({ verdict }) => verdict === 'differs').length;
  const df = block.views[0]!.df;
  const clipped = match.vials.filter((vial) => vial.clipped.length > 0);
  const likeBlank = block.panel.filter(
    ({ first, second, verdict }) => verdict !== 'differs' && [first, second].includes('blank'),
  );
  const check = (code: string, ok: boolean, otherwise: 'warn' | 'fail', good: string, bad: string): ResultCheck => ({
    code,
    status: ok ? 'pass' : otherwise,
    message: ok ? good : bad,
  });
  return [
    check(
      'panel-tells',
      between.length === 0 || apart > 0,
      'fail',
      `${apart} of ${between.length} pairs of knowns can be told apart.`,
      'No two knowns of this panel can be told apart: the test says nothing.',
    ),
    check(
      'replicates',
      df >= 3,
      'warn',
      `The noise of like vials rests on ${df.toFixed(0)} degrees of freedom.`,
      df === 0
        ? 'No liquid has a second vial to speak of: the noise of like vials is unknown, and nothing can be said to agree.'
        : `The noise of like vials rests on ${df.toFixed(1)} degrees of freedom only: three vials of every known, spread over the rack, would tell more.`,
    ),
    check(
      'blank-apart',
      likeBlank.length === 0,
      'warn',
      'Every known differs from the blank, as far as there is one.',
      `Not told apart from the blank: ${likeBlank.map(({ first, second }) => (first === 'blank' ? second : first)).join(', ')}; agreement with them says little.`,
    ),
    check(
      'colours-whole',
      clipped.length === 0,
      'warn',
      'No channel is cut off at the reading time.',
      `Colours are cut off at the sensor's limit (${clipped.map(({ region, clipped: channels }) => `${region} ${channels.join('/')}`).join(', ')}): differences there cannot be seen.`,
    ),
    check(
      'vials-read',
      match.unread.length === 0,
      'warn',
      'Every vial was read.',
      `Not read: ${match.unread.join(', ')}.`,
    ),
    ...own.measurement.notes
      .filter(({ severity }) => severity !== 'info')
      .map(({ code, message }): ResultCheck => ({ code, status: 'warn', message })),
  ];
}
