import { createRandom, type Random } from '../numeric/random.ts';

/** One vial to be placed. */
export interface ToPlace {
  /** Position in the list of materials. */
  readonly material: number;
  readonly role: string;
  /** Gives off a reducing vapour. */
  readonly volatile: boolean;
}

export interface PlacedVial extends ToPlace {
  /** 0-based. */
  readonly row: number;
  readonly column: number;
}

/** Arrangements tried; chosen: enough for 24 vials in a fraction of a second. */
const tries = 4000;

/**
 * A random arrangement by the seed, row by row without gaps except at the end: of many drawn, the first with the lowest count
 * of breaches (like vials side by side, a volatile reducer away from the ends of a row, none of the blanks beside the volatile
 * ones, a row without reference). Throws RangeError when the rack is too small.
 */
export function placeVials(
  vials: readonly ToPlace[],
  rack: { readonly rows: number; readonly columns: number },
  seed: string,
): readonly PlacedVial[] {
  const places = rack.rows * rack.columns;
  if (places < vials.length) throw new RangeError(`${vials.length} vials, ${places} places`);
  const random = createRandom(seed).stream('places');
  let best: readonly PlacedVial[] = [];
  let least = Infinity;
  for (let attempt = 0; attempt < tries && least > 0; attempt += 1) {
    const placed = arrange(shuffled(vials, random), rack.columns);
    const breaches = breachesOf(placed, rack.columns);
    if (breaches < least) {
      least = breaches;
      best = placed;
    }
  }
  return best;
}

function arrange(vials: readonly ToPlace[], columns: number): readonly PlacedVial[] {
  return vials.map((vial, index) => ({ ...vial, row: Math.floor(index / columns), column: index % columns }));
}

function shuffled<T>(items: readonly T[], random: Random): readonly T[] {
  const left = [...items];
  for (let last = left.length - 1; last > 0; last -= 1) {
    const other = random.integer(last + 1);
    [left[last], left[other]] = [left[other]!, left[last]!];
  }
  return left;
}

/** Weighted count of what an arrangement does wrong; the weights order the wishes, chosen. */
export function breachesOf(placed: readonly PlacedVial[], columns: number): number {
  let sum = 0;
  const isReference = ({ role }: PlacedVial): boolean => role === 'positive' || role === 'negative';
  const rows = new Set(placed.map(({ row }) => row));
  placed.forEach((vial, index) => {
    for (const other of placed.slice(index + 1)) {
      if (other.material === vial.material && beside(vial, other)) sum += 1;
    }
    if (vial.volatile && vial.column !== 0 && vial.column !== columns - 1) sum += 2;
  });
  const volatile = placed.filter((vial) => vial.volatile);
  const blanks = placed.filter(({ role }) => role === 'blank');
  if (volatile.length > 0 && blanks.length > 0 && !blanks.some((blank) => volatile.some((one) => beside(blank, one)))) {
    sum += 4;
  }
  const references = placed.filter(isReference).length;
  if (references >= rows.size) {
    for (const row of rows) if (!placed.some((vial) => vial.row === row && isReference(vial))) sum += 4;
  }
  return sum;
}

const beside = (first: PlacedVial, second: PlacedVial): boolean =>
  Math.abs(first.row - second.row) <= 1 && Math.abs(first.column - second.column) <= 1;

/** Letters and digits that are not taken for each other in handwriting. */
const alphabet = 'ACEFHJKLMNPRTUVWXY34679';

/** Distinct two-character codes that tell nothing of what they stand for. */
export function codesFor(count: number, seed: string): readonly string[] {
  const all = [...alphabet].flatMap((first) => [...alphabet].map((second) => first + second));
  return shuffled(all, createRandom(seed).stream('codes')).slice(0, count);
}
