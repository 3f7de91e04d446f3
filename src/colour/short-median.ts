import { medianInPlace } from './median.ts';

/**
 * `median-kernel.wat` beside this file, assembled by wabt 1.0.39 (`wat2wasm median-kernel.wat`; 381 bytes) and held here as
 * text so that no build step is needed. `tests/colour/short-median.test.ts` holds it to median.ts.
 */
const assembled =
  'AGFzbQEAAAABBwFgAn9/AXwCDwEDZW52Bm1lbW9yeQIAAQMCAQAHCgEGbWVkaWFuAAAKyAIBxQICBX8EfCABRQRARAAAAAAAAPh/DwsgACABQQF2QQN0aiECIAAhAyAAIAFBA3RqIQQCQANAIAQgA2tBCE0NASADKwMAIQcgAyAEIANrQQF2QXhxaisDACEIIAcgCKQgByAIpSAEQQhrKwMApKUhCSADIQUgAyEGA0AgBSsDACEKIAUgBisDADkDACAGIAo5AwAgBiAKIAljQQN0aiEGIAVBCGoiBSAESQ0ACyACIAZJBEAgBiEEDAELIAYhAyAGIQUDQCAFKwMAIQogBSAGKwMAOQMAIAYgCjkDACAGIAogCWVBA3RqIQYgBUEIaiIFIARJDQALIAIgBkkNASAGIQMMAAsLIAIrAwAhCiABQQFxBEAgCg8LIAArAwAhBwNAIAcgACsDAKUhByAAQQhqIgAgAkkNAAsgByAKoEQAAAAAAAAAQKML';

/** Most numbers that a {@link ShortList} takes. Chosen: the rows of a crop's upper half at 4K, several times. */
export const mostNumbers = 4096;

type Median = (count: number) => number;

/** Numbers, of which the median of the first so many is told; they are put into another order, and nothing outlives the next use. */
export interface ShortList {
  readonly values: Float64Array;
  readonly median: Median;
}

/** By the kernel, which takes a third of the time; `null` where the engine cannot. */
export function kernelList(): ShortList | null {
  try {
    const memory = new WebAssembly.Memory({ initial: 1 });
    const bytes = Uint8Array.from(atob(assembled), (letter) => letter.charCodeAt(0));
    const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes), { env: { memory } });
    const median = exports['median'] as (at: number, count: number) => number;
    return { values: new Float64Array(memory.buffer, 0, mostNumbers), median: (count) => median(0, count) };
  } catch {
    return null;
  }
}

export function plainList(): ShortList {
  const values = new Float64Array(mostNumbers);
  return { values, median: (count) => medianInPlace(values, count) };
}

/** The list that all regions use by turns: a frame asks for a dozen medians of some forty numbers of each. */
export const shortList: ShortList = kernelList() ?? plainList();
