// Proof in a real browser: a save is seen with the scroll and the focus kept; a fault stands over the page as on the
// terminal and goes when it is mended; a private log is followed in the office book; a page that is deleted says so; and
// proof that ends and begins again is found again. Works on a copy of the diary.
//
//   node proof.mjs DIARY PROGRAM [SHOTS]      exit 0 clean, 1 at least one failure; pictures go to SHOTS if given

import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { createRequire } from 'node:module';
import { spawn } from 'node:child_process';
import { chromium } from 'playwright-core';

const [diary, program, shots] = process.argv.slice(2).map((name) => path.resolve(name));
const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const failures = [];
const expect = (fine, what) => { if (!fine) failures.push(what); };
const PATIENCE = 120000;

const copy = fs.mkdtempSync(path.join(os.tmpdir(), 'proof-'));
fs.cpSync(diary, copy, { recursive: true, filter: (from) => path.relative(diary, from) !== 'out' });

// Begins a proof and gives its address and the way to end it.
async function proof(port = '0') {
  const child = spawn(program, ['proof', '--diary', copy, '--as-of', '2026-11-25', '--port', port], { stdio: ['ignore', 'pipe', 'inherit'] });
  let printed = '';
  child.stdout.on('data', (text) => { printed += text; });
  const line = async (pattern) => {
    for (const began = Date.now(); Date.now() - began < PATIENCE; await new Promise((done) => setTimeout(done, 20))) {
      const found = printed.match(pattern);
      if (found) return found;
    }
    throw new Error(`proof did not print ${pattern}: ${printed}`);
  };
  const address = (await line(/http:\/\/127\.0\.0\.1:\d+\//))[0];
  await line(/pressed \d+ files? in|not pressed/);
  const end = () => new Promise((done) => { child.once('exit', done); child.kill('SIGINT'); });
  return { address, end };
}

// The first log of the diary that is fit, with what stands in it.
function log(fit) {
  const folder = path.join(copy, 'jobs');
  for (const name of fs.readdirSync(folder, { recursive: true }).sort()) {
    if (!name.endsWith('.md')) continue;
    const file = path.join(folder, name);
    const text = fs.readFileSync(file, 'utf8');
    if (fit(text)) return { file, text, ref: text.match(/^ref: *"?([\w-]+)/m)[1] };
  }
  throw new Error('the diary has no such log');
}

let served = await proof();
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
const context = await browser.newContext({ viewport: { width: 1280, height: 700 } });
const tab = await context.newPage();
tab.setDefaultTimeout(PATIENCE);
tab.on('pageerror', (error) => failures.push(`an error on the page: ${error}`));
tab.on('request', (request) => { if (!request.url().startsWith(served.address)) failures.push(`asks for ${request.url()}`); });
const shot = async (name) => { if (shots) await tab.screenshot({ path: path.join(shots, `${name}.png`) }); };
const panel = tab.locator('daywork-proof [role=alert]');
const sees = (words) => tab.getByText(words).first().waitFor();
// Long enough a page to scroll in.
const long = Array.from({ length: 60 }, (_, at) => `Paragraph ${at} of the long text.`).join('\n\n');

try {
  const open = log((text) => /^publish: (ready|2026-0)/m.test(text));
  fs.writeFileSync(open.file, `${open.text}\n${long}\n`);
  const title = open.text.match(/^title: *"?(.+?)"?$/m)[1];

  // Both halves are reached from the first page.
  await tab.goto(served.address);
  await tab.getByRole('link', { name: 'The site' }).click();
  await tab.waitForURL('**/site/');
  await tab.goto(`${served.address}office/jobs/${open.ref}.html`);
  await sees(title);
  await tab.goto(`${served.address}site/write-ups/`);
  await tab.getByRole('link', { name: title }).first().click();
  await sees('Paragraph 59 of the long text.');

  // A save: the words change where they stand.
  await tab.evaluate(() => { window.stillTheSamePage = true; scrollTo({ top: 900, behavior: 'instant' }); document.querySelector('footer a').focus({ preventScroll: true }); });
  const scripted = await tab.locator('script:not([type="application/ld+json"])').count() > 0;
  const before = await tab.evaluate(() => ({ y: scrollY, focus: document.activeElement.textContent }));
  expect(before.y === 900, `the page scrolls to 900, not ${before.y}`);
  const saved = Date.now();
  fs.writeFileSync(open.file, `${open.text}\n${long.replace('Paragraph 59', 'A changed paragraph')}\n`);
  await tab.getByText('A changed paragraph').first().waitFor({ state: 'attached' });
  console.log(`proof: on the page ${Date.now() - saved} ms after the save`);
  const after = await tab.evaluate(() => ({ y: scrollY, focus: document.activeElement.textContent, same: window.stillTheSamePage === true }));
  expect(after.y === before.y, `the scroll went from ${before.y} to ${after.y}`);
  expect(after.focus === before.focus, `the focus went from ${before.focus} to ${after.focus}`);
  expect(after.same !== scripted, 'a page without scripts is changed where it stands');

  // Broken: the panel, with what the terminal says; the page stays beneath it.
  const words = fs.readFileSync(open.file, 'utf8');
  fs.writeFileSync(open.file, words.replace(/^location:/m, 'locaton: a word that is wrong, on a line that is longer than a phone is wide #'));
  await panel.getByText('there is no key called locaton').waitFor();
  const told = await panel.locator('pre').innerText();
  expect(/line \d+: there is no key called locaton/.test(told) && told.includes('^^^') && told.includes('Write location.') && told.includes('(unknown-key)'), `the panel says ${told}`);
  expect(await tab.getByText('A changed paragraph').count() === 1, 'the last good page stays beneath the panel');
  await shot('panel-light-1280');
  await tab.evaluate(axe);
  const faults = await tab.evaluate(() => axe.run('daywork-proof'));
  for (const fault of faults.violations) failures.push(`the panel: ${fault.id}: ${fault.help}`);
  await tab.setViewportSize({ width: 360, height: 700 });
  await tab.emulateMedia({ colorScheme: 'dark' });
  await shot('panel-dark-360');
  // A marked line is one line however narrow the page, so that its mark stands below the word.
  const wrapped = await panel.locator('code').evaluateAll((blocks) => blocks.filter((block) => {
    const one = parseFloat(getComputedStyle(block).lineHeight);
    return block.offsetHeight > one * block.textContent.split('\n').length + 1;
  }).length);
  expect(wrapped === 0 && await panel.locator('code').count() > 0, `${wrapped} marked lines of the panel wrap`);
  const dark = await tab.evaluate(() => axe.run('daywork-proof'));
  for (const fault of dark.violations) failures.push(`the dark panel: ${fault.id}: ${fault.help}`);
  await tab.emulateMedia({ colorScheme: 'light' });
  await tab.setViewportSize({ width: 1280, height: 700 });
  // Folded away and out again by key.
  await panel.locator('pre').focus();
  await tab.keyboard.press('Escape');
  await panel.locator('pre').waitFor({ state: 'hidden' });
  await tab.keyboard.press('Enter');
  await panel.locator('pre').waitFor();
  // A page that is opened meanwhile has it too.
  await tab.goto(`${served.address}office/`);
  await panel.getByText('there is no key called locaton').waitFor();
  await tab.goBack();
  await panel.getByText('there is no key called locaton').waitFor();

  // Mended: it goes by itself.
  fs.writeFileSync(open.file, words);
  await panel.locator('section').waitFor({ state: 'detached' });
  expect(await tab.getByText('A changed paragraph').count() === 1, 'the page is there after mending');

  // Another title is another address: the page says that it has gone, and leads to the one that came for it.
  fs.writeFileSync(open.file, words.replace(/^title:.*$/m, 'title: Another title altogether'));
  await panel.getByText('no longer there').waitFor();
  await panel.getByRole('link', { name: 'See the page that changed' }).click();
  await tab.waitForURL('**/another-title-altogether/');
  await sees('A changed paragraph');
  fs.writeFileSync(open.file, words);

  // A log that is not public, in the office book, saved by another name and renamed over.
  const kept = log((text) => !/^publish:/m.test(text));
  await tab.goto(`${served.address}office/jobs/${kept.ref}.html`);
  fs.writeFileSync(`${kept.file}.new`, `${kept.text}\nWords that are being written.\n`);
  fs.renameSync(`${kept.file}.new`, kept.file);
  await sees('Words that are being written.');

  // A style of the diary's own: everything is loaded anew.
  fs.mkdirSync(path.join(copy, 'sheets/office'), { recursive: true });
  fs.writeFileSync(path.join(copy, 'sheets/office/frame.html'), '{% extends "frame.html" %}\n{% block foot %}<p>A foot of my own</p>{% endblock foot %}\n');
  await sees('A foot of my own');
  fs.rmSync(path.join(copy, 'sheets'), { recursive: true });
  await tab.getByText('A foot of my own').waitFor({ state: 'detached' });

  // The log is deleted: its page says so, and follows when it is back.
  fs.renameSync(kept.file, path.join(copy, 'away.txt'));
  await panel.getByText('no longer there').waitFor();
  await shot('gone');
  fs.renameSync(path.join(copy, 'away.txt'), kept.file);
  await panel.locator('section').waitFor({ state: 'detached' });
  await sees('Words that are being written.');

  // Proof ends, which the page says; it begins again, and the page follows.
  const { port } = new URL(served.address);
  const code = await served.end();
  expect(code === 0, `Ctrl-C ends it with ${code}`);
  await panel.getByText('Proof does not answer').waitFor();
  fs.writeFileSync(kept.file, `${kept.text}\nWritten while nobody looked.\n`);
  served = await proof(port);
  await sees('Written while nobody looked.');
  await panel.locator('section').waitFor({ state: 'detached' });
} catch (error) {
  await shot('failed');
  failures.push(String(error.stack ?? error));
} finally {
  await browser.close();
  await served.end();
  fs.rmSync(copy, { recursive: true, force: true });
}
for (const failure of failures) console.error(`proof: ${failure}`);
console.log(failures.length ? `proof: ${failures.length} failures` : 'proof: fine');
process.exit(failures.length ? 1 : 0);
