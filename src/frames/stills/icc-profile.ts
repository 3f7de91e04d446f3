/** A matrix profile of a display or camera: what its R'G'B' means in XYZ relative to D50. */
export interface IccProfile {
  /** Columns: XYZ of red, green, blue. */
  readonly toXyz: readonly (readonly [number, number, number])[];
  /** Encoded 0..1 to linear 0..1, per channel. */
  readonly curves: readonly ((encoded: number) => number)[];
}

/**
 * Reads a matrix/TRC profile (ICC.1:2022, 8.3.3 and 10.6, 10.18, 10.31): tags rXYZ gXYZ bXYZ and rTRC gTRC bTRC.
 * `null` for anything else (table-based, grey, broken): the caller says that it was not applied.
 */
export function parseIcc(bytes: Uint8Array): IccProfile | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    if (text(view, 16) !== 'RGB ' || text(view, 20) !== 'XYZ ') return null;
    const tags = new Map<string, number>();
    const count = Math.min(view.getUint32(128), 100);
    for (let i = 0; i < count; i++) tags.set(text(view, 132 + 12 * i), view.getUint32(136 + 12 * i));
    const at = (name: string): number => {
      const offset = tags.get(name);
      if (offset === undefined) throw new RangeError(name);
      return offset;
    };
    const toXyz = ['rXYZ', 'gXYZ', 'bXYZ'].map((name): [number, number, number] => {
      const offset = at(name);
      return [0, 1, 2].map((i) => fixed(view, offset + 8 + 4 * i)) as [number, number, number];
    });
    return { toXyz, curves: ['rTRC', 'gTRC', 'bTRC'].map((name) => curve(view, at(name))) };
  } catch (error) {
    if (error instanceof RangeError) return null; // A tag is missing or points outside.
    throw error;
  }
}

const text = (view: DataView, at: number): string =>
  String.fromCharCode(view.getUint8(at), view.getUint8(at + 1), view.getUint8(at + 2), view.getUint8(at + 3));

/** s15Fixed16Number. */
const fixed = (view: DataView, at: number): number => view.getInt32(at) / 65536;

function curve(view: DataView, at: number): (encoded: number) => number {
  const kind = text(view, at);
  if (kind === 'para') return parametric(view, at);
  if (kind !== 'curv') throw new RangeError(kind);
  const count = view.getUint32(at + 8);
  if (count === 0) return (x) => x;
  if (count === 1) {
    const gamma = view.getUint16(at + 12) / 256;
    return (x) => x ** gamma;
  }
  const values = Array.from({ length: count }, (_, i) => view.getUint16(at + 12 + 2 * i) / 65535);
  return (x) => {
    const place = Math.min(1, Math.max(0, x)) * (count - 1);
    const low = Math.min(count - 2, Math.floor(place));
    return values[low]! + (place - low) * (values[low + 1]! - values[low]!);
  };
}

/** Function types 0 to 4 of table 68: Y = (aX + b)^g + e above d, cX + f below. */
function parametric(view: DataView, at: number): (encoded: number) => number {
  const type = view.getUint16(at + 8);
  const parameter = (i: number): number => fixed(view, at + 12 + 4 * i);
  const g = parameter(0);
  if (type === 0) return (x) => x ** g;
  if (type > 4) throw new RangeError('parametric type');
  const [a, b] = [parameter(1), parameter(2)];
  const c = type >= 3 ? parameter(3) : type === 2 ? parameter(3) : 0;
  if (type <= 2) {
    const offset = type === 2 ? c : 0;
    return (x) => (x >= -b / a ? (a * x + b) ** g : 0) + offset;
  }
  const d = parameter(4);
  const e = type === 4 ? parameter(5) : 0;
  const f = type === 4 ? parameter(6) : 0;
  return (x) => (x >= d ? (a * x + b) ** g + e : c * x + f);
}
