// The book's page in Debian's Chromium, on a screen and on paper: it shows what there is, links lead somewhere, it is read in
// order by keyboard and screen reader, text stands out, nothing runs. HTML by html-validate (the HTML standard's rules),
// accessibility by axe-core (WCAG 2.2 A and AA, and its own best practice) besides our own reckoning of contrast and order.
// usage: node page_in_chromium.mjs FOLDER...      (what groundrow wrote; poppler-utils reads the prints)
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import { createRequire } from 'node:module';
import os from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { HtmlValidate } from 'html-validate';
import { startChromium } from '../browser/chromium.mjs';
import * as inPage from './in_page.mjs';

const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const MARGIN_IN = 13 / 25.4; // as the style sheet has it

const faults = [];
const count = { pages: 0, images: 0, links: 0, stops: 0, sheets: 0, bought: 0 };
let least = Infinity;

const fault = (where, lines) => { for (const line of [lines].flat()) faults.push(`${where}: ${line}`); };
const run = (page, name, about) => page.value(`(${inPage[name]})(${JSON.stringify(about) ?? ''})`);

async function validate(where, file) {
  const validator = new HtmlValidate({
    extends: ['html-validate:recommended'],
    rules: {
      'long-title': 'off', // a book's title is as long as it is
      'no-inline-style': 'error',
      'valid-id': ['error', { relaxed: true }], // what the HTML standard says: no blanks
      'no-raw-characters': 'off', // a quotation mark in an attribute is told by its delimiter
      'doctype-style': 'off',
      'tel-non-breaking': 'off',
      'prefer-native-element': ['error', { exclude: ['region'] }],
      'no-redundant-for': 'error',
    },
  });
  const report = await validator.validateFile(file);
  for (const result of report.results) fault(where, result.messages.map((m) => `line ${m.line}: ${m.message} (${m.ruleId})`));
}

// Every target is there: files in the folder, anchors as a browser finds them.
async function checkLinks(page, where, folder) {
  const targets = await run(page, 'links');
  count.links += targets.length;
  for (const target of new Set(targets)) {
    if (target.startsWith('#')) {
      const found = await page.value(`(location.hash = ${JSON.stringify(target)}, document.querySelector(':target') !== null)`);
      if (!found) fault(where, `${target} leads nowhere`);
    } else if (!fs.existsSync(path.join(folder, decodeURIComponent(target)))) {
      fault(where, `there is no ${target}`);
    }
  }
  return targets;
}

// All that there is of the book's files is told of.
function checkFiles(where, folder, targets) {
  const told = new Set(targets.map((target) => decodeURIComponent(target)));
  for (const file of fs.readdirSync(folder)) if (file !== 'index.html' && !told.has(file)) fault(where, `${file} is not told of`);
}

// What book.txt says of what to buy, and of each scene's stock, stands in the tables: every number in its row, and the costs add up.
async function checkBuying(page, where, folder) {
  const lines = fs.readFileSync(path.join(folder, 'book.txt'), 'utf8').split('\n');
  for (const [heading, id] of [['to buy', 'to-buy'], ['stock by scene', 'stock-by-scene']]) {
    const table = await run(page, 'rows', id);
    const told = lines.slice(lines.indexOf(heading) + 1);
    told.length = told.findIndex((line) => !line.startsWith('  '));
    if (!lines.includes(heading) || told.length !== table.rows.length) fault(where, `${heading}: ${told.length} lines, ${table.rows.length} rows`);
    told.forEach((line, i) => {
      const [label, numbers] = [line.trim().split(': ')[0], line.slice(line.indexOf(': ')).match(/\d[\d.]*/g)];
      const [head, ...cells] = table.rows[i];
      if (head !== label) fault(where, `${heading}: ${head} for ${label}`);
      const there = cells.join(' ').match(/\d[\d.]*/g).sort();
      if (numbers.sort().join(' ') !== there.join(' ')) fault(where, `${heading}, ${label}: ${there.join(' ')} for ${numbers.join(' ')}`);
    });
    const cost = table.heads.indexOf('Cost');
    if (id === 'to-buy' && cost > 0) {
      const costs = table.rows.map((row) => Number(row[cost].split(';')[0]));
      const sum = costs.slice(0, -1).reduce((a, b) => a + b, 0);
      if (!(Math.abs(sum - costs.at(-1)) < 0.005)) fault(where, `costs add up to ${sum}, not ${costs.at(-1)}`);
    }
    count.bought += table.rows.length;
  }
}

async function checkKeyboard(page, where) {
  const wanted = await run(page, 'reachable');
  await page.value('(document.activeElement.blur(), window.scrollTo(0, 0), getSelection().removeAllRanges(), location.hash = "", 0)');
  for (let i = 0; i < wanted.length; i++) {
    await page.press('Tab');
    const { number, outlined, inSight } = await run(page, 'reached');
    if (number !== i) { fault(where, `Tab ${i + 1} reaches ${number}, not ${i}: ${wanted[i]}`); return; }
    if (!outlined) fault(where, `${wanted[i]}: the focus does not show`);
    if (!inSight) fault(where, `${wanted[i]}: the focus is out of sight`);
  }
  count.stops += wanted.length;
}

async function checkReader(page, where) {
  const told = await page.accessible();
  for (const role of ['banner', 'navigation', 'main', 'contentinfo'])
    if (told.filter((node) => node.role === role).length !== 1) fault(where, `not one ${role}`);
  for (const { role, name } of told)
    if (['link', 'image', 'table', 'region', 'heading', 'navigation', 'columnheader', 'rowheader'].includes(role) && !name.trim())
      fault(where, `${role} without a name`);
  if (!told.some((node) => node.role === 'rowheader') || !told.some((node) => node.role === 'columnheader')) fault(where, 'tables without heads');
}

async function checkAxe(page, where) {
  const found = await page.value(`(${'async'} () => { if (!globalThis.axe) { ${axe}; } return (await axe.run({ runOnly: { type: 'tag', values:
    ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] } })); })()`);
  if (found.passes.length < 10) fault(where, 'axe-core has hardly looked');
  for (const violation of found.violations) fault(where, violation.nodes.map((node) => `${violation.id}: ${violation.help}: ${node.html.slice(0, 120)}`));
}

async function checkContrasts(page, where) {
  const ratios = await run(page, 'contrasts');
  if (Object.keys(ratios).length < 2) fault(where, 'hardly any text');
  for (const [pair, { ratio, text }] of Object.entries(ratios)) {
    least = Math.min(least, ratio);
    if (!(ratio >= 4.5)) fault(where, `${pair}: ${ratio.toFixed(2)} (${text})`);
  }
}

async function checkScreen(browser, name, folder, scheme, width) {
  const where = `${name}, ${scheme}, ${width} px`;
  const page = await browser.open({ width, height: 800 });
  await page.media('screen', { 'prefers-color-scheme': scheme });
  await page.go(pathToFileURL(path.join(folder, 'index.html')).href);
  for (const what of ['images', 'headings', 'scriptless', 'sideways']) fault(where, await run(page, what));
  await checkContrasts(page, where);
  count.images += await page.value('document.images.length');
  checkFiles(where, folder, await checkLinks(page, where, folder));
  await checkBuying(page, where, folder);
  await checkKeyboard(page, where);
  await checkReader(page, where);
  fault(where, [...page.said, ...page.faults]);
  await checkAxe(page, where); // last: it puts itself into the page
}

function poppler(program, ...options) {
  const done = spawnSync(program, options, { encoding: 'utf8' });
  if (done.error || done.status !== 0) throw new Error(`${program}: ${done.error?.message ?? done.stderr}`);
  return done.stdout;
}

// Sizes in inches. A picture that a sheet's end cuts is drawn on both.
async function checkPrint(browser, name, folder, [paperWidth, paperHeight]) {
  const where = `${name}, printed ${paperWidth} x ${paperHeight} in`;
  const page = await browser.open({ width: Math.floor((paperWidth - 2 * MARGIN_IN) * 96), height: 800 });
  await page.media('print', { 'prefers-color-scheme': 'dark' });
  await page.go(pathToFileURL(path.join(folder, 'index.html')).href);
  await checkContrasts(page, where);
  fault(where, await run(page, 'sideways')); // what is too wide would make all of it smaller
  const { images, titles, files } = await page.value(`({ images: document.images.length,
    titles: [...document.querySelectorAll('.scene h2 bdi')].map((title) => title.textContent),
    files: [...document.querySelectorAll('.files a, .book p a')].map((link) => link.getAttribute('href')) })`);
  const work = fs.mkdtempSync(path.join(os.tmpdir(), 'print-'));
  try {
    const file = path.join(work, 'page.pdf');
    fs.writeFileSync(file, await page.pdf({ paperWidth, paperHeight, preferCSSPageSize: false, printBackground: false }));
    const drawn = poppler('pdfimages', '-list', file).split('\n').slice(2).filter((line) => / image /.test(line)).length;
    if (drawn !== images) fault(where, `${images} pictures are drawn ${drawn} times`);
    const sheets = poppler('pdftotext', '-layout', file, '-').split('\f').slice(0, -1);
    const plain = (text) => text.normalize('NFKC').replace(/[^\p{L}\p{N}]/gu, '');
    const tops = sheets.map((sheet) => plain(sheet.trimStart().slice(0, 300)));
    for (const title of titles.filter((text) => /^[\x20-\x7e]*$/.test(text))) // right to left comes out turned
      if (!tops.some((top) => top.startsWith(plain(title).slice(0, 20)))) fault(where, `no sheet begins with ${title}`);
    const whole = plain(sheets.join(''));
    for (const target of files.filter((text) => !text.includes('%')))
      if (!whole.includes(plain(target))) fault(where, `${target} cannot be read`);
    count.sheets += sheets.length;
  } finally {
    fs.rmSync(work, { recursive: true });
  }
}

const browser = await startChromium();
try {
  for (const folder of process.argv.slice(2)) {
    const name = path.basename(folder);
    count.pages++;
    await validate(name, path.join(folder, 'index.html'));
    for (const [scheme, width] of [['light', 1920], ['dark', 1280], ['light', 360], ['dark', 360]]) await checkScreen(browser, name, folder, scheme, width);
    for (const paper of [[8.27, 11.69], [8.5, 11]]) await checkPrint(browser, name, folder, paper);
  }
} finally {
  await browser.close();
}
console.log([...new Set(faults)].join('\n') || `${browser.version}: ${count.pages} pages, ${count.images} images, ${count.links} links, `
  + `${count.stops} stops of the keyboard, ${count.sheets} printed sheets, ${count.bought} rows of stock; the least contrast is ${least.toFixed(2)}`);
process.exit(faults.length || !count.pages ? 1 : 0);
