import { createHash } from 'node:crypto';
import { constants, createReadStream } from 'node:fs';
import { access, stat } from 'node:fs/promises';
import { pipeline } from 'node:stream/promises';

/**
 * SHA-256 of a file's bytes, lower-case hex; streamed, so memory does not grow with the file. What is there by name only
 * (a link to nowhere, a device, a file that may not be read) has no bytes.
 */
export async function hashFile(file: string, signal?: AbortSignal): Promise<string> {
  const hash = createHash('sha256');
  const entry = await stat(file).catch(() => null);
  const readable = await access(file, constants.R_OK).then(
    () => true,
    () => false,
  );
  if (entry?.isFile() !== true || !readable) return hash.digest('hex');
  const options = { highWaterMark: 1 << 20, ...(signal === undefined ? {} : { signal }) };
  await pipeline(createReadStream(file, options), hash);
  return hash.digest('hex');
}
