// The pocket page in a real browser, as a phone of 360 pixels has it: opened from disk and from a server, without a
// signal; typed into, tapped, closed, reloaded; over midnight and on the nights the clocks change; with a full store.
// Then the note it hands over goes through `daywork jot`, and what the log says is held against what was typed.
//
//   node pocket.mjs PAGE PROGRAM [SHOTS]      exit 0 clean, 1 at least one failure; pictures go to SHOTS if given

import fs from 'node:fs';
import http from 'node:http';
import os from 'node:os';
import path from 'node:path';
import { createRequire } from 'node:module';
import { spawnSync } from 'node:child_process';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const [page, program, shots] = process.argv.slice(2).map((name) => path.resolve(name));
const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const failures = [];
const expect = (fine, what) => { if (!fine) failures.push(what); };
const same = (have, want, what) => expect(JSON.stringify(have) === JSON.stringify(want), `${what}: ${JSON.stringify(have)} where ${JSON.stringify(want)} was wanted`);
const scratch = fs.mkdtempSync(path.join(os.tmpdir(), 'pocket-'));
const fromDisk = pathToFileURL(page).href;
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });

// A phone with the page open: no signal, a clock of its own, and every request and error told of.
async function phone(now, { address = fromDisk, scheme = 'light', stored, motion = 'reduce' } = {}) {
  const context = await browser.newContext({
    viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, acceptDownloads: true, locale: 'en-GB',
    timezoneId: 'Europe/London', colorScheme: scheme, reducedMotion: motion,
  });
  const tab = await context.newPage();
  tab.setDefaultTimeout(5000);
  tab.on('request', (request) => { if (request.url() !== address && !/^(blob|data):/.test(request.url())) failures.push(`asks for ${request.url()}`); });
  tab.on('pageerror', (error) => failures.push(`an error on the page: ${error}`));
  tab.on('console', (line) => { if (line.type() === 'error') failures.push(`on the console: ${line.text()}`); });
  if (address === fromDisk) await context.setOffline(true);
  await tab.clock.install({ time: new Date(now) });
  if (stored) await tab.addInitScript(stored);
  await tab.goto(address);
  await tab.waitForSelector('h1');
  return tab;
}

const tap = (tab, name) => tab.getByRole('button', { name, exact: typeof name === 'string' }).first().click();
const type = (tab, label, text) => tab.getByLabel(label, { exact: true }).fill(text);
const pick = (tab, label, option) => tab.getByLabel(label, { exact: true }).selectOption(option);
const pass = (tab, minutes) => tab.clock.runFor(minutes * 60000);
const open = (tab, summary) => tab.locator('details', { hasText: summary }).first().evaluate((box) => { box.open = true; });
const heading = (tab) => tab.locator('h1').innerText();
const shot = async (tab, name) => { if (shots) await tab.screenshot({ path: path.join(shots, name + '.png'), fullPage: true }); };

async function arrive(tab, title, { kind = 'planned', location } = {}) {
  await type(tab, 'What is the job?', title);
  await pick(tab, 'What kind of visit?', kind);
  if (location) await pick(tab, 'What kind of place?', location);
  await tap(tab, 'Arrive now');
}

async function task(tab, letters, name) {
  await tab.locator('#add-task').evaluate((box) => { box.open = true; });
  await type(tab, 'Find it by a few letters', letters);
  await tap(tab, name);
}

async function note(tab) {
  if (await tab.getByRole('button', { name: 'All visits' }).count()) await tap(tab, 'All visits');
  return tab.locator('#text').textContent();
}

// ---- the program at the other end

function run(args, input) {
  return spawnSync(program, args, { input, encoding: 'utf8', env: { ...process.env, NO_COLOR: '1' } });
}

// Reads a note in a new diary with the demo's own words; gives jot's reading, and what inspect says of the log.
function roundTrip(text, today, name, log) {
  const diary = path.join(scratch, name);
  run(['start', diary]);
  fs.copyFileSync(path.join(demo, 'diary.yaml'), path.join(diary, 'diary.yaml'));
  fs.rmSync(path.join(diary, 'jobs'), { recursive: true });
  fs.mkdirSync(path.join(diary, 'jobs'));
  for (const folder of ['guides', 'reviews', 'answers', 'prices']) fs.rmSync(path.join(diary, folder), { recursive: true, force: true });
  fs.writeFileSync(path.join(diary, 'clients.yaml'), '');
  if (log) fs.writeFileSync(path.join(diary, 'jobs/old.md'), log);
  const jot = run(['jot', '--diary', diary, '--as-of', today, '--format', 'json'], text);
  expect(jot.status === 0, `${name}: jot ends in ${jot.status}: ${jot.stderr}`);
  const inspect = run(['inspect', '--diary', diary, '--as-of', today, '--format', 'json']);
  const said = JSON.parse(inspect.stdout || '{"diagnostics":[]}');
  return { job: JSON.parse(jot.stdout || '{"jobs":[]}').jobs, status: inspect.status, said: said.diagnostics.map((d) => d.code) };
}
const demo = process.env.DEMO ?? path.join(path.dirname(program), '../../example-site');

// ---- what is tried

async function a_day_on_site() {
  const tab = await phone('2026-11-25T08:15:20Z');
  await shot(tab, 'empty-light');
  await arrive(tab, 'Sail loft, stair lights dead', { kind: 'call-out', location: 'boat-shed' });
  same(await heading(tab), 'Sail loft, stair lights dead', 'the title at the head');
  await task(tab, 'fault', 'Fault finding');
  await pass(tab, 45);
  await shot(tab, 'visit-light');
  await tap(tab, 'Break');
  expect(await tab.locator('.now').innerText().then((text) => text.includes('on a break')), 'the break shows');
  await pass(tab, 20);
  await tap(tab, 'Back to work');
  await task(tab, 'em l', 'Fit or change an emergency light');
  await pass(tab, 65);
  await tap(tab, /^Change: Fit or change an emergency/);
  await type(tab, 'How many?', '2');
  await tap(tab, 'Done');

  await tap(tab, 'Note: Finding');
  await tab.getByRole('radio', { name: /^C2/ }).check();
  await type(tab, 'What you found', 'Neutral of the stair lights borrowed from the landing');
  await type(tab, 'Where', 'first floor');
  await pick(tab, 'What you did', 'disconnected');
  await type(tab, 'More of what you did', 'at the switch');
  await pick(tab, 'Who was told', 'owner');
  await pick(tab, 'Told how', 'email');
  await shot(tab, 'finding-light');
  await tap(tab, 'Done');
  await tap(tab, 'Note: Finding');
  await tab.getByRole('radio', { name: /^note/ }).check();
  await type(tab, 'What you found', 'Timer in the store runs slow');
  await tap(tab, 'Done');
  await tap(tab, 'Note: Reading');
  await type(tab, 'Circuit', 'Stair lights');
  await type(tab, 'Device amperes', '6');
  await type(tab, 'Zs, ohms', '1,32');
  await type(tab, 'R1+R2, ohms', '.42');
  await type(tab, 'IR to earth, megohms', '>200');
  await type(tab, 'IR live to live, megohms', '150');
  await type(tab, 'IR test volts', '500');
  await type(tab, 'RCD test, mA', '30');
  await type(tab, 'RCD time, ms', '24');
  await pick(tab, 'Polarity', 'ok');
  await shot(tab, 'reading-light');
  await tap(tab, 'Done');
  await tap(tab, 'Note: Reading');
  await type(tab, 'Circuit', 'Workshop ring');
  await type(tab, 'Device amperes', '32');
  await type(tab, 'r1', '0.51');
  await type(tab, 'rn', '0.52');
  await type(tab, 'r2', '0.84');
  await tap(tab, 'Done');
  await tap(tab, 'Note: Material');
  await type(tab, 'What', 'gland');
  await type(tab, 'How many', '6');
  await type(tab, 'Price, £', '4.5');
  await tap(tab, 'Done');
  await tap(tab, 'Note: Material');
  await type(tab, 'What', '1.5 t&e');
  await type(tab, 'How many', '12');
  await pick(tab, 'Counted in', 'm');
  await type(tab, 'Price, £', '7.20');
  await pick(tab, 'The price is for', 'all');
  await tap(tab, 'Done');
  await tap(tab, 'Note: Photo');
  await tab.locator('#pick').setInputFiles([{ name: 'IMG_1234.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('x') }, { name: '2026-11-25 09.15.00.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('y') }]);
  await tap(tab, 'Note: Words');
  await type(tab, 'Anything else, in your own words', 'Owner wants a price for the hoist\n2 skt 50m and zs 1.99 C1 were said, none of it meant');
  await tap(tab, 'Done');
  await type(tab, 'Parking, £ (0 if free)', '6.5');
  await type(tab, 'Miles, there and back', '6');
  await type(tab, 'Minutes on the road, there and back', '25');
  await pass(tab, 5);
  await shot(tab, 'in-use-light');
  await tap(tab, 'Leave site');

  const text = await note(tab);
  const lines = text.trimEnd().split('\n');
  same(lines, [
    'job: Sail loft, stair lights dead', '2026-11-25 08:15-10:30 call-out', 'brk 20m', 'location: boat-shed', '6 miles 25m', 'parking 6.50',
    'ff 45m', '2x em light 1h10',
    'Neutral of the stair lights borrowed from the landing, first floor C2 disconnected at the switch, told owner by email',
    'note: Timer in the store runs slow',
    'Stair lights B6 zs 1.32 r1+r2 0.42 IR >200 @500 IR L-N 150 @500 rcd 30mA 24ms pol ok',
    'Workshop ring B32 ring 0.51 0.52 0.84',
    'mats: 6x gland £4.50 ea', 'mats: 12m 1.5 t&e £7.20', 'photo: IMG_1234.jpg', 'photo: 2026-11-25 09.15.00.jpg',
    'text: Owner wants a price for the hoist', 'text: 2 skt 50m and zs 1.99 C1 were said, none of it meant',
  ], 'the note');
  const { job: [job], said, status } = roundTrip(text, '2026-11-25', 'day');
  same(job.title, 'Sail loft, stair lights dead', 'title');
  same(job.visits.length, 1, 'visits');
  const visit = job.visits[0];
  same([visit.date, visit.from, visit.to, visit.break_minutes, visit.kind, visit.parking, visit.minutes], ['2026-11-25', '08:15', '10:30', 20, 'call-out', '6.50', 115], 'the visit');
  same(visit.travel, { miles: 6, minutes: 25 }, 'the trip');
  same(visit.tasks, [{ task: 'fault-finding', count: null, minutes: 45 }, { task: 'emergency-light', count: 2, minutes: 70 }], 'the tasks');
  same(job.findings.map((f) => [f.what, f.code, f.done, f.told && [f.told.who, f.told.how]]), [
    ['Neutral of the stair lights borrowed from the landing, first floor', 'C2', 'disconnected at the switch', ['owner', 'email']],
    ['Timer in the store runs slow', 'note', null, null]], 'the findings');
  same(job.readings.map((r) => r.circuit), ['Stair lights', 'Workshop ring'], 'the circuits');
  same([job.readings[0].zs, job.readings[0].r1_r2, job.readings[0].insulation, job.readings[0].rcd], ['1.32', '0.42', { at: '500', live_to_earth: '>200', live_to_live: '150' }, { at: '30', ms: '24' }], 'the readings');
  same(job.materials.map((m) => [m.item, m.count, m.unit, m.cost, m.cost_for]), [['Armoured gland, outdoor', 6, null, '4.50', 'each'], ['Twin and earth cable 1.5 mm2', 12, 'm', '7.20', 'all']], 'the materials, by the names of the price book');
  same(job.left_over, lines.filter((line) => /^(location|photo|text):/.test(line)), 'what stays text');
  same(status, 0, 'inspect');
  same(said, [], 'what inspect says');

  // Handed over, then cleared, then put back.
  const clear = tab.locator('#clear');
  expect(await clear.isDisabled(), 'everything can be deleted before it was handed over');
  const [file] = await Promise.all([tab.waitForEvent('download'), tab.locator('#hand-download').click()]);
  same(fs.readFileSync(await file.path(), 'utf8'), text, 'the downloaded file');
  same(file.suggestedFilename(), 'daywork-2026-11-25.txt', 'its name');
  await shot(tab, 'hand-over-light');
  await tab.locator('#clear').click();
  await tab.locator('#clear-yes').click();
  expect(await tab.getByText('Nothing noted yet').isVisible(), 'the page is not clean after deleting everything');
  await tap(tab, 'Undo');
  same(await note(tab), text, 'the note after undo');
  // One more word, and what was handed over is no longer all there is.
  await tap(tab, /^Sail loft.*Open$/);
  await tap(tab, 'Note: Words');
  await type(tab, 'Anything else, in your own words', 'key left under the pot');
  await tap(tab, 'Done');
  await tap(tab, 'All visits');
  expect(await tab.locator('#clear').isDisabled(), 'a note that was added to can be deleted without a new download');
  await tab.context().close();
}

async function a_reload_in_the_middle() {
  const tab = await phone('2026-11-25T09:00:10Z');
  await arrive(tab, 'Net store, sockets');
  await task(tab, 'skt', 'Change a socket outlet');
  await pass(tab, 10);
  await tap(tab, 'Note: Finding');
  await tab.getByLabel('What you found', { exact: true }).pressSequentially('Half a wor');
  await tab.reload();
  await tab.waitForSelector('h1');
  same(await tab.getByLabel('What you found', { exact: true }).inputValue(), 'Half a wor', 'a word half typed, after a reload');
  // The quick store wiped: what the second store has comes back.
  await pass(tab, 1);
  await tab.evaluate(() => new Promise((done) => setTimeout(done, 0)));
  await tab.waitForTimeout(300);
  await tab.evaluate(() => localStorage.clear());
  await tab.reload();
  await tab.waitForSelector('#form-head');
  same(await tab.getByLabel('What you found', { exact: true }).inputValue(), 'Half a wor', 'the same from the second store');
  await tap(tab, 'Delete');
  await tap(tab, 'Undo');
  await tap(tab, /^Finding: .*Change it$/);
  same(await tab.getByLabel('What you found', { exact: true }).inputValue(), 'Half a wor', 'the same after delete and undo');
  await tap(tab, 'Done');
  await pass(tab, 20);
  await tap(tab, 'Leave site');
  const text = await note(tab);
  expect(/^2026-11-25 09:00-09:31$/m.test(text), `the visit over reloads: ${text}`);
  expect(/^skt 31m$/m.test(text), `the task's clock over reloads: ${text}`);
  expect(/^text: finding - Half a wor$/m.test(text), `a finding without a code goes as text: ${text}`);
  await tab.context().close();
}

async function two_visits_and_two_jobs() {
  const tab = await phone('2026-11-25T08:00:00Z');
  await arrive(tab, 'Barn lights');
  await pass(tab, 60);
  await tap(tab, 'Leave site');
  await tap(tab, 'All visits');
  await pass(tab, 180);
  await tap(tab, /^Another visit to this job: Barn lights/);
  await task(tab, 'swa', 'Lay or clip armoured cable');
  await pass(tab, 40);
  await tap(tab, 'Leave site');
  await tap(tab, /^Change: Lay/);
  await type(tab, 'How many metres?', '24');
  await tap(tab, 'Done');
  await tap(tab, 'All visits');
  await type(tab, 'What is the job?', 'Hall, price for a rewire');
  await pick(tab, 'What kind of visit?', 'survey');
  await tap(tab, 'Note an earlier visit');
  await type(tab, 'Day it began', '2026-11-24');
  await type(tab, 'Or hours', '1');
  await type(tab, 'and minutes', '30');
  const text = await note(tab);
  const { job: jobs, status } = roundTrip(text, '2026-11-25', 'two');
  same(jobs.map((job) => job.title), ['Barn lights', 'Hall, price for a rewire'], 'two jobs');
  same(jobs.map((job) => job.visits.map((v) => [v.date, v.from, v.to, v.minutes, v.kind])), [
    [['2026-11-25', '08:00', '09:00', 60, 'planned'], ['2026-11-25', '12:00', '12:40', 40, 'planned']],
    [['2026-11-24', null, null, 90, 'survey']]], 'their visits');
  same(jobs[0].visits[1].tasks, [{ task: 'armoured-run', count: 24, minutes: 40 }], 'metres and minutes');
  same(status, 0, 'inspect of two jobs');
  // A visit deleted and put back; both jobs stay.
  await tap(tab, /^Hall.*Open$/);
  await tap(tab, 'Delete this visit');
  expect(!(await tab.locator('#text').textContent()).includes('Hall'), 'a deleted visit is still in the note');
  await tap(tab, 'Undo');
  same(await note(tab), text, 'the note after a visit came back');
  await tab.context().close();
}

// The visit's own minutes on four awkward nights: arrival, minutes on site, and what the note must say.
async function awkward_nights() {
  const nights = [
    ['over midnight', '2026-11-24T22:30:10Z', 165, /^2026-11-24 22:30-01:15 call-out$/m],
    ['clocks go forward', '2026-03-29T00:15:00Z', 150, /^2026-03-29 00:15-03:45 call-out$/m],
    ['clocks go back', '2026-10-24T23:30:00Z', 180, /^2026-10-25 00:30-02:30 call-out$/m],
    ['within the hour that comes twice', '2026-10-25T00:30:00Z', 40, /^2026-10-25 40m call-out$/m],
    ['in and out', '2026-11-25T09:00:05Z', 0, /^2026-11-25 1m call-out$/m],
  ];
  for (const [name, at, minutes, wanted] of nights) {
    const tab = await phone(at);
    await arrive(tab, 'Pump house, no power', { kind: 'call-out' });
    await pass(tab, minutes);
    await tap(tab, 'Leave site');
    const text = await note(tab);
    expect(wanted.test(text), `${name}: ${text}`);
    const { job: [job], status } = roundTrip(text, '2026-11-25', name.replaceAll(' ', '-'));
    same(job.visits.map((visit) => visit.minutes), [Math.max(1, minutes)], `${name}: minutes`);
    same(status, 0, `${name}: inspect`);
    await tab.context().close();
  }
  // A time that did not exist is told of, and never becomes another.
  const tab = await phone('2026-11-25T09:00:00Z');
  await type(tab, 'What is the job?', 'Old one');
  await tap(tab, 'Note an earlier visit');
  await type(tab, 'Day it began', '2026-03-29');
  await type(tab, 'Arrived', '01:30');
  expect((await tab.locator('#times-note').innerText()).includes('there was no 01:30'), 'a time that the clocks left out passes');
  await tab.context().close();
}

async function a_full_store() {
  const tab = await phone('2026-11-25T09:00:00Z', { stored: 'Object.defineProperty(globalThis, "indexedDB", { value: { open() { throw new Error("none"); } } });' });
  await arrive(tab, 'Loft, no lights');
  await tab.evaluate(() => {
    for (let size = 4 << 20; size >= 1; size >>= 1) {
      try { for (let n = 0; ; n += 1) localStorage.setItem(`fill-${size}-${n}`, 'x'.repeat(size)); } catch { /* smaller pieces fill the rest */ }
    }
  });
  await tap(tab, 'Note: Words');
  await type(tab, 'Anything else, in your own words', 'Every word of this is still here '.repeat(8).trim());
  expect(await tab.getByRole('alert').getByText('no room left').isVisible(), 'a full store is not told of');
  same(await tab.locator('#kept').innerText(), 'Not kept on this phone', 'the line at the head');
  await shot(tab, 'full-store-light');
  const [file] = await Promise.all([tab.waitForEvent('download'), tab.locator('#full-download').click()]);
  expect(fs.readFileSync(await file.path(), 'utf8').includes('Every word of this is still here'), 'the download from a full store lacks words');
  await tab.evaluate(() => Object.keys(localStorage).filter((key) => key.startsWith('fill')).forEach((key) => localStorage.removeItem(key)));
  await type(tab, 'Anything else, in your own words', 'kept again');
  expect(await tab.locator('#full').isHidden(), 'the warning stays when there is room again');
  await tab.reload();
  await tab.waitForSelector('h1');
  same(await tab.getByLabel('Anything else, in your own words', { exact: true }).inputValue(), 'kept again', 'words after the store had room');
  await tab.context().close();
}

// A job that the diary has already, shared as a file where the phone can.
async function an_old_job_shared() {
  const tab = await phone('2026-11-25T14:00:00Z', { stored: 'globalThis.shared = []; navigator.canShare = () => true; navigator.share = async (what) => { globalThis.shared.push([what.files[0].name, await what.files[0].text()]); };' });
  await type(tab, 'Or the ref of a job in the diary', '2026-031');
  await pick(tab, 'What kind of visit?', 'guarantee');
  await tap(tab, 'Arrive now');
  await pass(tab, 90);
  await tap(tab, 'Leave site');
  const text = await note(tab);
  await tab.locator('#hand-share').click();
  await tab.waitForFunction(() => globalThis.shared.length === 1);
  same(await tab.evaluate(() => globalThis.shared), [['daywork-2026-11-25.txt', text]], 'what was shared');
  same(text, 'ref 2026-031\n2026-11-25 14:00-15:30 guarantee\n', 'a note that goes on with a job');
  const { job: [job], status } = roundTrip(text, '2026-11-25', 'old', '---\ntitle: Boat shed, shore point\nref: 2026-031\nlocation: boat-shed\nvisits:\n  - {date: 2026-03-02, from: 09:00, to: 10:00}\n---\n');
  same([job.ref, job.visits.length, job.visits[0].kind, job.visits[0].minutes], ['2026-031', 1, 'guarantee', 90], 'the visit added to a job');
  same(status, 0, 'inspect of a job that goes on');
  await tab.locator('#clear').click();
  await tab.locator('#clear-no').click();
  same(await tab.locator('#text').textContent(), text, 'the note after all was kept');
  await tab.context().close();
}

// What a line cannot say goes as text and is never read as something else.
async function awkward_words() {
  const tab = await phone('2026-11-25T09:00:00Z');
  await arrive(tab, 'ref 2026-031 C1 zs 1.3, £4.50 9-5');
  const findings = ['Unit C3 has a C1 smell', 'agent told me of it', 'smashed, isolated by others', 'note: odd', '2026-031 on the label'];
  for (const what of findings) {
    await tap(tab, 'Note: Finding');
    await tab.getByRole('radio', { name: /^C2/ }).check();
    await type(tab, 'What you found', what);
    expect(await tab.locator('.problem').last().isVisible(), `no word about: ${what}`);
    await tap(tab, 'Done');
  }
  const circuits = ['C2 lights', 'B32 ring', '9-10 zs 1.2 shed', '12/3 board', 'ref 2026-031', ''];
  for (const circuit of circuits) {
    await tap(tab, 'Note: Reading');
    await type(tab, 'Circuit', circuit);
    await type(tab, 'Zs, ohms', '1.1');
    await tap(tab, 'Done');
  }
  const items = ['plug and socket', 'box, deep', 'RCD 30mA', '5m tape', 'clips 2.50', 'label C1', 'paid bin'];
  for (const item of items) {
    await tap(tab, 'Note: Material');
    await type(tab, 'What', item);
    await tap(tab, 'Done');
  }
  await tap(tab, 'Note: Words');
  await type(tab, 'Anything else, in your own words', 'tomorrow\nmats:\nused 3 fan £4\n2026-03-12 0900-1000\nref 2026-009\njob: none\ntold owner all\nparking 4\n```\n# x\n- 2h');
  await tap(tab, 'Done');
  await pass(tab, 30);
  await tap(tab, 'Leave site');
  const text = await note(tab);
  const { job: jobs, status } = roundTrip(text, '2026-11-25', 'awkward');
  same(jobs.length, 1, 'awkward words: jobs');
  const [job] = jobs;
  same(job.title, 'ref 2026-031 C1 zs 1.3, £4.50 9-5', 'awkward words: title');
  same([job.visits.length, job.visits[0].minutes, job.visits[0].parking, job.visits[0].tasks], [1, 30, null, []], 'awkward words: visit');
  same([job.findings, job.readings, job.materials], [[], [], []], 'awkward words: nothing is read of them');
  same(job.left_over, text.trimEnd().split('\n').slice(2), 'awkward words: all kept');
  same(status, 0, 'awkward words: inspect');
  await tab.context().close();
}

// Every state a thumb comes to: names, contrast, targets, order, width; light and dark; text twice as large.
async function for_every_reader() {
  for (const scheme of ['light', 'dark']) {
    const tab = await phone('2026-11-25T08:15:00Z', { scheme });
    const look = async (state) => {
      expect(!/\b(null|undefined|NaN)\b/.test(await tab.locator('body').innerText()), `${state}: a word of the script's own shows`);
      await tab.evaluate(axe);
      const found = await tab.evaluate(async () => (await globalThis.axe.run(document, { resultTypes: ['violations'] })).violations.map((v) => `${v.id}: ${v.nodes[0].html.slice(0, 120)}`));
      found.forEach((fault) => failures.push(`${state}, ${scheme}: ${fault}`));
      const small = await tab.evaluate(() => [...document.querySelectorAll('button, summary, select, textarea, input, .pick')]
        .filter((node) => node.offsetParent && (node.getBoundingClientRect().height < 48 || node.getBoundingClientRect().width < 48)).map((node) => node.outerHTML.slice(0, 90)));
      small.forEach((node) => failures.push(`${state}: under 48 pixels: ${node}`));
      expect(await tab.evaluate(() => document.documentElement.scrollWidth) <= 360, `${state}: wider than the phone`);
      await tab.evaluate(() => { document.documentElement.style.fontSize = '200%'; });
      expect(await tab.evaluate(() => document.documentElement.scrollWidth) <= 360, `${state}: wider than the phone with text twice as large`);
      const squeezed = await tab.evaluate(() => [...document.querySelectorAll('main span, main b, main button')].filter((node) => {
        const box = node.getBoundingClientRect();
        return box.width > 0 && !node.matches('.vh, .shape') && (box.right > 361 || box.height > 6 * box.width);
      }).map((node) => node.textContent.slice(0, 40)));
      squeezed.forEach((words) => failures.push(`${state}: squeezed with text twice as large: ${words}`));
      if (scheme === 'light') await shot(tab, `twice-${state.replaceAll(' ', '-')}`);
      await tab.evaluate(() => { document.documentElement.style.fontSize = ''; });
      if (scheme === 'dark') await shot(tab, `${state.replaceAll(' ', '-')}-dark`);
    };
    await look('empty');
    await arrive(tab, 'Pontoon B, the long shed with the sail loft over it and no neutral anywhere that anybody remembers fitting');
    same(await tab.evaluate(() => document.activeElement.id), 'main', 'focus after arriving');
    await pass(tab, 1);
    same(await tab.locator('#said').textContent(), 'Arrived at 08:15.', 'what is said after arriving');
    await task(tab, 'ff', 'Fault finding');
    await look('visit');
    for (const kind of ['Finding', 'Reading', 'Material', 'Photo', 'Words']) {
      await tap(tab, `Note: ${kind}`);
      same(await tab.evaluate(() => document.activeElement.id), 'form-head', `focus in ${kind}`);
      if (kind === 'Finding') {
        await tab.getByRole('radio', { name: /^C1/ }).check();
        await type(tab, 'What you found', 'Averylongwordwithoutanyplaceatwhichitcouldbebrokenovertwolines '.repeat(3).trim());
      }
      if (kind === 'Words') await type(tab, 'Anything else, in your own words', 'Owner wants a price for the hoist. '.repeat(12));
      await look(kind.toLowerCase());
      await tap(tab, 'Done');
    }
    await tap(tab, /^Finding: .*Change it$/);
    await tap(tab, 'Delete');
    await look('deleted with undo');
    await tap(tab, 'All visits');
    await open(tab, 'The note as text');
    await look('day');
    await tab.context().close();
  }
}

async function from_a_server_with_the_signal_gone() {
  const server = http.createServer((request, answer) => {
    answer.setHeader('content-type', 'text/html; charset=utf-8');
    answer.end(fs.readFileSync(page));
  }).listen(0, '127.0.0.1');
  await new Promise((done) => server.on('listening', done));
  const tab = await phone('2026-11-25T09:00:00Z', { address: `http://127.0.0.1:${server.address().port}/pocket.html` });
  await tab.context().setOffline(true);
  await arrive(tab, 'Shop, tripping', { kind: 'call-out' });
  await pass(tab, 15);
  await tap(tab, 'Leave site');
  expect((await note(tab)).includes('2026-11-25 09:00-09:15 call-out'), 'a visit without a signal');
  // A script that is not the page's own does not run, and no host is asked.
  const leaks = await tab.evaluate(async () => {
    const script = document.createElement('script');
    script.textContent = 'globalThis.strange = 1';
    document.body.append(script);
    const asked = await fetch('https://example.com/').then(() => true, () => false);
    return [globalThis.strange ?? 0, asked];
  });
  same(leaks, [0, false], 'the policy');
  for (let at = failures.length - 1; at >= 0; at -= 1) if (/^on the console: .*(Content Security Policy|Fetch API)/.test(failures[at])) failures.splice(at, 1);
  server.close();
  await tab.context().close();
}

if (shots) fs.mkdirSync(shots, { recursive: true });
const tried = [a_day_on_site, a_reload_in_the_middle, two_visits_and_two_jobs, awkward_nights, a_full_store, an_old_job_shared, awkward_words, for_every_reader, from_a_server_with_the_signal_gone];
for (const one of tried) {
  const before = failures.length;
  try {
    await one();
  } catch (fault) {
    failures.push(`${one.name.replaceAll('_', ' ')}: ${String(fault.stack ?? fault).slice(0, 600)}`);
  }
  console.log(`  ${failures.length === before ? 'ok  ' : 'FAIL'} ${one.name.replaceAll('_', ' ')}`);
}
await browser.close();
fs.rmSync(scratch, { recursive: true, force: true });
console.log(`pocket page: ${tried.length} ways of using it, ${failures.length} failures`);
for (const failure of failures.slice(0, 40)) console.log(`  ${failure}`);
process.exit(failures.length ? 1 : 0);
