import type { CameraSettings } from '../model/frame.ts';
import type { LightCorrection, MeasurementNote } from '../model/measurement.ts';

/**
 * Whether the pictures tell that exposure and white balance stood still: `locked` when every frame says manual and no value changes,
 * `automatic` when one says so or a value changed, `unknown` when they are silent (films).
 */
export function settingsKnown(settings: readonly (CameraSettings | null)[]): NonNullable<LightCorrection['settings']> {
  const known = settings.filter((one) => one !== null);
  if (known.some(({ exposureMode, whiteBalance }) => exposureMode === 'auto' || whiteBalance === 'auto'))
    return 'automatic';
  const varied = (['exposureTimeS', 'iso', 'fNumber'] as const).some(
    (key) => new Set(known.map((one) => one[key]).filter((value) => value !== null)).size > 1,
  );
  if (varied) return 'automatic';
  const manual = known.length > 0 && known.length === settings.length;
  return manual &&
    known.every(({ exposureMode, whiteBalance }) => exposureMode === 'manual' && whiteBalance === 'manual')
    ? 'locked'
    : 'unknown';
}

/** Notes on camera settings that changed between stills, or were left on automatic. */
export function describeSettings(
  timeRunS: readonly number[],
  settings: readonly (CameraSettings | null)[],
): MeasurementNote[] {
  const keys = ['exposureTimeS', 'iso', 'fNumber', 'exposureMode', 'whiteBalance'] as const;
  const words = {
    exposureTimeS: 'exposure time',
    iso: 'ISO',
    fNumber: 'aperture',
    exposureMode: 'exposure mode',
    whiteBalance: 'white balance',
  };
  const notes: MeasurementNote[] = [];
  for (const key of keys) {
    const changed = settings.flatMap((now, frame) => {
      const before = settings[frame - 1]?.[key] ?? null;
      const value = now?.[key] ?? null;
      return value !== null && before !== null && value !== before ? [frame] : [];
    });
    if (changed.length === 0) continue;
    const first = changed[0]!;
    notes.push({
      code: 'settings-changed',
      severity: 'warn',
      message: `The camera changed its ${words[key]} ${changed.length === 1 ? 'once' : `${changed.length} times`} (first from ${settings[first - 1]![key]} to ${settings[first]![key]}); lock it.`,
      fromRunS: timeRunS[first] ?? null,
      toRunS: timeRunS[changed.at(-1)!] ?? null,
      region: null,
    });
  }
  return notes;
}
