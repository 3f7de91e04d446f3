/** A repeatable source of random numbers; every draw advances its state. */
export interface Random {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Standard normal deviate. */
  normal(): number;
  /** Uniform whole number in [0, below). */
  integer(below: number): number;
  /** An independent stream named by a label, so that adding a consumer does not disturb the others. */
  stream(label: string): Random;
}

/**
 * Seeded generator: sfc32 (Chris Doty-Humphrey, PractRand; constants from memory), normals by Marsaglia's polar method.
 * The same seed gives the same numbers on every machine.
 */
export function createRandom(seed: string | number): Random {
  const state = hashSeed(String(seed));
  let a = state[0]!;
  let b = state[1]!;
  let c = state[2]!;
  let counter = 1;
  let spare: number | null = null;

  const next = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + sum) | 0;
    return sum >>> 0;
  };
  for (let round = 0; round < 12; round += 1) next();

  const uniform = (): number => (next() * 2 ** 21 + (next() >>> 11)) / 2 ** 53;
  const normal = (): number => {
    if (spare !== null) {
      const value = spare;
      spare = null;
      return value;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const square = u * u + v * v;
      if (square > 0 && square < 1) {
        const factor = Math.sqrt((-2 * Math.log(square)) / square);
        spare = v * factor;
        return u * factor;
      }
    }
  };
  return {
    uniform,
    normal,
    integer: (below) => Math.floor(uniform() * below),
    stream: (label) => createRandom(`${seed}/${label}`),
  };
}

/** Spreads a text over 96 bits: three FNV-1a passes with different offsets. */
function hashSeed(text: string): readonly number[] {
  return [0x811c9dc5, 0x9dc5811c, 0xc5811c9d].map((offset) => {
    let hash = offset;
    for (const character of text) {
      hash ^= character.codePointAt(0)!;
      hash = Math.imul(hash, 0x01000193);
    }
    return hash | 0;
  });
}
