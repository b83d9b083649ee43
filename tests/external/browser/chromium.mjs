// Debian's Chromium without a window, driven by the DevTools protocol over a pair of pipes: no port, no socket, no
// package. WebGL is drawn by SwiftShader, on the processor, so that pixels do not depend on the machine; no host but this
// one is reachable. Works as root in a minimal container; what it writes goes into a folder of its own, removed on close.
// Protocol: https://chromedevtools.github.io/devtools-protocol/
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

const START_S = 120; // busy machines start it slowly
const ANSWER_S = 120;

const options = (profile) => [
  '--headless=new', '--no-sandbox', '--disable-dev-shm-usage', '--remote-debugging-pipe', `--user-data-dir=${profile}`,
  '--use-angle=swiftshader', '--enable-unsafe-swiftshader', '--force-color-profile=srgb', '--force-device-scale-factor=1',
  '--no-first-run', '--no-proxy-server', '--disable-background-networking', '--disable-component-update', '--disable-sync',
  '--disable-default-apps', '--disable-extensions', '--disable-breakpad', '--no-pings', '--metrics-recording-only',
  '--password-store=basic', '--use-mock-keychain', '--mute-audio', '--hide-scrollbars',
  '--disable-background-timer-throttling', '--disable-renderer-backgrounding', '--disable-backgrounding-occluded-windows',
  '--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1', 'about:blank',
];

// Rejects after so many seconds, saying what was waited for.
function within(seconds, what, promise) {
  let timer;
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new Error(`${what}: no answer within ${seconds} s`)), seconds * 1000);
  });
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}

// What is said over the pipes: JSON messages, each ended by a zero byte.
class Pipe {
  constructor(process) {
    this.out = process.stdio[3];
    this.waiting = new Map();
    this.listeners = new Set();
    this.last = 0;
    let rest = [];
    process.stdio[4].on('data', (chunk) => {
      let end;
      while ((end = chunk.indexOf(0)) >= 0) {
        this.hear(JSON.parse(Buffer.concat([...rest, chunk.subarray(0, end)]).toString('utf8')));
        rest = [];
        chunk = chunk.subarray(end + 1);
      }
      if (chunk.length) rest.push(chunk);
    });
    for (const stream of [process.stdio[3], process.stdio[4]]) stream.on('error', () => {}); // the process tells why it ended
  }

  hear(message) {
    const waiting = this.waiting.get(message.id);
    if (waiting) {
      this.waiting.delete(message.id);
      if (message.error) waiting.reject(new Error(`${waiting.method}: ${message.error.message}`));
      else waiting.resolve(message.result);
    } else {
      for (const listener of [...this.listeners]) listener(message);
    }
  }

  end(error) {
    this.ended = error;
    for (const waiting of this.waiting.values()) waiting.reject(error);
    this.waiting.clear();
  }

  send(method, params = {}, sessionId = undefined, seconds = ANSWER_S) {
    if (this.ended) return Promise.reject(this.ended);
    const id = ++this.last;
    const answer = new Promise((resolve, reject) => this.waiting.set(id, { resolve, reject, method }));
    this.out.write(`${JSON.stringify({ id, method, params, sessionId })}\0`);
    return within(seconds, method, answer).finally(() => this.waiting.delete(id));
  }
}

const thrown = (details) => details.exception?.description ?? `${details.text} ${details.exception?.value ?? ''}`;

// One tab. `said` is what it wrote to its console and what it could not load, `faults` what it threw and did not catch.
class Page {
  static async open(pipe, { width = 1280, height = 800 } = {}) {
    const { targetId } = await pipe.send('Target.createTarget', { url: 'about:blank' });
    const { sessionId } = await pipe.send('Target.attachToTarget', { targetId, flatten: true });
    const page = new Page();
    Object.assign(page, { pipe, targetId, sessionId, said: [], faults: [] });
    pipe.listeners.add((message) => { if (message.sessionId === sessionId) page.hear(message.method, message.params); });
    for (const domain of ['Page', 'Runtime', 'Log', 'Network']) await page.send(`${domain}.enable`);
    await page.size(width, height);
    return page;
  }

  hear(method, params) {
    if (method === 'Runtime.exceptionThrown') this.faults.push(thrown(params.exceptionDetails));
    if (method === 'Runtime.consoleAPICalled') {
      this.said.push(`${params.type}: ${params.args.map((a) => a.value ?? a.description ?? a.type).join(' ')}`);
    }
    if (method === 'Log.entryAdded') this.said.push(`${params.entry.level}: ${params.entry.text} ${params.entry.url ?? ''}`);
    if (method === 'Inspector.targetCrashed') this.pipe.end(new Error('the page crashed'));
    this.listener?.(method, params);
  }

  // Any method of the protocol, for what is not below.
  send(method, params, seconds) { return this.pipe.send(method, params, this.sessionId, seconds); }

  size(width, height) {
    return this.send('Emulation.setDeviceMetricsOverride', { width, height, deviceScaleFactor: 1, mobile: false });
  }

  // Goes to a http: or file: address and waits until all of it is loaded.
  async go(url, seconds = ANSWER_S) {
    const loaded = new Promise((resolve) => {
      this.listener = (method) => { if (method === 'Page.loadEventFired') resolve(); };
    });
    const { errorText } = await this.send('Page.navigate', { url }, seconds);
    if (errorText) throw new Error(`${url}: ${errorText}`);
    await within(seconds, url, loaded);
  }

  // The value of an expression in the page; promises are waited for, errors thrown there are thrown here.
  async value(expression, seconds = ANSWER_S) {
    const { result, exceptionDetails } = await this.send('Runtime.evaluate',
      { expression, awaitPromise: true, returnByValue: true, userGesture: true }, seconds);
    if (exceptionDetails) throw new Error(thrown(exceptionDetails));
    return result.value;
  }

  // Presses a key by its name: 'Tab', 'Enter', 'ArrowDown' ...
  async press(key, { shift = false } = {}) {
    const codes = { Tab: 9, Enter: 13, Escape: 27, ' ': 32, End: 35, Home: 36, ArrowLeft: 37, ArrowUp: 38, ArrowRight: 39, ArrowDown: 40 };
    const event = { key, code: key === ' ' ? 'Space' : key, windowsVirtualKeyCode: codes[key], modifiers: shift ? 8 : 0 };
    const text = { Enter: '\r', ' ': ' ' }[key];
    await this.send('Input.dispatchKeyEvent', { type: text ? 'keyDown' : 'rawKeyDown', ...event, text });
    await this.send('Input.dispatchKeyEvent', { type: 'keyUp', ...event });
  }

  // What a screen reader is told: the nodes of the accessibility tree in reading order, {role, name, level, ...}.
  async accessible() {
    await this.send('Accessibility.enable');
    const { nodes } = await this.send('Accessibility.getFullAXTree');
    const byId = new Map(nodes.map((node) => [node.nodeId, node]));
    const told = [];
    const walk = (node) => {
      if (!node.ignored) {
        const more = Object.fromEntries((node.properties ?? []).map((p) => [p.name, p.value.value]));
        told.push({ ...more, role: node.role?.value, name: node.name?.value ?? '', description: node.description?.value });
      }
      for (const id of node.childIds ?? []) if (byId.has(id)) walk(byId.get(id));
    };
    for (const node of nodes) if (node.parentId === undefined) walk(node);
    return told;
  }

  // 'screen' or 'print'; more as {'prefers-color-scheme': 'dark'}.
  media(media, features = {}) {
    return this.send('Emulation.setEmulatedMedia',
      { media, features: Object.entries(features).map(([name, value]) => ({ name, value })) });
  }

  async pdf(params = {}) { return Buffer.from((await this.send('Page.printToPDF', params)).data, 'base64'); }

  async png({ whole = false } = {}) {
    const shot = await this.send('Page.captureScreenshot', { format: 'png', captureBeyondViewport: whole, ...(whole ? { clip: await this.extent() } : {}) });
    return Buffer.from(shot.data, 'base64');
  }

  async extent() {
    const { cssContentSize } = await this.send('Page.getLayoutMetrics');
    return { ...cssContentSize, scale: 1 };
  }
}

// Starts Chromium; no Chromium, or one that does not answer, is an error. Close it in the end: also its profile goes then.
export async function startChromium() {
  const profile = fs.mkdtempSync(path.join(os.tmpdir(), 'chromium-'));
  const child = spawn('chromium', options(profile), {
    detached: true, // a group of its own: its many processes end together
    stdio: ['ignore', 'ignore', 'pipe', 'pipe', 'pipe'],
    env: { ...process.env, HOME: profile, XDG_CONFIG_HOME: profile, XDG_CACHE_HOME: profile, DBUS_SESSION_BUS_ADDRESS: 'disabled:' },
  });
  let heard = '';
  child.stderr.on('data', (chunk) => { heard = (heard + chunk).slice(-4000); });
  const pipe = new Pipe(child);
  const gone = new Promise((resolve) => {
    const ended = (why) => { pipe.end(new Error(why)); resolve(); };
    child.on('error', (error) => ended(`Chromium does not start: ${error.message}`));
    child.on('exit', (code, signal) => setTimeout(() => ended(`Chromium ended (${signal ?? code}):\n${heard}`), 50));
  });
  const end = () => {
    if (child.pid) try { process.kill(-child.pid, 'SIGKILL'); } catch { /* it is gone already */ }
    fs.rmSync(profile, { recursive: true, force: true, maxRetries: 20, retryDelay: 100 });
  };
  const interrupted = () => process.exit(1);
  process.once('exit', end);
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.once(signal, interrupted);

  const browser = {
    open: (size) => Page.open(pipe, size),
    async close() {
      await pipe.send('Browser.close', {}, undefined, 10).catch(() => {});
      await within(10, 'closing Chromium', gone).catch(() => {});
      end();
      process.removeListener('exit', end);
      for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.removeListener(signal, interrupted);
    },
  };
  try {
    browser.version = (await pipe.send('Browser.getVersion', {}, undefined, START_S)).product;
  } catch (error) {
    await browser.close();
    throw error;
  }
  return browser;
}
