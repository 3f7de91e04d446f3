import type { Note } from '../note.ts';
import { parseIcc } from './icc-profile.ts';
import { maximumCode } from './read-still.ts';
import type { GoodStill } from './still-facts.ts';
import { primariesConversion, type ProfileConversion, profileConversion } from './to-srgb.ts';

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
    `${maximumCode(still)} ${still.icc === null ? still.wide : Buffer.from(still.icc).toString('base64')}`;
  let unread = 0;
  for (const still of stills) {
    if (known.has(key(still))) continue;
    if (still.icc === null) {
      known.set(key(still), still.wide === null ? null : primariesConversion(still.wide, maximumCode(still)));
      continue;
    }
    const profile = parseIcc(still.icc);
    if (profile === null) unread++;
    known.set(key(still), profile === null ? null : profileConversion(profile, maximumCode(still)));
  }
  const converted = stills.filter((still) => (known.get(key(still)) ?? null) !== null).length;
  const notes: Note[] = [];
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
    described: converted > 0 ? 'colour profile to sRGB, unclipped' : null,
    notes,
  };
}
