import type { FileWindow } from './file-window.ts';
import { headerBytes, isLegal, type NalHeader, nalHeader } from './nal-header.ts';
import type { ParameterSets } from './parameter-sets.ts';

/** A coded picture among the bytes of a film. */
export interface CodedPicture {
  /** Place and length of its units in the file, without their four bytes of length. */
  readonly units: { readonly at: number; readonly length: number }[];
  readonly key: boolean;
  readonly bipredicted: boolean;
  slices: number;
}

export interface FoundPictures {
  /** In the order of the file. */
  readonly pictures: readonly CodedPicture[];
  /** Other data (sound) lies between the pictures: where each begins was found, not told by the one before. */
  readonly gaps: boolean;
  /** Why the search ended before the bytes did; `null`: it did not. */
  readonly lost: string | null;
}

/** Bytes of other data between two pictures that are looked through. Chosen: a minute of sound without compression. */
const longestGap = 16 << 20;
/** Longer units are no pictures of a camera: their length has three bytes. Chosen; it makes noise far less like one. */
const longestSlice = (1 << 24) - 1;
/** Delimiters, supplements and parameter sets are short. Chosen. */
const longestOther = 65_535;
/** Units of the same picture before its first slice. Chosen. */
const mostBefore = 8;

interface Unit {
  readonly at: number;
  readonly length: number;
  readonly header: NalHeader;
  /** The file ends before it. */
  readonly cut: boolean;
}

/**
 * Finds the pictures in the data of an MP4 without its index: units with their length before them (ISO/IEC 14496-15,
 * 5.3.3), one after another from `start` on. Where something else lies between them the next one is searched for, and
 * H.264's frame numbers must then go on without a break (H.264, 7.4.3); where they do not, the search ends.
 */
export async function findPictures(
  window: FileWindow,
  { start, end }: { readonly start: number; readonly end: number },
  sets: ParameterSets,
): Promise<FoundPictures> {
  const plain = await new Search(window, end, sets, false).run(start);
  return plain.gaps ? new Search(window, end, sets, true).run(start) : plain;
}

class Search {
  private readonly window: FileWindow;
  private readonly end: number;
  private readonly sets: ParameterSets;
  /** Frame numbers must go on without a break. */
  private readonly strict: boolean;
  private readonly pictures: CodedPicture[] = [];
  private pending: { at: number; length: number }[] = [];
  private gaps = false;
  private frameNumber: number | null = null;
  private nextNumber: number | null = null;

  constructor(window: FileWindow, end: number, sets: ParameterSets, strict: boolean) {
    this.window = window;
    this.end = end;
    this.sets = sets;
    this.strict = strict;
  }

  async run(start: number): Promise<FoundPictures> {
    let at = start;
    for (;;) {
      const unit = await this.unitAt(at);
      if (unit !== null && (this.pictures.length > 0 || this.pending.length > 0) && (await this.follows(unit))) {
        if (unit.cut) return this.result(unit.header.kind === 'slice' && !unit.header.first, null);
        this.take(unit);
        at = unit.at + unit.length;
        continue;
      }
      const next = await this.search(at, this.strict);
      if (next === null) {
        const lost = this.strict && (await this.search(at, false)) !== null;
        return this.result(
          false,
          lost ? 'the next picture after some other data is not the one that should follow' : null,
        );
      }
      if (this.pictures.length > 0) {
        this.gaps = true;
        if (!this.strict) return this.result(false, null);
      }
      this.pending = [];
      at = next;
      const first = (await this.unitAt(at))!;
      this.take(first);
      at = first.at + first.length;
    }
  }

  private async unitAt(at: number): Promise<Unit | null> {
    const head = await this.window.peek(at, 4 + headerBytes);
    if (head.length < 6) return null;
    const length = head.readUInt32BE(0);
    if (length < 2 || length > longestSlice) return null;
    const header = nalHeader(head.subarray(4, 4 + Math.min(length, headerBytes)), this.sets);
    if (header === null || (header.kind === 'other' && length > longestOther)) return null;
    return { at: at + 4, length, header, cut: at + 4 + length > this.end };
  }

  /** Whether a unit right behind another one is one. */
  private async follows(unit: Unit): Promise<boolean> {
    if (this.strict && unit.header.kind === 'slice' && !this.numbered(unit.header)) return false;
    if (unit.cut) return true;
    return (await this.legal(unit)) || (await this.unitAt(unit.at + unit.length)) !== null;
  }

  private async legal({ at, length }: Unit): Promise<boolean> {
    return isLegal(await this.window.peek(at, length));
  }

  private numbered(slice: NalHeader & { kind: 'slice' }): boolean {
    if (slice.frameNumber === null || this.frameNumber === null || slice.key) return true;
    return slice.frameNumber === (slice.first ? this.nextNumber : this.frameNumber);
  }

  private take({ at, length, header }: Unit): void {
    this.pending.push({ at, length });
    if (header.kind === 'other') return;
    const { first, key, bipredicted, frameNumber } = header;
    if (first || this.pictures.length === 0) this.pictures.push({ units: [], key, bipredicted, slices: 0 });
    const picture = this.pictures.at(-1)!;
    picture.units.push(...this.pending);
    picture.slices++;
    this.pending = [];
    this.frameNumber = frameNumber;
    const next = ((frameNumber ?? 0) + 1) % 2 ** this.sets.frameNumberBits;
    // A picture that nothing refers to takes a number and does not use it up.
    if (first) this.nextNumber = header.reference ? next : frameNumber;
  }

  /** Where the next picture begins; `null`: nowhere within reach. */
  private async search(from: number, numbered: boolean): Promise<number | null> {
    const stop = Math.min(this.end, from + longestGap);
    for (let at = from; at < stop;) {
      const view = await this.window.peek(at, 1 << 16);
      const zero = view.indexOf(0);
      if (zero < 0) {
        at += Math.max(1, view.length);
        continue;
      }
      at += zero;
      if (await this.beginsPicture(at, numbered)) return at;
      at++;
    }
    return null;
  }

  /** Whole units that obey the rules, up to and with the first slice of a picture. */
  private async beginsPicture(from: number, numbered: boolean): Promise<boolean> {
    const slice = await this.firstSlice(from);
    if (slice === null || !slice.first || (numbered && !this.numbered(slice))) return false;
    return this.pictures.length > 0 || slice.entry;
  }

  private async firstSlice(from: number): Promise<(NalHeader & { kind: 'slice' }) | null> {
    let at = from;
    for (let count = 0; count <= mostBefore; count++) {
      const unit = await this.unitAt(at);
      if (unit === null || unit.cut || !(await this.legal(unit))) return null;
      if (unit.header.kind === 'slice') return unit.header;
      at = unit.at + unit.length;
    }
    return null;
  }

  private result(broken: boolean, lost: string | null): FoundPictures {
    const last = this.pictures.at(-1);
    const before = this.pictures.at(-2);
    const incomplete = broken || (last !== undefined && before !== undefined && last.slices < before.slices);
    return { pictures: incomplete ? this.pictures.slice(0, -1) : this.pictures, gaps: this.gaps, lost };
  }
}
