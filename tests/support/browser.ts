import { mkdirSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { chromium, type Browser } from 'playwright-core';

/**
 * A headless Chromium carried by npm, so that tests need no browser of the machine. The package unpacks its libraries
 * only where it believes to run as a cloud function, hence the variable, which must be set before it is loaded.
 */
export async function launchBrowser(): Promise<Browser> {
  process.env['AWS_EXECUTION_ENV'] ??= 'AWS_Lambda_nodejs20.x';
  const temporary = path.join(os.tmpdir(), 'vialapse-browser');
  mkdirSync(temporary, { recursive: true });
  process.env['TMPDIR'] = temporary;
  const { default: carried } = await import('@sparticuz/chromium');
  return chromium.launch({
    executablePath: await carried.executablePath(),
    headless: true,
    args: [
      '--no-sandbox',
      '--disable-setuid-sandbox',
      '--disable-gpu',
      '--disable-dev-shm-usage',
      '--font-render-hinting=none',
    ],
  });
}
