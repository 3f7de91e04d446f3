/**
 * `cell-kernel.wat` beside this file, assembled by wabt 1.0.39 (`wat2wasm cell-kernel.wat`; 810 bytes) and held here as
 * text so that no build step is needed. `tests/colour/cell-kernel.test.ts` holds it to the same bits as cell-sums.ts.
 */
const assembled =
  'AGFzbQEAAAABEwFgD39/f39/f39/f39/f3x8fAACDwEDZW52Bm1lbW9yeQIAAQMCAQAHDAEIc3VtQ2VsbHMAAArnBQHkBQYHfw97AXwEewF8AXsgByALQQN0aiEUIBQgC0EDdGohFSALQQFr/REhGyAbIR0gDP0UIR8gDf0UISAgDv0UISEDQCABKAIAIQ8gASgCBCEQIA8hESAcISIgHCEjIBwhJEQAAAAAAAAAACElIBwhJiAcIScgHCEoIBwhKUQAAAAAAAAAACEqIBwhKyAPIBBJBEADQCACIA9BAnRqKAIAQQJ0IRIgBSASaiAEIBJq/VwCAP1WAgAB/V8hFiAGIBJq/VwCAP1fIRcgAyAPai0AALj9FCEYIBYgH/3yASAg/fAB/fwBIBcgH/3yASAg/fAB/fwB/Q0AAQIDBAUGBxAREhMQERITIRogGyAcIBr9uAH9tgEhGiAdIBr9tgEhHSAeIBr9uAEhHiAYICEgFv3wAf3yASEZIAcgGv0bAEEDdGohEiASIBIrAwAgGf0hAKA5AwAgFCAa/RsBQQN0aiESIBIgEisDACAZ/SEBoDkDACAVIBr9GwJBA3RqIRIgEiASKwMAIBggISAX/fAB/fIB/SEAoDkDACAkIBj98AEhJCAiIBggFv3yAf3wASEiICMgGCAX/fIB/fABISMgDyARa0EBcUUEQCAlRAAAAAAAAPA/oCElICYgFv3wASEmICcgF/3wASEnICggFiAW/fIB/fABISggKSAXIBf98gH98AEhKSAqIBb9IQAgFv0hAaKgISogKyAWIBf9IQD9FP3yAf3wASErCyAPQQFqIg8gEEkNAAsLICIgJP3zASEiIAggE0EDdGohEiASICL9IQA5AwAgEiAAQQN0aiESIBIgIv0hATkDACASIABBA3RqIRIgEiAjICT98wH9IQA5AwAgCSAlOQMAIAkgJv0LBAggCSAn/SEAOQMYIAkgKP0LBCAgCSAp/SEAOQMwIAkgKjkDOCAJICv9CwRAIAlB0ABqIQkgAUEEaiEBIBNBAWoiEyAASQ0ACyAKIB39CwQAIAogHv0LBBAL';

/** Cells, then where starts, samples, weights, three planes, histograms, means, sums and ends are (bytes), then what bins are. */
export type CellKernel = (
  cells: number,
  starts: number,
  samples: number,
  weights: number,
  red: number,
  green: number,
  blue: number,
  histograms: number,
  means: number,
  sums: number,
  ends: number,
  bins: number,
  binsPerUnit: number,
  binOffset: number,
  perValue: number,
) => void;

/** The kernel on a memory; `null` where the engine has no such instructions. */
export function cellKernel(memory: WebAssembly.Memory): CellKernel | null {
  try {
    const bytes = Uint8Array.from(atob(assembled), (letter) => letter.charCodeAt(0));
    const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes), { env: { memory } });
    return exports['sumCells'] as CellKernel;
  } catch {
    return null;
  }
}
