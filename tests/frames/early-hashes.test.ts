import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { earlyHashes } from '../../src/frames/early-hashes.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-hashes-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

// SHA-256 of "abc": FIPS 180-4's example (NIST, "SHA256.pdf" of the Cryptographic Standards examples); from memory.
const ofAbc = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';

test('a hash begun early is that of the file, as is one never begun', async () => {
  const file = path.join(folder, 'abc');
  writeFileSync(file, 'abc');
  const begun = earlyHashes();
  begun.begin(file);
  begun.begin(file);
  expect(await begun.of(file)).toBe(ofAbc);
  expect(await earlyHashes().of(file)).toBe(ofAbc);
});

test('what is stopped reads no further', async () => {
  const file = path.join(folder, 'large');
  writeFileSync(file, Buffer.alloc(32 << 20));
  const hashes = earlyHashes();
  hashes.begin(file);
  hashes.stop();
  await expect(hashes.of(file)).rejects.toThrow(/abort/i);
});
