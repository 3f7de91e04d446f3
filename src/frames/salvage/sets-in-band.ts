import type { FileWindow } from './file-window.ts';
import { isLegal } from './nal-header.ts';
import { type ParameterSets, parameterSets } from './parameter-sets.ts';

/** Bytes at the beginning of the data in which they are looked for: cameras repeat them before key pictures. Chosen. */
const searched = 16 << 20;
/** Chosen; real ones have some ten bytes. */
const longestSet = 1024;

/** Parameter sets among the pictures themselves: units one behind another, each with its length before it; `null`: none. */
export async function setsInBand(window: FileWindow, start: number, end: number): Promise<ParameterSets | null> {
  const stop = Math.min(end, start + searched);
  for (let at = start; at < stop;) {
    const view = await window.peek(at, 1 << 16);
    const found = view.indexOf(twoZeros);
    if (found < 0) {
      at += Math.max(1, view.length - 1);
      continue;
    }
    at += found;
    const sets = await setsAt(window, at);
    if (sets !== null) return sets;
    at++;
  }
  return null;
}

const twoZeros = Buffer.from([0, 0]);

async function setsAt(window: FileWindow, from: number): Promise<ParameterSets | null> {
  const units: Uint8Array[] = [];
  let at = from;
  for (;;) {
    const head = await window.peek(at, 6);
    if (head.length < 6) break;
    const length = head.readUInt32BE(0);
    const kind = setKind(head[4]!, head[5]!);
    if (kind === null || length < 3 || length > longestSet) break;
    const unit = Buffer.from(await window.peek(at + 4, length));
    if (unit.length < length || !isLegal(unit)) break;
    units.push(unit);
    at += 4 + length;
  }
  const kinds = units.map((unit) => setKind(unit[0]!, unit[1]!));
  const whole = ['avc-sps avc-pps', 'hevc-vps hevc-sps hevc-pps'].some((all) =>
    all.split(' ').every((kind) => kinds.includes(kind as SetKind)),
  );
  return whole ? parameterSets(units) : null;
}

type SetKind = 'avc-sps' | 'avc-pps' | 'hevc-vps' | 'hevc-sps' | 'hevc-pps';

/** H.264, table 7-1; H.265, table 7-1: type in the first byte, then layer 0. */
function setKind(first: number, second: number): SetKind | null {
  if (second === 1 && first === 0x40) return 'hevc-vps';
  if (second === 1 && first === 0x42) return 'hevc-sps';
  if (second === 1 && first === 0x44) return 'hevc-pps';
  if (first > 0x7f || first < 0x20) return null;
  if ((first & 0x1f) === 7) return 'avc-sps';
  return (first & 0x1f) === 8 ? 'avc-pps' : null;
}
