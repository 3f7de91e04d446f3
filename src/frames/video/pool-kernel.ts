/**
 * `pool-kernel.wat` beside this file, assembled by wabt 1.0.39 (`wat2wasm pool-kernel.wat`; 1,218 bytes) and held here as
 * text so that no build step is needed. `tests/frames/pool-kernel.test.ts` holds it to the same bits as pool-planes.ts.
 */
const assembled =
  'AGFzbQEAAAABLwRgB39/f39/f38AYAF7AXtgCH9/f39/f39/AGARf39/f39/f39/f39/f39/f38AAg8BA2VudgZtZW1vcnkCAAEDBQQAAQIDBwgBBHBvb2wAAwrkCASfAwMEfwF7An8gBQR/QQRBCCADbiADQQFGGwVBCEEQIANuIANBAUYbCyEHIAMgBXQhDANAIAAgCCAMbGohCSAGIAhBAnRqIQ0gAiEK/QwAAAAAAAAAAAAAAAAAAAAAIQsgBQRAIANBAUYEQANAIAsgCf0EAAD9rgEhCyAJIAFqIQkgCkEBayIKDQALBQNAIAsgCf0AAAD9f/2uASELIAkgAWohCSAKQQFrIgoNAAsLIANBBE8EQCALEAEhCwsgA0EIRgRAIA0gCxAB/RsANgIABSADQQRGBEAgDSAL/R0ANwIABSANIAv9CwIACwsFIANBAUYEQANAIAsgCf0CAAD9jgEhCyAJIAFqIQkgCkEBayIKDQALBQNAIAsgCf0AAAD9ff2OASELIAkgAWohCSAKQQFrIgoNAAsLIANBAk0EQCANIAv9qQH9CwIAIA0gC/2qAf0LAhAFIAv9fyELIANBBEYEQCANIAv9CwIABSANIAsQAf0dADcCAAsLCyAIIAdqIQggCCAESQRAIAggB2ogBEsEQCAEIAdrIQgLDAELCwtRACAA/QwAAAAAAAAAAAAAAAAAAAAA/Q0AAQIDCAkKCxAREhMQERITIAD9DAAAAAAAAAAAAAAAAAAAAAD9DQQFBgcMDQ4PEBESExAREhP9rgEL0wMCAn8NeyAE/QoDACEKIAT9CgMIIQsgBP0KAxAhDCAE/QoDGCENIAT9CgMgIQ4gBP0KAyghDyAE/QoDMCEQA0AgCEECdCEJIAAgCWr9AAIAIRQgASAJav0AAgAhFSACIAlq/QACACEWIBT9/gEgCv3xASAL/fIBIREgFf3+ASAM/fEBIRIgFv3+ASAM/fEBIRMgFCAU/Q0ICQoLDA0ODwABAgMEBQYH/f4BIAr98QEgC/3yASEUIBUgFf0NCAkKCwwNDg8AAQIDBAUGB/3+ASAM/fEBIRUgFiAW/Q0ICQoLDA0ODwABAgMEBQYH/f4BIAz98QEhFiAFIAlqIBEgDSAT/fIB/fAB/V4gFCANIBb98gH98AH9Xv0NAAECAwQFBgcQERITFBUWF/0LAgAgBiAJaiARIA4gEv3yAf3wASAPIBP98gH98AH9XiAUIA4gFf3yAf3wASAPIBb98gH98AH9Xv0NAAECAwQFBgcQERITFBUWF/0LAgAgByAJaiARIBAgEv3yAf3wAf1eIBQgECAV/fIB/fAB/V79DQABAgMEBQYHEBESExQVFhf9CwIAIAhBBGohCCAIIANJBEAgCEEEaiADSwRAIANBBGshCAsMAQsLC5kBAQJ/IAwgCUECdGohESARIAlBAnRqIRIDQCAAIAEgBSAFIAkgCCAMEAAgAiAEIAcgBiAJIAggERAAIAMgBCAHIAYgCSAIIBIQACAMIBEgEiAJIAsgDSAOIA8QAiAAIAEgBWxqIQAgAiAEIAdsaiECIAMgBCAHbGohAyANIBBqIQ0gDiAQaiEOIA8gEGohDyAKQQFrIgoNAAsL';

/**
 * One piece of a region: where its planes begin and how far their rows are apart, samples a block (luma, then chroma across
 * and down), 1 for 16-bit samples, blocks across and down, then where factors, room for sums and the three planes of floats
 * are, and how far the rows of these are apart. Places and distances in bytes.
 */
export type PoolKernel = (
  luma: number,
  lumaStride: number,
  cb: number,
  cr: number,
  chromaStride: number,
  side: number,
  across: number,
  down: number,
  deep: 0 | 1,
  count: number,
  rows: number,
  factors: number,
  scratch: number,
  red: number,
  green: number,
  blue: number,
  out: number,
) => void;

/** Blocks across below which the kernel, which goes in steps of sixteen bytes, cannot be used. */
export const fewestBlocks = 8;

let compiled: WebAssembly.Module | null | undefined;

/** The kernel on a memory; `null` where the engine has no such instructions. */
export function poolKernel(memory: WebAssembly.Memory): PoolKernel | null {
  if (compiled === undefined) compiled = compile();
  if (compiled === null) return null;
  const { exports } = new WebAssembly.Instance(compiled, { env: { memory } });
  return exports['pool'] as PoolKernel;
}

function compile(): WebAssembly.Module | null {
  try {
    return new WebAssembly.Module(Buffer.from(assembled, 'base64'));
  } catch {
    return null;
  }
}
