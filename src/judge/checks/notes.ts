import type { Measurement, MeasurementNote } from '../../model/measurement.ts';
import type { ResultCheck } from '../../model/result.ts';

/** What a note of the measuring half is about, by the words of its code. */
const families = {
  light: /light|lamp|patch|white|exposure|flicker|gain|chart/,
  camera: /camera|motion|shift|nudge|move|rotat|focus|blocked|jump/,
  frames: /frame|gap|reject|duplicate|order|time|clock/,
} as const;

export type Family = keyof typeof families;

function familyOf(code: string): Family | null {
  const found = (Object.keys(families) as Family[]).find((family) => families[family].test(code));
  return found ?? null;
}

/** Warnings of the measuring half about one matter; notes for information only are left out. */
export function notesOfFamily(measurement: Measurement, family: Family): readonly MeasurementNote[] {
  return measurement.notes.filter(({ code, severity }) => severity !== 'info' && familyOf(code) === family);
}

/** Warnings of the measuring half that no check of ours speaks for. */
export function otherNotes(measurement: Measurement): readonly MeasurementNote[] {
  return measurement.notes.filter(({ code, severity }) => severity !== 'info' && familyOf(code) === null);
}

/** What was doubtful about the source before a frame was measured (matrix, clock, damage), a check each. */
export function sourceChecks({ source }: Measurement): readonly ResultCheck[] {
  return source.notes
    .filter(({ severity }) => severity === 'warn')
    .map(({ code, message }) => ({ code, status: 'warn', message }));
}

/** The worse of a status and those of the notes. */
export function worst(status: ResultCheck['status'], notes: readonly MeasurementNote[]): ResultCheck['status'] {
  const rank = { pass: 0, info: 0, warn: 1, fail: 2 } as const;
  return notes.reduce<ResultCheck['status']>(
    (soFar, { severity }) => (severity !== 'info' && rank[severity] > rank[soFar] ? severity : soFar),
    status,
  );
}
