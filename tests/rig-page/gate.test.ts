import { request, type IncomingHttpHeaders } from 'node:http';
import os from 'node:os';
import { connect } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sameToken } from '../../src/rig-page/server/gate.ts';
import { bodyLimit } from '../../src/rig-page/server/read-body.ts';
import { serveDrawn, type Served } from './serve.ts';

interface Answer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

let served: Served;
beforeAll(async () => {
  served = await serveDrawn();
});
afterAll(() => served.server.close());

function ask(path: string, headers: Record<string, string> = {}, method = 'GET', body = ''): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const sent = request({ host: '127.0.0.1', port: served.server.port, path, method, headers }, (response) => {
      let text = '';
      response.on('data', (part: Buffer) => (text += part.toString()));
      response.on('end', () => resolve({ status: response.statusCode ?? 0, headers: response.headers, body: text }));
    });
    sent.on('error', reject);
    sent.end(body);
  });
}

const token = (): Record<string, string> => ({ 'x-vialapse-token': served.server.token });
const own = (): Record<string, string> => ({
  ...token(),
  origin: `http://127.0.0.1:${served.server.port}`,
  'content-type': 'application/json',
});

describe('the server lets no one in', () => {
  it('listens on the loopback interface only, on a port of the system’s choice', async () => {
    expect(served.server.port).toBeGreaterThan(1023);
    const outside = Object.values(os.networkInterfaces())
      .flat()
      .filter((one) => one !== undefined && !one.internal && one.family === 'IPv4');
    for (const one of outside) {
      const reached = await new Promise<boolean>((resolve) => {
        const socket = connect({ host: one!.address, port: served.server.port, timeout: 500 });
        const done = (value: boolean): void => {
          socket.destroy();
          resolve(value);
        };
        socket.on('connect', () => done(true));
        socket.on('error', () => done(false));
        socket.on('timeout', () => done(false));
      });
      expect(reached).toBe(false);
    }
  });

  it('answers nothing without the token, whatever is asked', async () => {
    for (const path of ['/', '/start', '/frame?index=0', '/page.js', '/style.css', '/alive', '/?token=wrong']) {
      expect((await ask(path)).status, path).toBe(401);
    }
    expect((await ask('/start', { cookie: `vialapse-rig-${served.server.port}=guess` })).status).toBe(401);
    expect((await ask(`/start?token=${served.server.token}`)).status).toBe(401);
    expect((await ask('/start', token())).status).toBe(200);
  });

  it('gives the token to its own page as a cookie that no script reads and no other site sends', async () => {
    const opened = await ask(`/?token=${served.server.token}`);
    const cookie = opened.headers['set-cookie']?.[0] ?? '';
    expect(cookie).toMatch(/; HttpOnly; SameSite=Strict; Path=\/$/u);
    expect((await ask('/start', { cookie: cookie.split(';')[0]! })).status).toBe(200);
  });

  it('takes a launch address once', async () => {
    const url = new URL(served.server.launchUrl());
    expect((await ask(url.pathname + url.search)).status).toBe(200);
    expect((await ask(url.pathname + url.search)).status).toBe(401);
  });

  it('compares tokens of any length without throwing', () => {
    expect(sameToken('a', 'a')).toBe(true);
    expect(sameToken('', 'a')).toBe(false);
    expect(sameToken('a'.repeat(9999), 'a')).toBe(false);
  });

  it('refuses a foreign Host, so that a rebound name reaches nothing', async () => {
    for (const host of ['evil.example', `localhost:${served.server.port}`, `evil.example:${served.server.port}`]) {
      expect((await ask('/start', { ...token(), host })).status, host).toBe(421);
    }
  });

  it('refuses reads and writes of other origins, other ports of this machine included', async () => {
    const foreign = ['http://evil.example', 'null', 'http://127.0.0.1:1', `https://127.0.0.1:${served.server.port}`];
    for (const origin of foreign) {
      expect((await ask('/start', { ...token(), origin })).status, origin).toBe(403);
      expect((await ask('/save', { ...own(), origin }, 'POST', '{}')).status, origin).toBe(403);
    }
    expect((await ask('/start', { ...token(), 'sec-fetch-site': 'same-site' })).status).toBe(403);
    const { 'content-type': type, ...rest } = own();
    expect((await ask('/save', { ...token(), 'content-type': type! }, 'POST', '{}')).status).toBe(403);
    expect((await ask('/save', { ...rest, 'content-type': 'text/plain' }, 'POST', '{}')).status).toBe(415);
  });

  it('allows no other page to read or frame it, and itself nothing from elsewhere', async () => {
    const { headers } = await ask('/start', token());
    expect(headers['access-control-allow-origin']).toBeUndefined();
    expect(headers['content-security-policy']).toContain("default-src 'none'");
    expect(headers['content-security-policy']).toContain("frame-ancestors 'none'");
    expect(headers['content-security-policy']).not.toMatch(/unsafe|https?:/u);
    expect(headers).toMatchObject({
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-resource-policy': 'same-origin',
      'cache-control': 'no-store',
    });
    expect((await ask('/start', own(), 'OPTIONS')).status).toBe(405);
  });

  it('serves the frames of its source and its own files, nothing else', async () => {
    expect((await ask('/frame?index=3', token())).headers['content-type']).toBe('image/jpeg');
    for (const index of ['-1', '40', '1.5', 'x', '', '%2e%2e', '1e1']) {
      expect((await ask(`/frame?index=${index}`, token())).status, index).toBe(400);
    }
    for (const path of [
      '/../package.json',
      '/..%2fpackage.json',
      '/index.html',
      '/rig.json',
      '//etc/passwd',
      '/server/',
    ]) {
      expect((await ask(path, token())).status, path).toBe(404);
    }
  });

  it('takes no large body, said or not, and no body that is no JSON', async () => {
    const large = 'x'.repeat(bodyLimit + 1);
    expect((await ask('/readings', own(), 'POST', large).catch(() => ({ status: 413 }))).status).toBe(413);
    const chunked = { ...own(), 'transfer-encoding': 'chunked' };
    expect((await ask('/readings', chunked, 'POST', large).catch(() => ({ status: 413 }))).status).toBe(413);
    for (const body of ['', '{', '[]', 'null', '3'])
      expect((await ask('/readings', own(), 'POST', body)).status).toBe(400);
    const bad = JSON.stringify({ frame: 0, regions: [{ id: '../x', shape: 'rect', x: 0, y: 0, width: 1, height: 1 }] });
    expect((await ask('/readings', own(), 'POST', bad)).status).toBe(400);
    expect((await ask('/start', token())).status).toBe(200);
  });

  it('ends when its page has gone, but not while the page is loaded again', async () => {
    const short = await serveDrawn({ graceMs: 300 });
    const headers = { 'x-vialapse-token': short.server.token };
    let ended = false;
    void short.server.ended.then(() => (ended = true));
    const attend = (): Promise<() => void> =>
      new Promise((resolve) => {
        const sent = request({ host: '127.0.0.1', port: short.server.port, path: '/alive', headers }, (response) => {
          response.resume();
          response.on('error', () => {});
          resolve(() => sent.destroy());
        });
        sent.on('error', () => {});
        sent.end();
      });
    (await attend())();
    await new Promise((resolve) => setTimeout(resolve, 50));
    const leave = await attend();
    await new Promise((resolve) => setTimeout(resolve, 450));
    expect(ended).toBe(false);
    leave();
    await short.server.ended;
    await expect(
      new Promise((resolve, reject) => {
        request({ host: '127.0.0.1', port: short.server.port, path: '/', headers }, resolve).on('error', reject).end();
      }),
    ).rejects.toThrow();
  });
});
