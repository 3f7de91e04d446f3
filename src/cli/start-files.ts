import { stringify } from 'yaml';
import type { SourceInfo } from '../model/frame.ts';
import { formatDuration } from '../report/duration.ts';

export interface StartFacts {
  /** Run name, allowed as a file name. */
  readonly name: string;
  /** Source relative to the run file, with forward slashes. */
  readonly source: string;
  readonly info: SourceInfo;
  /** `exif`: the pictures carry their times; a number: seconds between frames; `null`: to be filled in. */
  readonly times: 'exif' | number | null;
}

/** The commented run.yaml to fill. What cannot be known is left blank, so that it is asked for and never guessed. */
export function startRunText({ name, source, info, times }: StartFacts): string {
  const what = info.kind === 'video' ? 'film' : 'stills';
  const frames =
    info.frameCount === null
      ? 'frames not counted'
      : `${info.frameCount} ${info.frameCount === 1 ? 'frame' : 'frames'}`;
  const rig = `vialapse rig ${shellWord(source)}`;
  const preview = 'vialapse preview run.yaml';
  return `# A run: one rack followed over time. Fill in what is marked <-, then:
#   ${rig.padEnd(preview.length)}     place the vials on a frame
#   ${preview.padEnd(rig.length)}     see whether everything is read as meant
#   vialapse analyse run.yaml
schema: vialapse/run@1
name: ${scalar(name)}
rig: rig.json
source: ${scalar(source)}     # ${what} of ${info.width} x ${info.height} pixels, ${frames}

# How the frames get their times; exactly one of:
#   interval_s: seconds between two frames | clock: exif (stills) | speed: real seconds per second of playback (films)
${timingLine(times)}

reaction: acid-dichromate
# read_at_s: 7200        # when samples are compared, declared before looking; left out: the end of the run
# margin: 0.05           # extent by which a sample may exceed the negative references and still count as resisting
# alpha: 0.05            # risk of calling any clean sample reacted

# record: { operator: "", reagent_lot: "", reagent_made: "", notes: "" }
# events: [ { at_run_s: 7800, what: lamp moved } ]

# Amounts, for levels in mol % (salt, water, acid of the reagent; then what went into each vial):
# dose:
#   reagent: { salt: K2Cr2O7, salt_g: 0.100, water_ml: 10.0, acid_ml: 1.0, acid_percent: 96 }
#   reagent_ml: 0.5
#   sample_ml: 0.04

# One line a vial: region of the rig, what is in it, its role, and when the reagent went in (seconds after the first
# frame, negative if before it; leave added_run_s out if it is to be found in the film).
# Roles: blank (reagent, no sample) | positive, negative (must, must not react) | standard (level_mol_percent: known)
#        mixture (extent: known) | known (identity: for match) | sample (expect: resists | reacts; group: replicates)
# Three negatives let a sample be called resisting; with one there is no spread to judge by.
vials:     # <- your rack
  - { region: A1, label: reagent only, role: blank, added_run_s: 0 }
  - { region: A2, label: reference that reacts, role: positive, added_run_s: 0 }
  - { region: A3, label: clean reference 1, role: negative, added_run_s: 0 }
  - { region: A4, label: clean reference 2, role: negative, added_run_s: 0 }
  - { region: A5, label: clean reference 3, role: negative, added_run_s: 0 }
  - { region: A6, label: the sample, role: sample, expect: resists, added_run_s: 0 }
`;
}

function timingLine(times: StartFacts['times']): string {
  if (times === 'exif') return 'timing: { clock: exif }';
  if (times === null) return 'timing: { interval_s: }     # <- seconds between two frames';
  return `timing: { interval_s: ${times} }     # ${formatDuration(times)} between two frames`;
}

/** The rig.json to fill: the frame is known, no region is. */
export function startRigText(name: string, info: SourceInfo): string {
  const rig = {
    schema: 'vialapse/rig@1',
    name,
    frame: { width: info.width, height: info.height },
    regions: [],
    white: [],
  };
  return `${JSON.stringify(rig, null, 2)}\n`;
}

/** Text as a YAML value on one line. */
function scalar(text: string): string {
  return stringify(text, { lineWidth: 0, blockQuote: false }).trim();
}

/** Text as one word at a prompt, never taken for an option. */
export function shellWord(text: string): string {
  const safe = text.startsWith('-') ? `./${text}` : text;
  return /^[\w./-]+$/.test(safe) ? safe : `'${safe.replaceAll("'", "'\\''")}'`;
}
