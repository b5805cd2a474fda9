// One page of every kind, as it is used without a mouse and at the narrowest: with the Tab key alone every link, field and
// summary is reached, in the order of the page and where it can be seen; and at 320 points across (400 % of 1280) nothing
// has to be scrolled sideways (WCAG 2.2: 2.1.1, 2.1.2, 2.4.3, 2.4.7, 1.4.10). Then the same pages broken by hand: each
// break must be seen.
//
//   node reach.mjs FOLDER      exit 0 clean, 1 at least one failure

import fs from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const folder = path.resolve(process.argv[2]);
const all = fs.readdirSync(folder, { recursive: true }).filter((name) => name.endsWith('.html')).sort();
// A kind is a folder, and whether it is the folder's own list.
const kinds = new Map();
for (const name of all) {
  const parts = name.split('/');
  const kind = `${parts[0]}${parts.length > 2 ? '/a page' : ''}`;
  if (name !== '404.html' && !kinds.has(kind)) kinds.set(kind, name);
}

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });
// A list of hundreds of jobs is looked at from its top.
const MOST = 60;
const FOCUSABLE = 'a[href], button, input, select, textarea, summary, [tabindex="0"]';

async function open(name, width, broken) {
  const tab = await browser.newPage({ viewport: { width, height: 800 }, reducedMotion: 'reduce' });
  await tab.goto(pathToFileURL(path.join(folder, name)).href);
  if (broken) await tab.evaluate(broken);
  return tab;
}

async function narrow(name, broken) {
  const tab = await open(name, 320, broken);
  const width = await tab.evaluate(() => Math.max(document.documentElement.scrollWidth, document.body.scrollWidth));
  await tab.close();
  return width > 320 ? [`${name}: ${width} points wide at 320`] : [];
}

async function keyboard(name, broken) {
  const faults = [];
  const tab = await open(name, 1280, broken);
  const wanted = await tab.evaluate((focusable) => {
    // What stands in a closed part, or is not drawn at all, is not reached and need not be.
    const seen = [...document.querySelectorAll(focusable)].filter((one) =>
      one.checkVisibility({ checkVisibilityCSS: true }) && !one.disabled && one.type !== 'hidden');
    seen.forEach((one, at) => { one.dataset.place = at; });
    return seen.map((one) => one.outerHTML.slice(0, 90));
  }, FOCUSABLE);
  const most = Math.min(wanted.length, MOST);
  const reached = [];
  for (let press = 0; press < (wanted.length > MOST ? MOST : wanted.length + 5); press += 1) {
    await tab.keyboard.press('Tab');
    const at = await tab.evaluate(() => {
      const one = document.activeElement;
      if (!one || one === document.body) return null;
      const box = one.getBoundingClientRect();
      const style = getComputedStyle(one);
      return {
        place: one.dataset.place === undefined ? -1 : Number(one.dataset.place),
        html: one.outerHTML.slice(0, 90),
        inView: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
        marked: style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0,
      };
    });
    if (!at) break;
    if (!at.inView) faults.push(`${name}: out of sight when it has the focus: ${at.html}`);
    if (!at.marked) faults.push(`${name}: not marked when it has the focus: ${at.html}`);
    if (at.place <= (reached.at(-1) ?? -1)) {
      faults.push(`${name}: out of order: ${at.html}`);
      break;
    }
    reached.push(at.place);
  }
  for (const [place, html] of wanted.slice(0, most).entries()) {
    if (!reached.includes(place)) faults.push(`${name}: the Tab key does not reach ${html}`);
  }
  if (!/class="skip"/.test(wanted[0] ?? '')) faults.push(`${name}: the way past the masthead does not come first`);
  // A summary opens with the Enter key.
  const summary = await tab.$('details:not([open]) > summary');
  if (summary) {
    await summary.focus();
    await tab.keyboard.press('Enter');
    if (!await summary.evaluate((one) => one.parentElement.open)) faults.push(`${name}: Enter does not open ${await summary.textContent()}`);
  }
  await tab.close();
  return faults;
}

const failures = [];
for (const name of kinds.values()) {
  failures.push(...await narrow(name), ...await keyboard(name));
}

// Each check has to see what it is for.
const page = kinds.get('write-ups/a page') ?? kinds.values().next().value;
const breaks = [
  ['a part 900 points wide', narrow, () => document.querySelector('main').insertAdjacentHTML('beforeend', '<div style="width:900px">wide</div>')],
  ['a link that the Tab key passes over', keyboard, () => document.querySelector('main').insertAdjacentHTML('beforeend', '<a href="#x" id="passed">x</a><script></script>') || document.addEventListener('focusin', (event) => event.target.id === 'passed' && event.target.blur())],
  ['a link out of order', keyboard, () => { [...document.querySelectorAll('a')].at(-1).tabIndex = 3; }],
  ['a focus without a mark', keyboard, () => document.head.insertAdjacentHTML('beforeend', '<style>:focus-visible { outline: none !important }</style>')],
  ['a link out of sight', keyboard, () => document.querySelector('main').insertAdjacentHTML('afterbegin', '<a href="#x" style="position:fixed;left:-500px">x</a>')],
  ['no way past the masthead', keyboard, () => document.querySelector('.skip').remove()],
];
let seen = 0;
for (const [what, check, broken] of breaks) {
  const faults = await check(page, broken);
  if (faults.length) seen += 1;
  else failures.push(`broken by hand and not seen: ${what}`);
}
await browser.close();

console.log(`reach: ${kinds.size} kinds of page, ${seen} of ${breaks.length} breaks seen, ${failures.length} failures`);
for (const failure of failures.slice(0, 30)) console.log(`  ${failure}`);
process.exit(failures.length ? 1 : 0);
