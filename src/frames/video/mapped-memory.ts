const page = 65_536;

/**
 * Zeroed memory of at least so many bytes straight from the system, which has it back as soon as it is collected. An array's own memory comes from
 * the C library, which keeps what large ones leave behind: after six looks at 1080p that was 30 MB for the rest of the run.
 * Memory of arrays where the system gives no other (a limit on virtual memory).
 */
export function mappedMemory(bytes: number): ArrayBuffer {
  return (wasmMemory(bytes)?.buffer as ArrayBuffer | undefined) ?? new ArrayBuffer(bytes);
}

/** The same as memory that a kernel can be bound to; `null` where the system refuses. */
export function wasmMemory(bytes: number): WebAssembly.Memory | null {
  const pages = Math.ceil(bytes / page);
  try {
    return new WebAssembly.Memory({ initial: pages, maximum: pages });
  } catch {
    return null;
  }
}
