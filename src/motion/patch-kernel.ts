/**
 * `patch-kernel.wat` beside this file, assembled by wabt 1.0.39 (`wat2wasm patch-kernel.wat`; 402 bytes) and held here as
 * text so that no build step is needed. `tests/motion/patch-kernel.test.ts` holds it to the same bits as patch-loops.ts.
 */
const assembled =
  'AGFzbQEAAAABFwJgCH9/f398fH9/AGAIf39/f398fH8AAg8BA2VudgZtZW1vcnkCAAEDAwIAAQcUAgZzYW1wbGUAAAdjb21wYXJlAAEKwgICvQECA38HfANAIAAhCCAAIAJBAnRqIQkgCCoCALshDSAIIAFqKgIAuyEOA0AgCCABaiEKIAgqAgS7IQ8gCioCBLshECANIAQgDyANoaKgIQ0gDiAEIBAgDqGioCEOIA0gBSAOIA2hoqAhESAGIBG2OAIAIAsgEaAhCyAMIBEgEaKgIQwgDyENIBAhDiAGQQRqIQYgCEEEaiIIIAlJDQALIAAgAWohACADQQFrIgMNAAsgByALOQMAIAcgDDkDCAuAAQICfwZ8IARBAnQhCQNAIAAgCGoqAgC7IAWhIAaiIQogASAIaioCALshCyAKIAuhIQwgDSACIAhqKgIAuyAMoqAhDSAOIAMgCGoqAgC7IAyioCEOIA8gCiALoqAhDyAIQQRqIgggCUkNAAsgByANOQMAIAcgDjkDCCAHIA85AxAL';

/** See patch-kernel.wat; places and distances in bytes. */
export interface PatchKernel {
  sample(
    grey: number,
    stride: number,
    width: number,
    height: number,
    fx: number,
    fy: number,
    into: number,
    out: number,
  ): void;
  compare(
    patch: number,
    grey: number,
    across: number,
    down: number,
    count: number,
    mean: number,
    factor: number,
    out: number,
  ): void;
}

/** The kernel on a memory; `null` where the engine has none. */
export function patchKernel(memory: WebAssembly.Memory): PatchKernel | null {
  try {
    const bytes = Uint8Array.from(atob(assembled), (letter) => letter.charCodeAt(0));
    const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes), { env: { memory } });
    return exports as unknown as PatchKernel;
  } catch {
    return null;
  }
}
