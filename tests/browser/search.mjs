// The search page in a real browser: from a server under a path, from disk with no connection, without JavaScript; by
// keyboard alone; on a long site, with a processor slowed down to a cheap phone's. And the script's words held against
// the program's: all that the demo's pages say, folded by the script, stands in the index that the program made.
//
//   node search.mjs SITE LONG [SHOTS]      exit 0 clean, 1 at least one failure
//
// SITE: the demo's site. LONG: a search folder's site of 2,000 pages, left by tests/search_index.rs. Pictures go to
// SHOTS if given.

import fs from 'node:fs';
import http from 'node:http';
import path from 'node:path';
import zlib from 'node:zlib';
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { parse } from 'parse5';
import { chromium } from 'playwright-core';

const [site, long, shots] = process.argv.slice(2).map((name) => path.resolve(name));
const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const failures = [];
const expect = (fine, what) => { if (!fine) failures.push(what); };
const same = (have, want, what) => expect(JSON.stringify(have) === JSON.stringify(want), `${what}: ${JSON.stringify(have)} where ${JSON.stringify(want)} was wanted`);

const TYPES = { html: 'text/html', js: 'text/javascript', css: 'text/css', svg: 'image/svg+xml', woff2: 'font/woff2' };
const serve = (root) => new Promise((ready) => {
  const server = http.createServer((request, response) => {
    let file = path.join(root, decodeURIComponent(new URL(request.url, 'http://x').pathname.replace(/^\/diary\//, '/')));
    if (file.endsWith('/')) file += 'index.html';
    if (!fs.existsSync(file)) { response.writeHead(404); return response.end(); }
    let body = fs.readFileSync(file);
    const head = { 'content-type': `${TYPES[path.extname(file).slice(1)] ?? 'text/plain'}; charset=utf-8`, 'cache-control': 'max-age=600' };
    if (!file.endsWith('.woff2')) { body = zlib.gzipSync(body); head['content-encoding'] = 'gzip'; }
    response.writeHead(200, { ...head, 'content-length': body.length });
    response.end(body);
  });
  server.listen(0, '127.0.0.1', () => ready({ server, root: `http://127.0.0.1:${server.address().port}/diary/` }));
});

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'] });
const errors = (tab) => {
  tab.on('pageerror', (error) => failures.push(`an error on the page: ${error}`));
  tab.on('console', (line) => { if (line.type() === 'error') failures.push(`on the console: ${line.text()}`); });
};
async function open(address, more = {}) {
  const { width = 360, ...options } = more;
  const context = await browser.newContext({ viewport: { width, height: 740 }, reducedMotion: 'reduce', ...options });
  const tab = await context.newPage();
  tab.setDefaultTimeout(5000);
  errors(tab);
  await tab.goto(address);
  return tab;
}
const titles = (tab) => tab.locator('#results li > a').allInnerTexts();
const said = (tab) => tab.locator('#said').innerText();
// Types into the field, and waits for what is said to be about it.
async function look(tab, words) {
  await tab.locator('#said').evaluate((place) => { place.textContent = ''; });
  await tab.getByLabel('Words to look for').fill(words);
  await tab.waitForFunction(() => document.getElementById('said').textContent !== '');
  return titles(tab);
}
const shot = async (tab, name) => { if (shots) await tab.screenshot({ path: path.join(shots, `${name}.png`), fullPage: true }); };

const script = fs.statSync(path.join(site, 'search/search.js')).size;
expect(script < 8000, `the script has ${script} bytes`);

const demo = await serve(site);
const page = demo.root + 'search/';

// ---- what is found
{
  const tab = await open(page);
  expect(await tab.getByRole('heading', { name: 'Subjects' }).isVisible(), 'the subjects are not shown before a search');
  const upper = await look(tab, 'RCBO');
  expect(upper.length > 0, 'RCBO is on no page');
  for (const link of await tab.locator('#results a').evaluateAll((all) => all.map((a) => a.href))) {
    expect(/\bRCBOs?\b/i.test(await (await fetch(link)).text()), `RCBO: ${link} has none`);
  }
  expect(!(await tab.locator('#subjects').isVisible()), 'the subjects stay below the results');
  same(await look(tab, 'rcbo'), upper, 'rcbo');
  same(await look(tab, 'RCBOs'), upper, 'RCBOs');
  const one = await look(tab, 'battery');
  same(await look(tab, 'batteries'), one, 'a plural and its word');
  expect(one.length > 0, 'battery is on no page');
  const isolator = await look(tab, 'isolator');
  same(await look(tab, 'isolatro'), isolator, 'two letters swapped');
  expect((await said(tab)).includes('Nothing is spelt “isolatro”; the nearest is “isolator”.'), `near: ${await said(tab)}`);
  same(await look(tab, 'islator'), isolator, 'a letter left out');
  const units = await look(tab, '4 mm2');
  expect(units.length > 0, '4 mm2 is on no page');
  same(await look(tab, '4mm²'), units, '4mm²');
  const subject = await look(tab, 'bonding');
  same(subject[0], 'bonding', 'the subject of that name');
  same(await tab.locator('#results mark').first().innerText(), 'bonding', 'the marked word');
  await look(tab, 'the of');
  expect((await said(tab)).includes('too common'), `common words: ${await said(tab)}`);
  same(await look(tab, 'zzyzx'), [], 'a word of no page');
  expect((await said(tab)).startsWith('No page has “zzyzx”'), `no page: ${await said(tab)}`);
  expect(await tab.locator('#subjects').isVisible(), 'the subjects do not come back where nothing is found');
  await look(tab, '<img src=x onerror=alert(1)>');
  await look(tab, 'zz<img src=x>zz');
  same(await tab.locator('main img').count(), 0, 'markup that was typed became a picture');
  await tab.context().close();
}

// ---- every title comes before every text: the marked word stands in the title of the first, and of none after one without
{
  const tab = await open(page);
  for (const word of ['fuse', 'board', 'earthing', 'pump']) {
    await look(tab, word);
    while (await tab.locator('#more').isVisible()) {
      const before = (await titles(tab)).length;
      await tab.locator('#more').click();
      await tab.waitForFunction((n) => document.querySelectorAll('#results li').length > n, before);
    }
    const inTitle = await tab.locator('#results li > a').evaluateAll((all, w) => all.map((a) => [...a.querySelectorAll('mark')].some((m) => m.textContent.toLowerCase().replace(/s$/, '') === w)), word);
    expect(inTitle[0], `${word}: the first has it in no title`);
    same(inTitle.lastIndexOf(true) + 1, inTitle.filter(Boolean).length, `${word}: titles that have it come first`);
  }
  await tab.context().close();
}

// ---- by keyboard alone, and the address
{
  const tab = await open(demo.root);
  await tab.keyboard.press('Tab');
  while (await tab.evaluate(() => document.activeElement.textContent) !== 'Search') await tab.keyboard.press('Tab');
  await tab.keyboard.press('Enter');
  await tab.waitForURL('**/search/');
  for (let n = 0; await tab.evaluate(() => document.activeElement.id) !== 'words' && n < 20; n++) await tab.keyboard.press('Tab');
  await tab.keyboard.type('neutral');
  await tab.keyboard.press('Enter');
  await tab.waitForSelector('#results li');
  same(new URL(tab.url()).search, '?q=neutral', 'the address after Enter');
  same(await tab.evaluate(() => document.activeElement.id), 'words', 'the focus after Enter');
  same(await tab.locator('#said').getAttribute('role'), 'status', 'what is said aloud');
  const found = await titles(tab);
  await tab.keyboard.press('Tab');
  await tab.keyboard.press('Tab');
  same(await tab.evaluate(() => document.activeElement.textContent), found[0], 'two steps from the field');
  await tab.keyboard.press('Enter');
  await tab.waitForURL((url) => !url.pathname.includes('/search/'));
  same(await tab.locator('h1').innerText(), found[0], 'the page that Enter opens');
  await tab.goBack();
  await tab.waitForSelector('#results li');
  same(await titles(tab), found, 'back from a result');
  const more = tab.locator('#more');
  if (await more.isVisible()) {
    await more.focus();
    await tab.keyboard.press('Enter');
    await tab.waitForFunction(() => document.querySelectorAll('#results li').length > 10);
    same(await tab.evaluate(() => document.activeElement === document.querySelectorAll('#results li > a')[10]), true, 'the focus after more');
  } else failures.push('neutral has no more than ten results: take a commoner word for this check');
  // Back through two searches.
  await look(tab, 'fuse');
  await tab.keyboard.press('Enter');
  await tab.getByLabel('Words to look for').fill('pump');
  await tab.getByLabel('Words to look for').press('Enter');
  await tab.waitForFunction(() => document.title.startsWith('pump'));
  await tab.goBack();
  await tab.waitForFunction(() => document.title.startsWith('fuse'));
  same(await tab.getByLabel('Words to look for').inputValue(), 'fuse', 'the field after Back');
  await tab.context().close();
  const linked = await open(page + '?q=RCBO');
  await linked.waitForSelector('#results li');
  expect((await titles(linked)).length > 0, 'a linked search');
  await linked.context().close();
}

// ---- without JavaScript; forced colours; on paper
{
  const tab = await open(page, { javaScriptEnabled: false });
  expect(await tab.getByRole('heading', { name: 'Subjects' }).isVisible(), 'no subjects without JavaScript');
  expect(await tab.locator('#subjects a').count() > 3, 'no subject to follow without JavaScript');
  expect(!(await tab.locator('#search').isVisible()), 'a form that cannot work is shown');
  expect((await tab.locator('noscript p').innerText()).includes('JavaScript'), 'it is not said why');
  await shot(tab, 'no-script');
  await tab.context().close();
}
for (const width of [360, 1280]) {
  for (const colorScheme of ['light', 'dark']) {
    for (const forcedColors of ['none', 'active']) {
      const tab = await open(`${page}?q=neutral`, { width, colorScheme, forcedColors });
      await tab.waitForSelector('#results li');
      const name = `${width}-${colorScheme}${forcedColors === 'none' ? '' : '-forced'}`;
      await shot(tab, name);
      const wide = await tab.evaluate(() => document.documentElement.scrollWidth);
      expect(wide <= width, `${name}: ${wide} pixels wide`);
      await tab.evaluate(axe);
      for (const query of ['neutral', 'zzyzx', '']) {
        if (query) await look(tab, query);
        else await tab.getByLabel('Words to look for').fill('');
        const { violations } = await tab.evaluate(() => window.axe.run(document, { rules: { 'target-size': { enabled: true } } }));
        for (const one of violations) failures.push(`${name} “${query}”: ${one.id} (${one.impact}): ${one.nodes[0].target.join(' ')}`);
      }
      await shot(tab, `${name}-before`);
      await tab.context().close();
    }
  }
}
{
  const tab = await open(`${page}?q=neutral`);
  await tab.waitForSelector('#results li');
  await tab.emulateMedia({ media: 'print' });
  expect(!(await tab.locator('#search').isVisible()) && await tab.locator('#results li').first().isVisible(), 'on paper: the form, or no results');
  await shot(tab, 'print');
  await tab.context().close();
}

// ---- without a connection: from disk all of it, from a server what was loaded
{
  // The font is a file that the page may not ask for from disk; the console says so, and letters come from the machine.
  const tab = await browser.newPage({ viewport: { width: 360, height: 740 } });
  tab.on('pageerror', (error) => failures.push(`from disk: ${error}`));
  await tab.context().setOffline(true);
  tab.on('request', (request) => { if (!request.url().startsWith('file:')) failures.push(`from disk: asks for ${request.url()}`); });
  await tab.goto(pathToFileURL(path.join(site, 'search/index.html')).href + '?q=rcbo');
  await tab.waitForSelector('#results li');
  expect((await look(tab, 'isolatro')).length > 0, 'from disk: near spellings');
  const link = await tab.locator('#results li > a').first().evaluate((a) => a.href);
  expect(fs.existsSync(new URL(link)), `from disk: ${link} is no file`);
  await tab.context().close();
}
{
  const context = await browser.newContext({ viewport: { width: 360, height: 740 } });
  const tab = await context.newPage();
  tab.setDefaultTimeout(5000);
  await tab.goto(page);
  const first = await look(tab, 'rcbo');
  await context.setOffline(true);
  same(await look(tab, 'rcbo'), first, 'without a connection, what was loaded');
  await look(tab, 'board');
  const words = await said(tab);
  if (!words.includes('did not load')) expect(words.includes('found'), `without a connection: ${words}`);
  await context.setOffline(false);
  expect((await look(tab, 'board ')).length > 0, 'the connection back: nothing found');
  await context.close();
}

// ---- the script's words are the program's
{
  const index = {};
  globalThis.daywork = (name, value) => { index[name] = value; };
  const folder = path.join(site, 'search');
  for (const name of fs.readdirSync(folder)) if (/^(words|pages)-/.test(name)) (0, eval)(fs.readFileSync(path.join(folder, name), 'utf8'));
  const numbered = (kind) => Object.keys(index).filter((name) => name.startsWith(kind)).sort((a, b) => a.length - b.length || (a < b ? -1 : 1)).map((name) => index[name]);
  const pages = numbered('pages').flat();
  const held = pages.map(() => new Set());
  for (const row of numbered('words').flatMap((text) => text.split(','))) {
    const [word, postings] = row.split(':');
    let at = -1;
    for (const [, way] of postings.matchAll(/(\d+)[a-o]/g)) held[at += +way].add(word);
  }
  const attribute = (node, name) => node.attrs?.find((one) => one.name === name)?.value ?? '';
  // What has a class or an id of the sheets', the page adds by itself: tables of readings, times, marks of notes.
  const typed = (node) => !attribute(node, 'id').startsWith('h_') && ['', 'lead', 'wide'].includes(attribute(node, 'class')) && !['details', 'section', 'svg'].includes(node.tagName);
  const text = (node) => node.nodeName === '#text' ? node.value : (node.childNodes ?? []).filter(typed).map(text).join('');
  const find = (node, fits) => fits(node) ? node : (node.childNodes ?? []).map((child) => find(child, fits)).find(Boolean);
  const tab = await open(page);
  let checked = 0;
  for (const [at, [title, link]] of pages.entries()) {
    const tree = parse(fs.readFileSync(path.join(site, link, 'index.html'), 'utf8'));
    const blocks = [title];
    // Block by block: no word goes on from one to the next.
    const walk = (node) => {
      for (const child of (node?.childNodes ?? []).filter(typed)) {
        if (['p', 'td', 'th', 'h2', 'h3'].includes(child.tagName)) blocks.push(text(child));
        else walk(child);
      }
    };
    walk(find(tree, (node) => attribute(node, 'class').split(' ').includes('text')));
    const words = await tab.evaluate((all) => all.flatMap((one) => daywork.fold(one)), blocks);
    for (const word of words) if (!held[at].has(word)) failures.push(`${link}: the script makes “${word}”, and the index has no such word there`);
    checked += words.length;
  }
  expect(checked > 5000, `only ${checked} words of the demo were held against the index`);
  const rows = fs.readFileSync('folding.tsv', 'utf8').trimEnd().split('\n').filter((row) => !row.startsWith('#')).map((row) => row.split('\t'));
  for (const [written, wanted] of rows) same((await tab.evaluate((one) => daywork.fold(one), written)).join(' '), wanted, `the script's words of ${written}`);
  console.log(`search: ${checked} words of ${pages.length} pages folded alike by script and program`);
  await tab.context().close();
}

// ---- 2,000 pages on a slow phone
{
  const { server, root } = await serve(long);
  // Types words as a reader who has loaded nothing yet, and waits for the results to be drawn.
  const timed = async (words, rate) => {
    const tab = await open(`${root}search/`);
    const cdp = await tab.context().newCDPSession(tab);
    await cdp.send('Performance.enable', { timeDomain: 'threadTicks' });
    await cdp.send('Network.enable');
    await cdp.send('Emulation.setCPUThrottlingRate', { rate });
    const load = { files: 0, sent: 0, raw: 0 };
    const urls = new Map();
    cdp.on('Network.responseReceived', (e) => urls.set(e.requestId, e.response.url));
    cdp.on('Network.loadingFinished', (e) => {
      // What the page itself had begun to load is not the search's.
      if (!urls.has(e.requestId)) return;
      load.files += 1;
      load.sent += e.encodedDataLength;
      load.raw += fs.statSync(path.join(long, new URL(urls.get(e.requestId)).pathname.replace('/diary/', ''))).size;
    });
    const busy = async () => (await cdp.send('Performance.getMetrics')).metrics.find((one) => one.name === 'TaskDuration').value * 1000;
    const before = await busy();
    const took = await tab.evaluate((typed) => new Promise((done) => {
      const start = performance.now();
      document.getElementById('words').value = typed;
      new MutationObserver(() => requestAnimationFrame(() => setTimeout(() => done(performance.now() - start)))).observe(document.getElementById('said'), { childList: true });
      document.getElementById('search').requestSubmit();
    }), words);
    const work = (await busy()) - before;
    const found = await titles(tab), told = await said(tab);
    if (words === 'rcbo') await shot(tab, 'long');
    await tab.context().close();
    return { took, work, found, told, ...load };
  };
  for (const words of ['rcbo', 'isolator neutral', 'isolatro', 'bord', 'test']) {
    // The work of the page's one thread is counted by the processor's own clock, which stands still while other programs
    // have their turn: six times that is what a phone six times as slow needs. The clock on the wall is told besides.
    const { work, found, told, files, sent, raw } = await timed(words, 1);
    const { took } = await timed(words, 6);
    console.log(`search: 2,000 pages, “${words}”: ${Math.round(work)} ms of work, ${Math.round(6 * work)} ms for a phone six times as slow (${Math.round(took)} ms on the wall here, slowed down); ${files} files, ${sent} bytes sent, ${raw} unpacked; ${told}`);
    expect(6 * work < 1000, `2,000 pages, “${words}”: ${Math.round(6 * work)} ms`);
    expect(sent < 60000, `2,000 pages, “${words}”: ${sent} bytes`);
    expect(found.length > 0, `2,000 pages: nothing for ${words}`);
  }
  server.closeAllConnections();
  server.close();
}

demo.server.closeAllConnections();
demo.server.close();
await browser.close();
console.log(`search: ${failures.length} failures`);
for (const failure of failures.slice(0, 30)) console.log(`  ${failure}`);
process.exit(failures.length ? 1 : 0);
