import type { ResultCheck } from '../../model/result.ts';
import type { JudgedSample } from '../judge-samples.ts';
import { listText } from '../text.ts';

/**
 * Replicates of one sample that scatter more than still vials do. Vials that react do so a little unevenly, which the
 * sample's own variance covers; only a gap wider than the margin hints at a mix-up or at dirt, and asks for a look.
 */
export function replicatesAgree(samples: readonly JudgedSample[], margin: number): readonly ResultCheck[] {
  const code = 'replicates-agree';
  const replicated = samples.filter(({ members }) => members.length > 1);
  if (replicated.length === 0) return [];
  const uneven = replicated.filter(({ difference }) => difference?.ownVariance === true);
  const apart = uneven.filter((sample) => gap(sample) > margin);
  if (apart.length > 0) {
    const message = `Replicates of ${named(apart)} differ from each other by more than still vials do, and by more than the margin; their own scatter was used. Look for a mix-up or a dirty vial.`;
    return [{ code, status: 'warn', message }];
  }
  const message =
    uneven.length === 0
      ? 'Replicates of each sample agree as well as still vials do.'
      : `Replicates of each sample agree within the margin; those of ${named(uneven)} differ by more than still vials do, so their own scatter was used.`;
  return [{ code, status: 'pass', message }];
}

/** Largest less smallest extent at the reading time. */
function gap({ members }: JudgedSample): number {
  const values = members.flatMap(({ atRead }) => (atRead === null ? [] : [atRead.value]));
  return values.length < 2 ? 0 : Math.max(...values) - Math.min(...values);
}

function named(samples: readonly JudgedSample[]): string {
  return listText(samples.map(({ record }) => `${record.label} (${record.regions.join(', ')})`));
}
