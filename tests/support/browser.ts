import { copyFileSync, mkdirSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import os from 'node:os';
import path from 'node:path';
import { chromium, type Browser } from 'playwright-core';

const require = createRequire(import.meta.url);

/**
 * A headless Chromium and fonts carried by npm, so that tests need no browser and no font of the machine. The package
 * unpacks its libraries only where it believes to run as a cloud function, hence the variable, set before it is loaded.
 */
export async function launchBrowser(): Promise<Browser> {
  process.env['AWS_EXECUTION_ENV'] ??= 'AWS_Lambda_nodejs20.x';
  const temporary = path.join(os.tmpdir(), 'vialapse-browser');
  mkdirSync(temporary, { recursive: true });
  const fonts = path.join(temporary, 'dejavu');
  mkdirSync(fonts, { recursive: true });
  for (const name of ['DejaVuSans.ttf', 'DejaVuSans-Bold.ttf', 'DejaVuSans-Oblique.ttf']) {
    copyFileSync(require.resolve(`dejavu-fonts-ttf/ttf/${name}`), path.join(fonts, name));
  }
  const fontConfig = path.join(temporary, 'fonts.conf');
  writeFileSync(
    fontConfig,
    `<?xml version="1.0"?><fontconfig><dir>${fonts}</dir><cachedir>${temporary}/fontconfig</cachedir></fontconfig>\n`,
  );
  const environment = process.env['TMPDIR'];
  process.env['TMPDIR'] = temporary;
  try {
    const { default: carried } = await import('@sparticuz/chromium');
    return await chromium.launch({
      executablePath: await carried.executablePath(),
      headless: true,
      args: [
        '--no-sandbox',
        '--disable-setuid-sandbox',
        '--disable-gpu',
        '--disable-dev-shm-usage',
        '--font-render-hinting=none',
      ],
      env: { ...process.env, FONTCONFIG_PATH: temporary, FONTCONFIG_FILE: fontConfig },
    });
  } finally {
    if (environment === undefined) delete process.env['TMPDIR'];
    else process.env['TMPDIR'] = environment;
  }
}
