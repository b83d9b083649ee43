// What the report says that cameras see is what three.js shows of the same models through the same cameras, in Chromium:
// shares of the frame of every thing, of ground and of where it shoots off, and what hides what.
// usage: node seen_by_three.mjs THREE_FOLDER FOLDER...      (models and the facts beside them, as --json writes them)
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { startChromium } from './chromium.mjs';
import { serve } from './serve.mjs';

const here = path.dirname(fileURLToPath(import.meta.url));

const WIDE_PX = 1600;
const MOST_PERCENT = 0.3; // of the frame

const faults = [];
const worst = {};
const count = { scenes: 0, cameras: 0, planned: 0, bare: 0, shares: 0 };

function compare(where, what, said, shown) {
  const off = Math.abs(said - shown);
  count.shares++;
  worst[what] = Math.max(worst[what] ?? 0, off);
  if (!(off <= MOST_PERCENT)) faults.push(`${where}: ${what} is said to be ${said} % of the frame and is ${shown.toFixed(3)} %`);
}

// A thing's share, what it would fill alone, and how much of that the one hides which hides most of it.
function compareThing(where, said, told, shown) {
  compare(where, 'a share', said.share_percent, 100 * shown.share);
  if (shown.alone === undefined) return;
  compare(where, 'a share alone', said.alone_percent, 100 * shown.alone);
  const most = Object.keys(shown.hidden).reduce((a, b) => ((shown.hidden[a] ?? 0) < shown.hidden[b] ? b : a), '');
  const mostHidden = 100 * (shown.hidden[most] ?? 0);
  const hidden = (told.hidden_percent ?? 0) / 100 * said.alone_percent; // what is hardly hidden is not told
  compare(where, 'a hidden share', hidden, told.behind ? 100 * (shown.hidden[told.behind] ?? 0) : mostHidden);
  compare(where, 'the most hidden share', hidden, mostHidden);
}

function compareCamera(where, camera, said, shown, told) {
  const shares = new Map(shown.things.map((thing) => [thing.name, thing]));
  compare(where, 'ground', said.ground_percent, 100 * shares.get('ground').share);
  compare(where, 'shooting off', said.shoots_off_percent, 100 * shown.bare);
  compare(where, 'shooting off with the spare', said.shoots_off_spare_percent, 100 * shown.bareSpare);
  if (shown.bareSpare > 0) count.bare++;
  const things = shown.things.filter((thing) => !['ground', 'base'].includes(thing.kind));
  const names = (list) => [...list].sort().join(', ');
  if (names(Object.keys(said.things)) !== names(things.map((thing) => thing.name))) {
    faults.push(`${where}: ${names(Object.keys(said.things))} are said to be there, and there are ${names(things.map((t) => t.name))}`);
    return;
  }
  for (const thing of things) compareThing(`${where}, ${thing.name}`, said.things[thing.name], told?.[`thing ${thing.name}`] ?? {}, thing);
  count.cameras++;
  if (camera.planned) count.planned++;
}

async function compareScene(page, url, base) {
  const facts = JSON.parse(fs.readFileSync(`${base}.json`, 'utf8'));
  const name = path.basename(base);
  const spares = Object.fromEntries(facts.seen.map((seen) => [seen.id, seen.spare_percent / 100]));
  const shown = await page.value(`seenIn(${JSON.stringify(`${url}/${name}.glb`)}, ${WIDE_PX}, ${JSON.stringify(spares)})`);
  for (const camera of facts.cameras) {
    const where = `${name}, ${camera.id}`;
    const said = facts.seen.find((seen) => seen.id === camera.id && seen.shot === camera.shot);
    const told = facts.blocks.find((block) => block.kind === 'seen' && block.shot === camera.shot)?.facts;
    if (said && shown[camera.id]) compareCamera(where, camera, said, shown[camera.id], camera.planned ? told : undefined);
    else faults.push(`${where}: ${said ? 'three.js has not this camera' : 'nothing is said'}`);
  }
  count.scenes++;
}

const [three, ...folders] = process.argv.slice(2);
const browser = await startChromium();
const site = await serve({ page: here, three, ...Object.fromEntries(folders.map((folder, i) => [`models${i}`, folder])) });
try {
  const page = await browser.open();
  await page.go(`${site.url}/page/seen.html`);
  if (!await page.value('globalThis.ready')) throw new Error(`the page does not run: ${[...page.said, ...page.faults].join('\n')}`);
  for (const [i, folder] of folders.entries()) {
    for (const file of fs.readdirSync(folder).filter((name) => name.endsWith('.json')).sort()) {
      await compareScene(page, `${site.url}/models${i}`, path.join(folder, file.slice(0, -5)));
    }
  }
  faults.push(...page.faults, ...page.said.filter((said) => said.startsWith('error')));
} finally {
  site.close();
  await browser.close();
}
for (const fault of faults.slice(0, 40)) console.error(fault);
console.log(`${browser.version}: ${count.scenes} scenes, ${count.cameras} cameras, ${count.planned} of them planned, ${count.bare} that shoot off; `
  + `${count.shares} shares; ${faults.length} faults; furthest apart, % of the frame: ${Object.entries(worst).map(([what, off]) => `${what} ${off.toFixed(3)}`).join(', ')}`);
const enough = count.scenes > 14 && count.planned > 15 && count.cameras > 40 && count.bare > 6;
process.exit(faults.length === 0 && enough ? 0 : 1);
