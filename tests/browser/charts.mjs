// Every chart of the site, without colour, without a mouse and without eyes. Each has a name of its own and says its figures
// in the accessibility tree; a table behind it opens with the Enter key and holds its row; every mark of it stands out from
// the page by light alone, three to one at least (WCAG 2.2: 1.1.1, 1.4.1, 1.4.11, 2.1.1), in our colours and in the
// reader's own, light and dark. Then the same pages broken by hand: each break must be seen.
//
//   node charts.mjs FOLDER      exit 0 clean, 1 at least one failure

import fs from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const folder = path.resolve(process.argv[2]);
// Cards of a list carry the strip of a docket; its table is on the write-up that they lead to.
// Six write-ups show every kind of visit and strip; all would take two minutes.
let writeUps = 0;
const pages = fs.readdirSync(folder, { recursive: true }).filter((name) =>
  /^(how-long|(write-ups|reviews)\/[^/]+)\/index\.html$/.test(name)
  && fs.readFileSync(path.join(folder, name), 'utf8').includes('role="img"')).sort()
  .filter((name) => !name.startsWith('write-ups') || (writeUps += 1) <= 6);
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });

async function open(name, broken, more = {}) {
  const tab = await browser.newPage({ viewport: { width: 360, height: 800 }, ...more });
  await tab.goto(pathToFileURL(path.join(folder, name)).href);
  if (broken) await tab.evaluate(broken);
  return tab;
}

// What a screen reader is told.
async function named(name, broken) {
  const tab = await open(name, broken);
  const drawn = await tab.locator('svg[role=img]').count();
  const session = await tab.context().newCDPSession(tab);
  const { nodes } = await session.send('Accessibility.getFullAXTree');
  const said = nodes.filter((node) => !node.ignored && node.role?.value === 'image').map((node) => node.name?.value ?? '');
  await tab.close();
  // Photos are pictures too, so there may be more of them than charts.
  const faults = said.length < drawn ? [`${name}: ${drawn} charts, ${said.length} pictures in the accessibility tree`] : [];
  for (const [at, words] of said.entries()) {
    if (!/\d|\w{3,} \w/.test(words)) faults.push(`${name}: a picture is called "${words}"`);
    if (said.indexOf(words) !== at) faults.push(`${name}: two pictures are called "${words.slice(0, 60)}"`);
  }
  return faults;
}

async function behind(name, broken) {
  const tab = await open(name, broken);
  const faults = [];
  const summaries = tab.locator('details:has(table) > summary');
  for (let at = 0; at < await summaries.count(); at += 1) {
    const summary = summaries.nth(at);
    await summary.focus();
    await tab.keyboard.press('Enter');
    const details = summary.locator('..');
    if (!await details.locator('table').isVisible()) faults.push(`${name}: Enter does not open "${await summary.textContent()}"`);
  }
  const without = await tab.evaluate(() => [...document.querySelectorAll('svg[role=img]')].flatMap((chart) => {
    // The table is the first that follows the chart, before the next heading.
    const follows = (one) => chart.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING;
    const next = [...document.querySelectorAll('h2, details table')].find(follows);
    if (next?.tagName !== 'TABLE') return [`no table behind "${chart.querySelector('title').textContent}"`];
    const row = chart.closest('.strips li')?.querySelector('b').textContent;
    const rows = [...next.querySelectorAll('tbody th')].map((cell) => cell.textContent);
    return row && !rows.some((cell) => cell.startsWith(row)) ? [`the table behind has no row for "${row}"`] : [];
  }));
  faults.push(...without.map((fault) => `${name}: ${fault}`));
  await tab.close();
  return faults;
}

// A mark's light against that of the page: hues are left out by the reckoning itself.
const marks = () => {
  const light = (colour) => {
    const [r, g, b] = colour.match(/[\d.]+/g).slice(0, 3).map((part) => part / 255).map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (one, other) => (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
  const under = (one) => {
    for (let at = one; at; at = at.parentElement) {
      const colour = getComputedStyle(at).backgroundColor;
      if (!/^rgba.*, 0\)$/.test(colour)) return colour;
    }
    return 'rgb(255, 255, 255)';
  };
  const faults = [];
  for (const chart of document.querySelectorAll('svg[role=img]')) {
    const ground = light(under(chart));
    for (const mark of chart.querySelectorAll('rect, circle, line, path, text')) {
      // Lines of the scale help and need not be seen to read a chart; patterns are what a mark is filled with.
      if (mark.matches('.gr, .ax, defs *')) continue;
      const { fill, stroke, opacity } = getComputedStyle(mark);
      const colours = [mark.tagName === 'line' ? 'none' : fill, stroke].filter((colour) => colour.startsWith('rgb') && !/^rgba.*, 0\)$/.test(colour));
      const least = mark.tagName === 'text' ? 4.5 : 3;
      const best = Math.max(0, ...colours.map((colour) => ratio(light(colour), ground)));
      const filled = /^url/.test(fill);
      if (Number(opacity) < 1 || (best < least && !(filled && !colours.length))) faults.push(`${mark.tagName}.${mark.getAttribute('class')} ${best.toFixed(1)}:1`);
    }
  }
  return [...new Set(faults)];
};

async function seen(name, broken) {
  const faults = [];
  for (const forcedColors of ['none', 'active']) {
    for (const colorScheme of ['light', 'dark']) {
      const tab = await open(name, broken, { forcedColors, colorScheme });
      faults.push(...(await tab.evaluate(marks)).map((fault) => `${name}, ${colorScheme}, forced colours ${forcedColors}: ${fault}`));
      await tab.close();
    }
  }
  return faults;
}

const failures = [];
for (const name of pages) failures.push(...await named(name), ...await behind(name), ...await seen(name));

const page = pages.find((name) => name.startsWith('how-long')) ?? pages[0];
const breaks = [
  ['a chart without a name', named, () => document.querySelector('svg[role=img]').removeAttribute('aria-labelledby') || document.querySelector('svg[role=img] title').remove()],
  ['two charts of one name', named, () => { const [one, other] = document.querySelectorAll('svg[role=img]'); other.setAttribute('aria-labelledby', one.getAttribute('aria-labelledby')); }],
  ['a chart kept from screen readers', named, () => document.querySelector('svg[role=img]').setAttribute('aria-hidden', 'true')],
  ['no table', behind, () => document.querySelectorAll('details').forEach((one) => one.remove())],
  ['a row left out', behind, () => document.querySelector('details tbody tr').remove()],
  ['a table that stays shut', behind, () => document.querySelector('details:has(table) > summary').addEventListener('click', (event) => event.preventDefault())],
  ['marks as light as the page', seen, () => document.head.insertAdjacentHTML('beforeend', '<style>.whisk { stroke: #d8cbb0 !important }</style>')],
  ['marks that go dark with forced colours', seen, () => document.head.insertAdjacentHTML('beforeend', '<style>@media (forced-colors: active) { .med { stroke: #000 !important } }</style>')],
];
let caught = 0;
for (const [what, check, broken] of breaks) {
  if ((await check(page, broken)).length) caught += 1;
  else failures.push(`broken by hand and not seen: ${what}`);
}
await browser.close();

console.log(`charts: ${pages.length} pages, ${caught} of ${breaks.length} breaks seen, ${failures.length} failures`);
for (const failure of failures.slice(0, 30)) console.log(`  ${failure}`);
process.exit(failures.length || !pages.length ? 1 : 0);
