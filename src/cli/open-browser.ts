import { spawn } from 'node:child_process';

/** How each system opens an address in the user's browser. */
function opener(url: string): readonly [command: string, args: readonly string[]] {
  if (process.platform === 'darwin') return ['open', [url]];
  if (process.platform === 'win32') return ['rundll32', ['url.dll,FileProtocolHandler', url]];
  return ['xdg-open', [url]];
}

/** Opens an address in the user's browser. Resolves to whether that could be tried. */
export function openBrowser(url: string): Promise<boolean> {
  const [command, args] = opener(url);
  return new Promise((resolve) => {
    const child = spawn(command, args, { stdio: 'ignore', detached: true });
    child.once('error', () => resolve(false));
    child.once('spawn', () => {
      child.unref();
      resolve(true);
    });
  });
}
