import { open } from 'node:fs/promises';

/** Writes a new file and waits until the disk has it. */
export async function writeFlushed(file: string, content: string | Uint8Array): Promise<void> {
  const handle = await open(file, 'wx');
  try {
    await handle.writeFile(content);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Makes the names in a folder durable. Systems that cannot flush a folder (Windows) do so on their own. */
export async function flushFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    // Some network disks refuse to flush a folder; the files themselves are flushed.
    if (code !== 'EINVAL' && code !== 'ENOTSUP') throw error;
  } finally {
    await handle.close();
  }
}
