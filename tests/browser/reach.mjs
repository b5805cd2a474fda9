// One page of every kind, as it is used without a mouse and at the narrowest: with the Tab key alone every link, field and
// summary is reached, in the order of the page and where it can be seen; and at 320 points across (400 % of 1280) nothing
// has to be scrolled sideways (WCAG 2.2: 2.1.1, 2.1.2, 2.4.3, 2.4.7, 1.4.10). axe looks at it in the reader's own colours as
// well as in ours; where less motion is asked for, nothing moves; a film asks nothing of its host until it is followed. All
// of it from disk, with no server. Then the same pages broken by hand: each break must be seen.
//
//   node reach.mjs FOLDER      exit 0 clean, 1 at least one failure

import fs from 'node:fs';
import path from 'node:path';
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
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

async function open(name, width, broken, more = {}) {
  const tab = await browser.newPage({ viewport: { width, height: 800 }, reducedMotion: 'reduce', ...more });
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

async function coloured(name, broken) {
  const faults = [];
  for (const forcedColors of ['none', 'active']) {
    const tab = await open(name, 360, broken, { forcedColors });
    await tab.evaluate(axe);
    const { violations } = await tab.evaluate(() => window.axe.run(document, { rules: { 'target-size': { enabled: true } } }));
    for (const one of violations) faults.push(`${name}, forced colours ${forcedColors}: ${one.id}: ${one.nodes[0].target.join(' ')}`);
    await tab.close();
  }
  return faults;
}

async function still(name, broken) {
  const tab = await open(name, 1280, broken);
  const moves = await tab.evaluate(() => [...document.querySelectorAll('*')].filter((one) => {
    const style = getComputedStyle(one);
    const long = (durations) => durations.split(',').some((duration) => parseFloat(duration) > 0.01);
    return style.scrollBehavior === 'smooth' || long(style.transitionDuration) || (style.animationName !== 'none' && long(style.animationDuration));
  }).map((one) => one.outerHTML.slice(0, 60)));
  await tab.close();
  return moves.slice(0, 3).map((one) => `${name}: moves where less motion is asked for: ${one}`);
}

// A film's page is scrolled and all of it opened; then the film is followed.
async function film(name, broken) {
  const faults = [];
  const context = await browser.newContext({ viewport: { width: 360, height: 740 } });
  const away = [];
  await context.route(/^https?:/, (route) => { away.push(route.request().url()); return route.fulfill({ body: '' }); });
  const tab = await context.newPage();
  await tab.goto(pathToFileURL(path.join(folder, name)).href);
  if (broken) await tab.evaluate(broken);
  await tab.evaluate(() => document.querySelectorAll('details').forEach((one) => { one.open = true; }));
  const reel = tab.locator('a.reel').first();
  await reel.hover();
  await tab.mouse.wheel(0, 20000);
  await tab.waitForLoadState('networkidle');
  if (away.length) faults.push(`${name}: asks for ${away[0]} before the film is followed`);
  const address = await reel.getAttribute('href');
  await reel.click();
  await tab.waitForURL(address);
  if (!away.includes(address)) faults.push(`${name}: the film leads to ${away}`);
  await context.close();
  return faults;
}

const failures = [];
const films = all.filter((name) => fs.readFileSync(path.join(folder, name), 'utf8').includes('class="reel"'));
for (const name of kinds.values()) {
  failures.push(...await narrow(name), ...await keyboard(name), ...await coloured(name), ...await still(name));
}
for (const name of films) failures.push(...await film(name));

// Each check has to see what it is for.
const page = kinds.get('write-ups/a page') ?? kinds.values().next().value;
const breaks = [
  ['a part 900 points wide', narrow, () => document.querySelector('main').insertAdjacentHTML('beforeend', '<div style="width:900px">wide</div>')],
  ['a link that the Tab key passes over', keyboard, () => document.querySelector('main').insertAdjacentHTML('beforeend', '<a href="#x" id="passed">x</a><script></script>') || document.addEventListener('focusin', (event) => event.target.id === 'passed' && event.target.blur())],
  ['a link out of order', keyboard, () => { [...document.querySelectorAll('a')].at(-1).tabIndex = 3; }],
  ['a focus without a mark', keyboard, () => document.head.insertAdjacentHTML('beforeend', '<style>:focus-visible { outline: none !important }</style>')],
  ['a link out of sight', keyboard, () => document.querySelector('main').insertAdjacentHTML('afterbegin', '<a href="#x" style="position:fixed;left:-500px">x</a>')],
  ['a picture without words', coloured, () => document.querySelector('main').insertAdjacentHTML('beforeend', '<img src="data:," width="9" height="9">')],
  ['words that forced colours lose', coloured, () => document.querySelector('main').insertAdjacentHTML('beforeend', '<style>@media (forced-colors: active) { .lost { forced-color-adjust: none; color: #777; background: #888 } }</style><p class="lost">Lost words</p>')],
  ['a part that fades', still, () => { document.querySelector('main').style.transition = 'opacity 1s'; }],
  ['a page that glides', still, () => { document.documentElement.style.scrollBehavior = 'smooth'; }],
  ['no way past the masthead', keyboard, () => document.querySelector('.skip').remove()],
];
if (films.length) {
  breaks.push(['a picture from the film\'s host', film, () => document.querySelector('main').insertAdjacentHTML('beforeend', '<img src="https://films.example.com/still.jpg" alt="">')]);
}
let seen = 0;
for (const [what, check, broken] of breaks) {
  const faults = await check(check === film ? films[0] : page, broken);
  if (faults.length) seen += 1;
  else failures.push(`broken by hand and not seen: ${what}`);
}
await browser.close();

console.log(`reach: ${kinds.size} kinds of page, ${films.length} with a film, ${seen} of ${breaks.length} breaks seen, ${failures.length} failures`);
for (const failure of failures.slice(0, 30)) console.log(`  ${failure}`);
process.exit(failures.length ? 1 : 0);
