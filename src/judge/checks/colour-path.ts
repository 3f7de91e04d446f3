import type { Check } from '../situation.ts';
import { extentText } from '../text.ts';

/** Whether both ends of the extent scale are pinned, and what the path itself reported. */
export const colourPath: Check = ({ input }) => {
  const { path } = input;
  const reported = path.notes
    .filter(({ code, severity }) => severity !== 'info' && code !== 'no-start-pin' && code !== 'no-end-pin')
    .map(({ code, severity, message }) => ({
      code,
      status: severity === 'fail' ? ('fail' as const) : ('warn' as const),
      message,
    }));
  const code = 'path-pinned';
  if (path.pinnedStart && path.pinnedEnd) {
    const error = path.extentError === null ? '' : `; typical error ${extentText(path.extentError)} in extent`;
    return [{ code, status: 'pass', message: `Both ends of the extent scale are pinned${error}.` }, ...reported];
  }
  const message = path.pinnedEnd
    ? 'No blank or negative reference pins the beginning of the extent scale: small extents are doubtful.'
    : 'No positive reference reached a plateau, so the end of the extent scale is not pinned: extents are relative. Let the run go on longer.';
  return [{ code, status: 'warn', message }, ...reported];
};
