import type { JudgedSample } from '../judge-samples.ts';
import type { ResultCheck } from '../../model/result.ts';
import { listText } from '../text.ts';

/** Replicates of one sample that scatter more than still vials do: mixed up, contaminated, or reacting unevenly. */
export function replicatesAgree(samples: readonly JudgedSample[]): readonly ResultCheck[] {
  const code = 'replicates-agree';
  const replicated = samples.filter(({ members }) => members.length > 1);
  if (replicated.length === 0) return [];
  const uneven = replicated.filter(({ difference }) => difference?.ownVariance === true);
  if (uneven.length === 0) {
    return [{ code, status: 'pass', message: 'Replicates of each sample agree as well as still vials do.' }];
  }
  const names = listText(uneven.map(({ record }) => `${record.label} (${record.regions.join(', ')})`));
  return [
    {
      code,
      status: 'warn',
      message: `Replicates of ${names} differ from each other by more than still vials do; their own scatter was used.`,
    },
  ];
}
