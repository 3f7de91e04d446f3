/**
 * `pool-kernel.wat` beside this file, assembled by wabt 1.0.39 (`wat2wasm pool-kernel.wat`; 1,166 bytes) and held here as
 * text so that no build step is needed. `tests/frames/pool-kernel.test.ts` holds it to the same bits as pool-planes.ts.
 */
const assembled =
  'AGFzbQEAAAABNQVgB39/f39/f38AYAF7AXtgAnt7AXtgCH9/f39/f39/AGARf39/f39/f39/f39/f39/f38AAg8BA2VudgZtZW1vcnkCAAEDBwYAAQIBAwQHCAEEcG9vbAAFCqgIBp8DAwR/AXsCfyAFBH9BBEEIIANuIANBAUYbBUEIQRAgA24gA0EBRhsLIQcgAyAFdCEMA0AgACAIIAxsaiEJIAYgCEECdGohDSACIQr9DAAAAAAAAAAAAAAAAAAAAAAhCyAFBEAgA0EBRgRAA0AgCyAJ/QQAAP2uASELIAkgAWohCSAKQQFrIgoNAAsFA0AgCyAJ/QAAAP1//a4BIQsgCSABaiEJIApBAWsiCg0ACwsgA0EETwRAIAsQASELCyADQQhGBEAgDSALEAH9GwA2AgAFIANBBEYEQCANIAv9HQA3AgAFIA0gC/0LAgALCwUgA0EBRgRAA0AgCyAJ/QIAAP2OASELIAkgAWohCSAKQQFrIgoNAAsFA0AgCyAJ/QAAAP19/Y4BIQsgCSABaiEJIApBAWsiCg0ACwsgA0ECTQRAIA0gC/2pAf0LAgAgDSAL/aoB/QsCEAUgC/1/IQsgA0EERgRAIA0gC/0LAgAFIA0gCxAB/R0ANwIACwsLIAggB2ohCCAIIARJBEAgCCAHaiAESwRAIAQgB2shCAsMAQsLC1EAIAD9DAAAAAAAAAAAAAAAAAAAAAD9DQABAgMICQoLEBESExAREhMgAP0MAAAAAAAAAAAAAAAAAAAAAP0NBAUGBwwNDg8QERITEBESE/2uAQscACAA/V4gAf1e/Q0AAQIDBAUGBxAREhMUFRYXCxgAIAAgAP0NCAkKCwwNDg8AAQIDBAUGBwvhAgICfw17IAT9CgMAIQogBP0KAwghCyAE/QoDECEMIAT9CgMYIQ0gBP0KAyAhDiAE/QoDKCEPIAT9CgMwIRADQCAIQQJ0IQkgACAJav0AAgAhFCABIAlq/QACACEVIAIgCWr9AAIAIRYgFP3+ASAK/fEBIAv98gEhESAV/f4BIAz98QEhEiAW/f4BIAz98QEhEyAUEAP9/gEgCv3xASAL/fIBIRQgFRAD/f4BIAz98QEhFSAWEAP9/gEgDP3xASEWIAUgCWogESANIBP98gH98AEgFCANIBb98gH98AEQAv0LAgAgBiAJaiARIA4gEv3yAf3wASAPIBP98gH98AEgFCAOIBX98gH98AEgDyAW/fIB/fABEAL9CwIAIAcgCWogESAQIBL98gH98AEgFCAQIBX98gH98AEQAv0LAgAgCEEEaiEIIAggA0kEQCAIQQRqIANLBEAgA0EEayEICwwBCwsLmQEBAn8gDCAJQQJ0aiERIBEgCUECdGohEgNAIAAgASAFIAUgCSAIIAwQACACIAQgByAGIAkgCCAREAAgAyAEIAcgBiAJIAggEhAAIAwgESASIAkgCyANIA4gDxAEIAAgASAFbGohACACIAQgB2xqIQIgAyAEIAdsaiEDIA0gEGohDSAOIBBqIQ4gDyAQaiEPIApBAWsiCg0ACws=';

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
