import type { Result } from '../model/result.ts';
import { formatDuration } from './duration.ts';

/**
 * Between which times since dosing the test was telling: every positive reference had turned, no negative one had.
 * Exploratory, since it is found in the run it describes. Empty without references of both kinds.
 */
export function windowWords({ reading_window: window, references }: Result): string {
  if (window !== null) {
    const [from, to] = [window.from_s, window.to_s].map(formatDuration);
    return `Reading window ${from!} to ${to!}: all positives had turned, no negative had (exploratory)`;
  }
  const both = (['positive', 'negative'] as const).every((role) => references.some((one) => one.role === role));
  return both ? 'No reading window: at no time had all positives turned and no negative' : '';
}
