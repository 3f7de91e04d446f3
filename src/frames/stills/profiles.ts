import type { Note } from '../note.ts';
import { parseIcc } from './icc-profile.ts';
import { maximumCode } from './read-still.ts';
import type { GoodStill } from './still-facts.ts';
import { gammaConversion, primariesConversion, type ProfileConversion, profileConversion } from './to-srgb.ts';

export interface Profiles {
  /** What to do to a picture's samples; `null`: nothing. */
  of(still: GoodStill): ProfileConversion | null;
  /** For SourceInfo.conversion. */
  readonly described: string | null;
  readonly notes: readonly Note[];
}

/** Reads the colour profiles of a series; each distinct one is worked out once. */
export function readProfiles(stills: readonly GoodStill[], shown: string): Profiles {
  const known = new Map<string, ProfileConversion | null>();
  const key = (still: GoodStill): string =>
    `${maximumCode(still)} ${still.gamma} ${still.icc === null ? still.wide : Buffer.from(still.icc).toString('base64')}`;
  let unread = 0;
  for (const still of stills) {
    if (known.has(key(still))) continue;
    if (still.icc === null) {
      known.set(key(still), plainConversion(still));
      continue;
    }
    const profile = parseIcc(still.icc);
    if (profile === null) unread++;
    known.set(key(still), profile === null ? null : profileConversion(profile, maximumCode(still)));
  }
  const changed = stills.filter((still) => (known.get(key(still)) ?? null) !== null);
  const curved = changed.filter(({ gamma }) => gamma !== null).length;
  const converted = changed.length - curved;
  const notes: Note[] = [];
  if (curved > 0) {
    const which = curved === stills.length ? 'the pictures name' : `${curved} of ${stills.length} pictures name`;
    const message = `${shown}: ${which} a curve of brightness of their own (PNG gamma); it was obeyed.`;
    notes.push({ code: 'gamma-converted', severity: 'info', message });
  }
  if (unread > 0) {
    const message = `${shown}: a colour profile in the pictures is not of the matrix kind (or broken) and was not applied; colours are taken as sRGB.`;
    notes.push({ code: 'profile-unread', severity: 'warn', message });
  }
  if (converted > 0) {
    const which = converted === stills.length ? 'the pictures have' : `${converted} of ${stills.length} pictures have`;
    const message = `${shown}: ${which} a wider colour space than sRGB; they were converted in linear light, nothing cut off.`;
    notes.push({ code: 'profile-converted', severity: 'info', message });
  }
  return {
    of: (still) => known.get(key(still)) ?? null,
    described:
      [
        ...(converted > 0 ? ['colour profile to sRGB, unclipped'] : []),
        ...(curved > 0 ? ['PNG gamma to sRGB'] : []),
      ].join(', ') || null,
    notes,
  };
}

/** What a picture without profile asks for. */
function plainConversion(still: GoodStill): ProfileConversion | null {
  if (still.wide !== null) return primariesConversion(still.wide, maximumCode(still));
  return still.gamma === null ? null : gammaConversion(still.gamma, maximumCode(still));
}
