import { open } from 'node:fs/promises';
import type { WidePrimaries } from '../primaries.ts';

/** What a HEIF or AVIF file without ICC profile says of its colours (ITU-T H.273 numbers in a `colr` box of type `nclx`). */
export interface CodedColours {
  /** `null`: those of sRGB, or others that are taken for them. */
  readonly primaries: WidePrimaries | null;
  readonly highDynamicRange: 'PQ' | 'HLG' | null;
}

/** H.273 table 2: 9 is BT.2020, 12 is Display P3. Table 3: 16 is PQ, 18 is HLG. */
const widePrimaries: Readonly<Record<number, WidePrimaries>> = { 9: 'bt2020', 12: 'p3' };
const dynamicRanges: Readonly<Record<number, 'PQ' | 'HLG'>> = { 16: 'PQ', 18: 'HLG' };

/** Bytes looked at: the boxes stand before the pixels. Chosen: some cameras' hundreds of tiles take 50 kB of boxes. */
const headBytes = 1 << 18;

/** Reads the colours of a HEIF or AVIF file; `null` when it names none. */
export async function readNclx(file: string): Promise<CodedColours | null> {
  const handle = await open(file);
  try {
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(headBytes), 0, headBytes, 0);
    return parseNclx(buffer.subarray(0, bytesRead));
  } finally {
    await handle.close();
  }
}

/** ISO/IEC 14496-12 boxes: meta (a full box) / iprp / ipco / colr. The first item's colours are those of the picture. */
function parseNclx(head: Buffer): CodedColours | null {
  const meta = child(head, 'meta');
  const iprp = meta === null ? null : child(meta.subarray(4), 'iprp');
  const ipco = iprp === null ? null : child(iprp, 'ipco');
  if (ipco === null) return null;
  for (const { type, body } of boxes(ipco)) {
    if (type !== 'colr' || body.length < 8 || body.toString('latin1', 0, 4) !== 'nclx') continue;
    return {
      primaries: widePrimaries[body.readUInt16BE(4)] ?? null,
      highDynamicRange: dynamicRanges[body.readUInt16BE(6)] ?? null,
    };
  }
  return null;
}

function child(parent: Buffer, type: string): Buffer | null {
  for (const box of boxes(parent)) if (box.type === type) return box.body;
  return null;
}

function* boxes(parent: Buffer): Generator<{ readonly type: string; readonly body: Buffer }> {
  for (let at = 0; at + 8 <= parent.length;) {
    const size = parent.readUInt32BE(at);
    if (size < 8) return; // Broken, or one that runs to the end or is beyond 4 GB: none of ours.
    yield { type: parent.toString('latin1', at + 4, at + 8), body: parent.subarray(at + 8, at + size) };
    at += size;
  }
}
