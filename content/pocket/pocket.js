'use strict';
// The pocket page. Everything typed or tapped goes into `day`, which is kept on the phone at once; the screen is drawn
// from it, and so is the note. A fact that a line of the note cannot say exactly goes out as a line of text.

const WORDS = JSON.parse(document.getElementById('words').textContent);
const TASKS = WORDS.tasks.map(([name, say, also, unit]) => ({ name, say, also, unit: unit || '' }));
const KEEP = 'daywork-pocket';
const MINUTE = 60000;
const CODES = [['C1', 'danger present'], ['C2', 'potentially dangerous'], ['C3', 'improvement recommended'],
  ['FI', 'further investigation'], ['note', 'worth a note']];
const KINDS = ['planned', ...WORDS.kinds].map((kind) => [kind, kind]);
const NAMES = { finding: 'Finding', reading: 'Reading', material: 'Material', photo: 'Photo', text: 'Words' };

const $ = (id) => document.getElementById(id);
const empty = () => ({ form: 1, serial: 0, next: 1, jobs: [], open: null, edit: null, handed: '', draft: newDraft() });
const newDraft = () => ({ title: '', ref: '', location: '', kind: 'planned' });
let day = empty();
const newId = () => 'i' + day.next++;

// ---- keeping ------------------------------------------------------------------------------------------------------

let fullFor = '';
let database = null;
let copying = false;
let copyAgain = false;

// The quick store takes every keystroke before the next one; the second store is on the disk before it says so, which
// a flat battery does not undo.
function keep() {
  day.serial += 1;
  let why = '';
  try {
    localStorage.setItem(KEEP, JSON.stringify(day));
  } catch (fault) {
    why = fault && fault.name === 'QuotaExceededError' ? 'full' : 'shut';
  }
  copyToSecond();
  tellKept(why);
}

function tellKept(why) {
  $('kept').textContent = why ? 'Not kept on this phone' : 'Kept on this phone at ' + clockOf(Date.now());
  if (why === fullFor) return;
  fullFor = why;
  const words = (why === 'full' ? 'This phone has no room left to keep what you type.' : 'This phone does not let the page keep anything.')
    + ' Nothing is lost while this page stays open: share or download the notes now.';
  $('full').hidden = !why;
  $('full').replaceChildren(...(why ? [h('p', {}, words), handOverButtons('full')] : []));
}

function openSecond() {
  return new Promise((done) => {
    try {
      const asked = indexedDB.open(KEEP, 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore('day');
      asked.onsuccess = () => done(asked.result);
      asked.onerror = asked.onblocked = () => done(null);
    } catch { done(null); }
  });
}

function copyToSecond() {
  if (!database) return;
  if (copying) { copyAgain = true; return; }
  copying = true;
  const done = () => {
    copying = false;
    if (copyAgain) { copyAgain = false; copyToSecond(); }
  };
  try {
    const work = database.transaction('day', 'readwrite', { durability: 'strict' });
    work.objectStore('day').put(JSON.stringify(day), 'day');
    work.oncomplete = work.onabort = done;
  } catch { done(); }
}

function readSecond() {
  return new Promise((done) => {
    if (!database) return done(null);
    const asked = database.transaction('day').objectStore('day').get('day');
    asked.onsuccess = () => done(asked.result || null);
    asked.onerror = () => done(null);
  });
}

// Takes a kept day in place of the one on the screen where it is newer. What cannot be read is left where it is.
function take(text) {
  try {
    const kept = JSON.parse(text);
    if (!kept || kept.form !== 1 || !(kept.serial > day.serial)) return false;
    day = { ...empty(), ...kept };
    return true;
  } catch { return false; }
}

async function start() {
  let first = null;
  try { first = localStorage.getItem(KEEP); } catch { /* keep() tells of it */ }
  take(first);
  show();
  keep();
  database = await openSecond();
  const had = day.serial;
  if (take(await readSecond()) && day.serial > had) { show(); keep(); } else copyToSecond();
  if (navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => {});
}

// ---- clock --------------------------------------------------------------------------------------------------------

const two = (n) => String(n).padStart(2, '0');

function clockOf(ms) {
  const at = new Date(ms);
  return two(at.getHours()) + ':' + two(at.getMinutes());
}

function dateOf(ms) {
  const at = new Date(ms);
  return at.getFullYear() + '-' + two(at.getMonth() + 1) + '-' + two(at.getDate());
}

// The moments, none to two, at which the phone's clock shows a time of a date: none in the hour that is left out in
// spring, two in the one that comes twice in autumn.
function momentsOf(date, clock, daysOn = 0) {
  const [y, m, d] = date.split('-').map(Number);
  const [hour, minute] = clock.split(':').map(Number);
  const at = new Date(y, m - 1, d + daysOn, hour, minute).getTime();
  return [at, at + 60 * MINUTE].filter((ms) => clockOf(ms) === clock);
}

// When a visit that began at a moment ended by the clock: the first such time after it.
function endAfter(startMs, date, from, to) {
  const found = momentsOf(date, to, to < from ? 1 : 0).find((ms) => Math.floor(ms / MINUTE) > Math.floor(startMs / MINUTE));
  return found === undefined ? null : found;
}

const minutesBetween = (a, b) => Math.floor(b / MINUTE) - Math.floor(a / MINUTE);

function lengthText(minutes) {
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  if (!hours) return rest + 'm';
  return hours + 'h' + (rest ? two(rest) : '');
}

const run = (timed, now = Date.now()) => timed.ms + (timed.since ? Math.max(0, now - timed.since) : 0);
const runMinutes = (timed, now) => Math.floor(run(timed, now) / MINUTE);
const stopTimer = (timed) => { timed.ms = run(timed); timed.since = null; };

// ---- the note -----------------------------------------------------------------------------------------------------

const fold = (text) => String(text || '').replace(/[\s\u200b]+/g, ' ').trim();
const trimMarks = (text) => fold(text).replace(/^(?:[-,;:.@&+*•#]+\s*)+|(?:\s*[-,;:.@&+]+)+$/g, '');
const anyOf = (words) => words.map((word) => word.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&').replace(/ /g, '[ -]')).join('|');
const wordsIn = (words) => new RegExp('(?:^|[^a-z0-9])(?:' + anyOf(words) + ')(?![a-z0-9])', 'i');

const HAS_CODE = /(?:^|[^a-z0-9])(?:c[123]|fi|code\s+\d)(?![a-z0-9])/i;
const HAS_TELLING = wordsIn([...WORDS.telling, 'tell']);
const BEGINS_DONE = new RegExp('^(?:' + anyOf(WORDS.done) + ')(?![a-z])', 'i');
const DONE_INSIDE = new RegExp('[,;-]\\s*(?:' + anyOf(WORDS.done) + ')(?![a-z])', 'i');
const BEGINS_ELSE = /^(?:note|nb|job:|new job:|next job:|(?:ref[ :.]*)?#?\s*(?:19|20)\d\d-\d{3}(?!\d))/i;
const HAS_DATE = /(?:^|\s)(?:\d{1,2}[/.]\d{1,2}|\d{4}-\d\d|today|yest|yday|yesterday|last\s+\w|\d{1,2}(?:st|nd|rd|th)?\s+(?:of\s+)?(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\s+\d|(?:\d[\d.:]*\s*(?:am|pm)?|noon|midnight)\s*(?:-|to|till?|until|left|dep|off)\s*(?:\d|noon|midnight|half))/i;
const HAS_VALUE = /(?:^|[^a-z0-9])(?:(?:zs|ze|r1\s*[+&/]?\s*r2|ir|pfc)\W*[\d.]|ir\s+[ln][-/]|pol\W|rcd\W*[\d.]+\s*m[as]|ring(?:\s+[\d.]+){3}|ring\s+[\d.]+\/)/i;
const HAS_DEVICE = /(?:^|[^a-z0-9])[bcd](?:[6-9]|[1-9]\d{1,2})(?![a-z0-9])/i;
const HAS_MONEY = /£|\d\.\d\d(?!\d)|(?:^|\s)\d+p(?![a-z])/i;
const HAS_LENGTH = /(?:^|[^a-z0-9.])(?:[\d.½¼¾]+\s*(?:m|mins?|minutes?|h|hrs?|hours?|mtrs?|metres?)(?![a-z])|\d+h\d|(?:half|all|full|½|1\/2)\s*(?:an?\s+)?(?:day|hour|hr)|an hour)/i;
const HAS_CABLE = wordsIn(WORDS.cable);
const HAS_PAY = wordsIn(WORDS.pay);
const CUTS = /[,;]|(?:^|\s)(?:and|&|\+)(?:\s|$)/i;

const said = (line) => ({ line, problem: '' });
const asText = (words, problem) => ({ line: 'text: ' + fold(words), problem });

function number(text) {
  const bare = fold(text).replace(',', '.').replace(/\s/g, '');
  if (/^lim$/i.test(bare)) return 'LIM';
  const match = /^(>?)(\d{0,6}(?:\.\d{1,6})?)(\+?)$/.exec(bare);
  if (!match || !match[2] || (match[1] && match[3])) return null;
  return (match[1] || match[3] ? '>' : '') + (match[2].startsWith('.') ? '0' : '') + match[2];
}

function money(text) {
  const bare = fold(text).replace(/[£\s]/g, '').replace(',', '.');
  const match = /^(\d{1,6})?(?:\.(\d{1,2}))?$/.exec(bare);
  if (!match || !bare || bare === '.') return null;
  return Number(match[1] || 0) + '.' + (match[2] || '').padEnd(2, '0');
}

const whole = (text) => (/^[1-9]\d{0,4}$/.test(fold(text)) ? fold(text) : null);
const metres = (text) => {
  const bare = fold(text).replace(',', '.');
  return /^\d{1,5}(?:\.\d{1,2})?$/.test(bare) && Number(bare) > 0 ? bare : null;
};

function taskLine(task, now) {
  const minutes = runMinutes(task, now);
  const plain = task.count ? `task ${task.name}, how many: ${task.count}, ${lengthText(minutes)}` : '';
  const bad = (problem) => asText(plain, problem);
  const time = minutes ? ' ' + lengthText(minutes) : '';
  if (task.unit === 'metre') {
    const long = task.count && metres(task.count);
    if (task.count && !long) return bad('Metres are figures, such as 24 or 2.5.');
    return said(task.say + (long ? ` ${long}m` : '') + (minutes && minutes < 60 ? ' 0h' + two(minutes) : time));
  }
  const count = task.count && whole(task.count);
  if (task.count && !count) return bad('How many is a whole figure, such as 2.');
  if (task.unit === 'circuit') return said(task.say + (count ? ' x' + count : '') + time);
  return said((count ? count + 'x ' : '') + task.say + time);
}

function findingLine(item) {
  const what = trimMarks([trimMarks(item.what), trimMarks(item.where)].filter(Boolean).join(', '));
  const done = item.done ? fold(item.done + ' ' + trimMarks(item.more)) : '';
  const who = item.who === 'by name' ? fold(item.title + ' ' + fold(item.name)) : item.who;
  const told = who ? 'told ' + who + (item.how ? ' by ' + item.how : '') : '';
  const tail = [done, told].filter(Boolean).join(', ');
  const bad = (problem) => asText(['finding', item.code, what, tail].filter(Boolean).join(' - '), problem);
  if (!what) return bad('Say what you found.');
  if (!item.code) return bad('Choose C1, C2, C3, FI or note.');
  const words = what + ' ' + trimMarks(item.more);
  if (HAS_CODE.test(words)) return bad('A code stands in the words. Choose it above, and leave it out of the words.');
  if (HAS_TELLING.test(words)) return bad('Who was told has its own field below.');
  if (BEGINS_ELSE.test(what)) return bad('Begin with what you saw, not with a note mark or a ref.');
  if (DONE_INSIDE.test(what)) return bad('What you did has its own field below.');
  if (item.code === 'note' && BEGINS_DONE.test(what)) return bad('What you did has its own field below.');
  if (item.who === 'by name' && !/^[a-z][a-z'’-]*$/i.test(fold(item.name))) return bad('Give the surname alone, as one word.');
  if (item.code === 'note') return said('note: ' + what + (tail ? ', ' + tail : ''));
  return said(what + ' ' + item.code + (done ? ' ' + tail : tail ? ', ' + tail : ''));
}

const VALUES = [['zs', 'zs'], ['ze', 'ze'], ['r1r2', 'r1+r2'], ['pfc', 'pfc']];

function readingLine(item) {
  const circuit = trimMarks(item.circuit);
  const parts = [];
  const wrong = [];
  const value = (key) => {
    if (!fold(item[key])) return '';
    const read = number(item[key]);
    if (read === null) wrong.push(item[key]);
    return read || '';
  };
  const rating = fold(item.rating);
  if (rating && item.device && /^([6-9]|[1-9]\d{1,2})$/.test(rating)) parts.push(item.device + rating);
  else if (rating) wrong.push((item.device || '') + rating);
  const ring = ['ring1', 'ring2', 'ring3'].map(value);
  if (ring.every(Boolean)) parts.push('ring ' + ring.join(' '));
  else if (ring.some(Boolean)) wrong.push('ring ' + ring.join(' '));
  for (const [key, word] of VALUES) {
    const read = value(key);
    if (read) parts.push(`${word} ${read}${key === 'pfc' ? 'ka' : ''}`);
  }
  const volts = whole(item.irAt) ? ' @' + whole(item.irAt) : '';
  if (fold(item.irAt) && !volts) wrong.push(item.irAt);
  const earth = value('ir');
  const live = value('irLive');
  if (earth) parts.push('IR ' + earth + volts);
  if (live) parts.push('IR L-N ' + live + volts);
  const at = value('rcdAt');
  const ms = value('rcdMs');
  if (at || ms) parts.push('rcd' + (at && ` ${at}mA`) + (ms && ` ${ms}ms`));
  if (item.pol) parts.push('pol ' + item.pol);
  const origin = ['ze', 'pfc'].some((key) => fold(item[key])) && parts.length === ['ze', 'pfc'].filter((key) => fold(item[key])).length;
  const bad = (problem) => asText(['reading', circuit, ...parts, ...wrong].filter(Boolean).join(' '), problem);
  if (wrong.length) return bad(`Not a figure that a log takes: ${fold(wrong[0])}. Write 1.32, >200 or LIM; a device is B, C or D with its amperes; a ring has three.`);
  if (!parts.some((part) => !/^[BCD]\d+$/.test(part))) return bad('No figure yet.');
  if (!circuit && !origin) return bad('Say which circuit.');
  if (HAS_CODE.test(circuit) || HAS_VALUE.test(circuit + ' ') || HAS_DEVICE.test(circuit)) return bad('The circuit’s name holds a code, a device or a figure. They have fields of their own.');
  if (HAS_DATE.test(circuit) || BEGINS_ELSE.test(circuit)) return bad('The circuit’s name reads as a date, a time or a ref. Put a word in its place.');
  return said([circuit, ...parts].filter(Boolean).join(' '));
}

function materialLine(item) {
  const name = trimMarks(item.item);
  const long = item.unit === 'm';
  const count = long ? metres(item.count || '1') : whole(item.count || '1');
  const price = fold(item.price) ? money(item.price) : '';
  const plain = [item.count, long ? 'm' : '', name, item.price].map(fold).filter(Boolean).join(' ');
  const bad = (problem) => asText('material ' + plain, problem);
  if (!name) return bad('Say what it is.');
  if (!count) return bad(long ? 'Metres are figures, such as 12 or 2.5.' : 'How many is a whole figure, such as 6.');
  if (price === null) return bad('The price is an amount such as 4.50.');
  if (CUTS.test(name)) return bad('One thing a line: leave out commas, and, & and +.');
  if (HAS_MONEY.test(name) || HAS_PAY.test(name)) return bad('The price has its own field.');
  if (HAS_LENGTH.test(name)) return bad('A length in the name would be read as time or metres. Leave it out, or choose metres.');
  if (HAS_CODE.test(name) || HAS_VALUE.test(name + ' ')) return bad('This reads as a code or a reading. Turn the words round: 30mA RCD.');
  if (long && !HAS_CABLE.test(name)) return bad('Metres go with cable, flex, swa, tails, conduit or trunking: put the word in the name.');
  const each = item.each === 'all' ? '' : long ? '/m' : ' ea';
  return said('mats: ' + count + (long ? 'm ' : 'x ') + name + (price ? ` £${price}${each}` : ''));
}

function itemLines(item) {
  switch (item.type) {
    case 'finding': return [findingLine(item)];
    case 'reading': return [readingLine(item)];
    case 'material': return [materialLine(item)];
    case 'photo': return [fold(item.name) ? said('photo: ' + fold(item.name)) : asText('photo', 'Give the file’s name.')];
    default: {
      const lines = item.text.split('\n').map(fold).filter(Boolean);
      return lines.length ? lines.map((line) => said('text: ' + line)) : [{ line: '', problem: 'Nothing typed yet.' }];
    }
  }
}

// Minutes on site by the phone, break and all; null while they are not known.
function onSite(visit) {
  if (visit.start && visit.end) return minutesBetween(visit.start, visit.end);
  return null;
}

const restMinutes = (visit, now) => runMinutes(visit.rest, now);

// Whether the two clock times alone say how long it was: not in an hour that comes twice, nor over a whole day.
function clocksSay(visit) {
  const start = momentsOf(visit.date, visit.from)[0];
  const end = start === undefined ? null : endAfter(start, visit.date, visit.from, visit.to);
  return end !== null && visit.from !== visit.to && minutesBetween(start, end) === onSite(visit);
}

function visitLines(visit, now) {
  const kind = visit.kind === 'planned' ? '' : ' ' + visit.kind;
  const rest = restMinutes(visit, now);
  const gone = onSite(visit);
  if (gone === null) {
    const typed = Number(visit.hours || 0) * 60 + Number(visit.minutes || 0);
    if (!visit.start && typed > 0) return [`${visit.date} ${lengthText(typed)}${kind}`];
    return [visit.date + kind, visit.start ? `text: still on site, arrived ${visit.from}` : 'text: no times yet'];
  }
  if (clocksSay(visit)) return [`${visit.date} ${visit.from}-${visit.to}${kind}`, ...(rest ? ['brk ' + lengthText(rest)] : [])];
  const lines = [`${visit.date} ${lengthText(Math.max(1, gone - rest))}${kind}`];
  lines.push(`text: by the clock ${visit.from} to ${visit.to}, ${lengthText(gone)}` + (rest ? `, break ${lengthText(rest)} taken off` : ''));
  return lines;
}

function roadLines(visit) {
  const lines = [];
  const miles = fold(visit.miles).replace(',', '.');
  const road = fold(visit.road);
  const good = /^\d{1,4}(\.\d{1,2})?$/.test(miles);
  const goodRoad = /^[1-9]\d{0,3}$/.test(road);
  if (good) lines.push(`${miles} miles` + (goodRoad ? ' ' + lengthText(Number(road)) : ''));
  else if (goodRoad) lines.push('travel ' + lengthText(Number(road)));
  if (miles && !good) lines.push('text: miles ' + miles);
  if (road && !goodRoad) lines.push('text: minutes on the road ' + road);
  const paid = fold(visit.parking);
  if (paid) {
    const amount = money(paid);
    lines.push(amount === null ? 'text: parking ' + paid : Number(amount) === 0 ? 'parking free' : 'parking ' + amount);
  }
  return lines;
}

function jobLines(job, now) {
  const head = goodRef(job.ref) ? ['ref ' + fold(job.ref)] : ['job: ' + fold(job.title)];
  const extra = [];
  if (goodRef(job.ref) && fold(job.title)) extra.push('text: ' + fold(job.title));
  if (job.location && !goodRef(job.ref)) extra.push('location: ' + job.location);
  const visits = [...job.visits].sort((a, b) => (a.date + a.from < b.date + b.from ? -1 : 1));
  return [...head, ...visits.flatMap((visit, index) => [
    ...visitLines(visit, now), ...(index ? [] : extra), ...roadLines(visit), ...visit.tasks.map((task) => taskLine(task, now).line),
    ...visit.items.flatMap((item) => itemLines(item).map((said) => said.line)).filter(Boolean),
  ])];
}

const goodRef = (ref) => /^(19|20)\d\d-\d{3}$/.test(fold(ref));
const noteText = () => day.jobs.flatMap((job) => jobLines(job, Date.now())).map((line) => line + '\n').join('');

// ---- drawing ------------------------------------------------------------------------------------------------------

let ticking = [];

function h(tag, props, ...kids) {
  const node = document.createElement(tag);
  for (const [key, value] of Object.entries(props || {})) {
    if (key === 'on') node.addEventListener(tag === 'button' ? 'click' : 'input', value);
    else if (value === true) node.setAttribute(key, '');
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(key, value);
  }
  node.append(...kids.flat().filter((kid) => kid !== null && kid !== false && kid !== undefined));
  return node;
}

const button = (words, on, props) => h('button', { type: 'button', on, ...props }, words);

// A field bound to a place in the day: whatever is typed there is kept at once.
function field(label, place, key, props = {}) {
  const { after, tag = 'input', options, hint, ...rest } = props;
  const id = rest.id || 'f-' + (place.id || 'draft') + '-' + key;
  const input = h(tag, {
    id, autocomplete: 'off', ...rest, 'aria-describedby': hint ? id + '-hint' : null,
    on: (event) => { place[key] = event.target.value; keep(); if (after) after(); },
  }, ...(options || []).map(([value, words]) => h('option', { value }, words)));
  input.value = place[key] ?? '';
  return h('div', { class: 'field' }, h('label', { for: id }, label), input, hint ? h('p', { class: 'small', id: id + '-hint' }, hint) : null);
}

const choice = (label, place, key, options, props) => field(label, place, key, { tag: 'select', options, ...props });
const figures = (label, place, key, props) => field(label, place, key, { inputmode: 'decimal', ...props });
const pairs = (words, none) => [['', none], ...words.map((word) => [word, word])];

function tick(node, words) {
  const draw = () => { const text = words(); if (node.textContent !== text) node.textContent = text; };
  draw();
  ticking.push(draw);
  return node;
}

function say(words) {
  $('said').textContent = '';
  setTimeout(() => { $('said').textContent = words; }, 50);
}

function here() {
  const job = day.open && day.jobs.find((job) => job.id === day.open.job);
  const visit = job && job.visits.find((visit) => visit.id === day.open.visit);
  return visit ? { job, visit } : null;
}

function show(focus) {
  ticking = [];
  const at = here();
  $('main').replaceChildren(...(at ? visitView(at.job, at.visit) : dayView()).filter(Boolean));
  if (!focus) return;
  const target = $(focus) || $('main');
  target.focus({ preventScroll: true });
  if (target.id === 'main') scrollTo(0, 0); else target.scrollIntoView({ block: 'nearest' });
}

// Something was taken away or ended: says so, and offers to put it back until the next such thing.
function offerUndo(words, back, focus) {
  const bar = $('undo');
  bar.replaceChildren(h('span', {}, words), button('Undo', () => { bar.hidden = true; back(); keep(); show(focus || 'main'); say('Put back.'); }));
  bar.hidden = false;
  say(words + ' Undo is at the foot of the page.');
}

function remove(list, entry, words, focus) {
  const at = list.indexOf(entry);
  list.splice(at, 1);
  day.edit = null;
  keep();
  offerUndo(words, () => list.splice(Math.min(at, list.length), 0, entry), focus);
  show(focus || 'main');
}

// ---- the day ------------------------------------------------------------------------------------------------------

const jobName = (job) => fold(job.title) || (goodRef(job.ref) ? fold(job.ref) : 'A job without a title yet');

function visitWords(visit) {
  const kind = visit.kind === 'planned' ? '' : ', ' + visit.kind;
  if (visit.start && !visit.end) return `On site since ${visit.from}${kind}`;
  const gone = onSite(visit);
  if (gone !== null) return `${visit.date}, ${visit.from} to ${visit.to}, ${lengthText(gone)}${kind}`;
  return visit.date + kind;
}

function dayView() {
  const parts = [h('h1', { id: 'top', tabindex: '-1' }, 'Pocket docket')];
  if (day.jobs.length) parts.push(h('ul', { class: 'stack part' }, ...day.jobs.map(jobCard)));
  else parts.push(h('p', { class: 'part' }, 'Nothing noted yet. Arrive, and the clock starts; everything else can wait until you have a hand free.'));
  parts.push(startForm());
  if (day.jobs.length) parts.push(handOver(), clearing());
  return parts;
}

function jobCard(job) {
  return h('li', { class: 'sheet' }, h('h2', {}, jobName(job)),
    ...job.visits.map((visit) => button(visitWords(visit), () => openVisit(job, visit), { class: 'row', 'aria-label': `${jobName(job)}: ${visitWords(visit)}. Open` })),
    button('Another visit to this job', () => addVisit(job, 'planned', Date.now()), { 'aria-label': `Another visit to this job: ${jobName(job)}` }));
}

function openVisit(job, visit) {
  $('undo').hidden = true;
  day.open = { job: job.id, visit: visit.id };
  day.edit = null;
  keep();
  show('main');
}

function startForm() {
  const draft = day.draft;
  const ref = h('p', { class: 'problem', hidden: true }, 'A ref looks like 2026-031. Any other goes into the title.');
  const look = () => { ref.hidden = !fold(draft.ref) || goodRef(draft.ref); };
  const form = h('section', { class: 'sheet part', 'aria-labelledby': 'start-head' },
    h('h2', { id: 'start-head' }, 'A visit'),
    field('What is the job?', draft, 'title', { hint: 'A few words: Sail loft, stair lights dead' }),
    field('Or the ref of a job in the diary', draft, 'ref', { inputmode: 'numeric', after: look, placeholder: '2026-031' }), ref,
    choice('What kind of visit?', draft, 'kind', KINDS),
    WORDS.locations.length ? choice('What kind of place?', draft, 'location', [['', 'not said'], ...WORDS.locations]) : null,
    button('Arrive now', () => begin(Date.now()), { class: 'first wide' }),
    button('Note an earlier visit', () => begin(null), { class: 'wide' }));
  look();
  return form;
}

function begin(now) {
  const draft = day.draft;
  const job = { id: newId(), title: draft.title, ref: draft.ref, location: draft.location, visits: [] };
  if (fold(job.ref) && !goodRef(job.ref)) { job.title = fold(job.title + ' ' + job.ref); job.ref = ''; }
  day.jobs.push(job);
  day.draft = newDraft();
  addVisit(job, draft.kind, now);
}

function addVisit(job, kind, now) {
  const visit = {
    id: newId(), kind, date: dateOf(now || Date.now()), from: now ? clockOf(now) : '', to: '', start: now, end: null,
    hours: '', minutes: '', rest: { ms: 0, since: null }, parking: '', miles: '', road: '', tasks: [], items: [],
  };
  job.visits.push(visit);
  openVisit(job, visit);
  if (now) say('Arrived at ' + visit.from + '.');
}

// ---- handing over -------------------------------------------------------------------------------------------------

function handOver() {
  const open = day.jobs.some((job) => job.visits.some((visit) => visit.start && !visit.end));
  const unsure = day.jobs.flatMap((job) => job.visits.flatMap((visit) => [...visit.tasks.map((task) => taskLine(task)), ...visit.items.flatMap(itemLines)])).filter((said) => said.problem).length;
  const text = h('pre', { id: 'text', tabindex: '0', role: 'region', 'aria-label': 'The note as text' });
  tick(text, noteText);
  return h('section', { class: 'sheet part', 'aria-labelledby': 'hand-head' },
    h('h2', { id: 'hand-head' }, 'Hand the notes over'),
    open ? h('p', { class: 'problem' }, 'You are still on site somewhere: leave first, or its time is missing.') : null,
    unsure ? h('p', { class: 'problem' }, `${unsure === 1 ? 'One entry goes' : unsure + ' entries go'} as plain text, since something in them is missing or unclear.`) : null,
    handOverButtons('hand'),
    h('details', {}, h('summary', {}, 'The note as text'), text));
}

function handOverButtons(where) {
  return h('div', { class: 'side' },
    navigator.share ? button('Share', shareNote, { class: 'first', id: where + '-share' }) : null,
    button('Download', downloadNote, { class: navigator.share ? null : 'first', id: where + '-download' }),
    button('Copy', copyNote, { id: where + '-copy' }));
}

const fileName = () => `daywork-${dateOf(Date.now())}.txt`;

function handed(text, words) {
  day.handed = text;
  keep();
  show();
  say(words);
}

async function shareNote() {
  const text = noteText();
  const file = new File([text], fileName(), { type: 'text/plain' });
  const asFile = { files: [file], title: fileName() };
  try {
    await navigator.share(navigator.canShare && navigator.canShare(asFile) ? asFile : { text, title: fileName() });
    handed(text, 'Shared.');
  } catch (fault) {
    if (!fault || fault.name !== 'AbortError') say('This phone would not share it. Download or copy it.');
  }
}

function downloadNote() {
  const text = noteText();
  const address = URL.createObjectURL(new Blob([text], { type: 'text/plain;charset=utf-8' }));
  const link = h('a', { href: address, download: fileName(), hidden: true });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
  handed(text, `Downloaded as ${fileName()}.`);
}

async function copyNote() {
  const text = noteText();
  try {
    await navigator.clipboard.writeText(text);
  } catch {
    const box = h('textarea', { class: 'vh', 'aria-hidden': 'true', tabindex: '-1' });
    box.value = text;
    document.body.append(box);
    box.select();
    const done = document.execCommand('copy');
    box.remove();
    if (!done) return say('This phone would not copy it. Download it.');
  }
  say('Copied.');
}

function clearing() {
  const box = h('section', { class: 'part', 'aria-labelledby': 'clear-head' }, h('h2', { id: 'clear-head' }, 'Start a clean page'));
  const ready = () => day.handed !== '' && day.handed === noteText();
  const ask = button('Delete everything', () => { sure.hidden = false; ask.hidden = true; $('clear-no').focus(); }, { id: 'clear', disabled: !ready() });
  const sure = h('div', { class: 'sheet', hidden: true },
    h('p', {}, 'Do you have the file? This takes every note off the phone.'),
    h('div', { class: 'side' },
      button('Keep them', () => show('clear'), { id: 'clear-no' }),
      button('Delete them all', () => {
        const old = day;
        day = { ...empty(), serial: old.serial, next: old.next };
        keep();
        offerUndo('Everything deleted.', () => { day = { ...old, serial: day.serial }; });
        show('main');
      }, { id: 'clear-yes' })));
  box.append(h('p', { class: 'small' }, ready() ? 'Handed over as it stands. Delete it here, so that it is not handed over twice.'
    : 'First share or download the notes as they stand now.'), ask, sure);
  return box;
}

// ---- a visit ------------------------------------------------------------------------------------------------------

function visitView(job, visit) {
  const item = day.edit && [...visit.items, ...visit.tasks].find((entry) => entry.id === day.edit);
  const back = button('All visits', () => { day.open = day.edit = null; keep(); show('main'); });
  const parts = [back, h('h1', { class: 'part', id: 'top', tabindex: '-1' }, jobName(job)), h('p', { class: 'now' })];
  tick(parts[2], () => nowWords(visit));
  if (item) return [...parts, item.type ? itemForm(visit, item) : taskForm(visit, item)];
  parts.push(tasksPart(visit), addPart(visit), itemsPart(visit), aboutPart(visit), timesPart(job, visit));
  if (visit.start && !visit.end) parts.push(footBar(job, visit));
  return parts;
}

function nowWords(visit) {
  const now = Date.now();
  if (!visit.start || visit.end) return visitWords(visit);
  const gone = minutesBetween(visit.start, now);
  const since = (dateOf(now) === visit.date ? '' : visit.date + ' ') + visit.from;
  if (gone >= 24 * 60) return `On site since ${since}: over a day. Leave, and put the time right below.`;
  return `On site since ${since}, ${lengthText(gone)}` + (visit.rest.since ? ', on a break' : '');
}

function footBar(job, visit) {
  return h('div', { class: 'foot side' },
    button(visit.rest.since ? 'Back to work' : 'Break', () => pause(visit), { id: 'break', class: visit.rest.since ? 'on' : null }),
    button('Leave site', () => leave(visit), { class: 'first', id: 'leave' }));
}

const stopTasks = (visit) => visit.tasks.filter((task) => task.since).forEach(stopTimer);

function pause(visit) {
  if (visit.rest.since) {
    stopTimer(visit.rest);
    say('Break over: ' + lengthText(restMinutes(visit)) + ' in all.');
  } else {
    stopTasks(visit);
    visit.rest.since = Date.now();
    say('On a break. The clock of the task has stopped.');
  }
  keep();
  show('break');
}

function leave(visit) {
  const before = JSON.stringify([visit.tasks, visit.rest]);
  stopTasks(visit);
  if (visit.rest.since) stopTimer(visit.rest);
  visit.end = Date.now();
  visit.to = clockOf(visit.end);
  keep();
  offerUndo(`Left at ${visit.to}.`, () => { [visit.tasks, visit.rest] = JSON.parse(before); visit.end = null; visit.to = ''; });
  show('main');
}

function tasksPart(visit) {
  const part = h('section', { class: 'part', 'aria-labelledby': 'tasks-head' }, h('h2', { id: 'tasks-head' }, 'What the time goes on'));
  if (visit.tasks.length) part.append(h('ul', { class: 'items' }, ...visit.tasks.map((task) => taskRow(visit, task))));
  part.append(taskPicker(visit));
  return part;
}

const taskTitle = (task) => (task.count ? task.count + (task.unit === 'metre' ? ' m ' : ' x ') : '') + task.name;

function taskRow(visit, task) {
  const time = tick(h('span', { class: 'small' }), () => (task.since ? 'running, ' : '') + lengthText(runMinutes(task)));
  const problem = taskLine(task).problem;
  return h('li', {}, h('p', {}, taskTitle(task), ' ', time), problem ? h('p', { class: 'problem' }, problem) : null,
    h('div', { class: 'side' },
      visit.end || !visit.start ? null : button(task.since ? 'Stop' : 'Start', () => toggleTask(visit, task), { id: 'run-' + task.id, 'aria-label': (task.since ? 'Stop: ' : 'Start: ') + task.name, class: task.since ? 'on' : null }),
      button('Change', () => edit(task), { id: 'edit-' + task.id, 'aria-label': 'Change: ' + taskTitle(task) })));
}

function toggleTask(visit, task) {
  const was = task.since;
  stopTasks(visit);
  if (!was) {
    if (visit.rest.since) stopTimer(visit.rest);
    task.since = Date.now();
  }
  keep();
  show('run-' + task.id);
  say(was ? 'Stopped: ' + task.name : 'Started: ' + task.name);
}

function taskPicker(visit) {
  const list = h('ul', { class: 'stack' });
  const find = h('input', { id: 'find', type: 'search', autocomplete: 'off', on: () => fill() });
  const fill = () => {
    const words = fold(find.value).toLowerCase().split(' ').filter(Boolean);
    const found = TASKS.filter((task) => words.every((word) => `${task.name} ${task.say} ${task.also}`.toLowerCase().includes(word)));
    list.replaceChildren(...found.slice(0, 8).map((task) => h('li', {}, button(task.name, () => addTask(visit, task), { class: 'wide' }))));
    if (!found.length) list.append(h('li', {}, TASKS.length ? 'No task type of that name. Note it under Words.' : 'The diary has no task types yet.'));
    if (found.length > 8) list.append(h('li', { class: 'small' }, `and ${found.length - 8} more: type a few letters`));
  };
  fill();
  const box = h('details', { id: 'add-task' }, h('summary', {}, visit.start && !visit.end ? 'Start a task' : 'Add a task'),
    h('div', { class: 'stack' }, h('div', { class: 'field' }, h('label', { for: 'find' }, 'Find it by a few letters'), find), list));
  if (!visit.tasks.length) box.open = true;
  return box;
}

function addTask(visit, { name, unit, say: words }) {
  const task = { id: newId(), name, unit, say: words, count: '', ms: 0, since: null };
  visit.tasks.push(task);
  if (visit.start && !visit.end) return toggleTask(visit, task);
  edit(task);
}

function taskForm(visit, task) {
  const total = runMinutes(task);
  const typed = { id: task.id + 't', hours: String(Math.floor(total / 60) || ''), minutes: String(total % 60 || '') };
  const problem = h('p', { class: 'problem' });
  const look = () => { problem.textContent = taskLine(task).problem; problem.hidden = !problem.textContent; };
  const set = () => {
    const running = task.since;
    task.ms = (Number(typed.hours) * 60 + Number(typed.minutes)) * MINUTE || 0;
    if (running) task.since = Date.now();
    keep();
  };
  look();
  const many = { metre: 'How many metres?', circuit: 'How many circuits?' }[task.unit] || 'How many?';
  return h('section', { class: 'sheet part', 'aria-labelledby': 'form-head' }, h('h2', { id: 'form-head', tabindex: '-1' }, task.name),
    figures(many, task, 'count', { after: look }), problem,
    h('div', { class: 'pair' }, figures('Hours', typed, 'hours', { after: set }), figures('Minutes', typed, 'minutes', { after: set })),
    formEnd(() => closeForm('edit-' + task.id), () => remove(visit.tasks, task, `Task deleted: ${task.name}.`)));
}

function formEnd(done, del) {
  return h('div', { class: 'side' }, button('Delete', del, { id: 'form-delete' }), button('Done', done, { class: 'first', id: 'form-done' }));
}

function edit(entry) {
  day.edit = entry.id;
  keep();
  show('form-head');
  $('form-head').scrollIntoView({ block: 'start' });
}

function closeForm(focus) {
  day.edit = null;
  keep();
  show(focus);
}

// ---- findings, readings, materials, photos, words -----------------------------------------------------------------

const BLANK = {
  finding: { code: '', what: '', where: '', done: '', more: '', who: '', title: 'Mr', name: '', how: '' },
  reading: { circuit: '', device: 'B', rating: '', zs: '', ze: '', r1r2: '', ring1: '', ring2: '', ring3: '', ir: '', irLive: '', irAt: '', rcdAt: '', rcdMs: '', pfc: '', pol: '' },
  material: { item: '', count: '1', unit: 'each', price: '', each: 'each' },
  photo: { name: '' },
  text: { text: '' },
};

function addPart(visit) {
  return h('section', { class: 'part', 'aria-labelledby': 'add-head' }, h('h2', { id: 'add-head' }, 'Note something'),
    h('div', { class: 'side' }, ...Object.keys(NAMES).map((type) => button(NAMES[type], () => addItem(visit, type), { id: 'add-' + type, 'aria-label': 'Note: ' + NAMES[type] }))));
}

function addItem(visit, type) {
  const item = { id: newId(), type, ...BLANK[type] };
  visit.items.push(item);
  $('undo').hidden = true;
  edit(item);
}

function isBlank(item) {
  return Object.entries(BLANK[item.type]).every(([key, value]) => fold(item[key]) === value);
}

function itemsPart(visit) {
  if (!visit.items.length) return null;
  return h('section', { class: 'part', 'aria-labelledby': 'items-head' }, h('h2', { id: 'items-head' }, 'Noted'),
    h('ul', { class: 'stack' }, ...visit.items.map((item) => {
      const lines = itemLines(item);
      const problem = lines[0].problem;
      const words = lines.map(({ line }) => line.replace(/^(text|photo|mats): /, '')).join(' / ') || NAMES[item.type];
      return h('li', {}, h('button', { type: 'button', class: 'row', id: 'edit-' + item.id, on: () => edit(item) },
        h('span', { class: 'small' }, NAMES[item.type] + ': '), words, h('span', { class: 'vh' }, '. Change it')), problem ? h('p', { class: 'problem' }, problem) : null);
    })));
}

function itemForm(visit, item) {
  const problem = h('p', { class: 'problem' });
  const look = () => { problem.textContent = itemLines(item).map((said) => said.problem).find(Boolean) || ''; problem.hidden = !problem.textContent || isBlank(item); };
  look();
  const done = () => {
    if (!isBlank(item)) return closeForm('edit-' + item.id);
    visit.items.splice(visit.items.indexOf(item), 1);
    closeForm('add-' + item.type);
  };
  const form = h('section', { class: 'sheet part', 'aria-labelledby': 'form-head' }, h('h2', { id: 'form-head', tabindex: '-1' }, NAMES[item.type]),
    ...FORMS[item.type](item, visit), problem, formEnd(done, () => remove(visit.items, item, `${NAMES[item.type]} deleted.`)));
  form.addEventListener('input', look);
  return form;
}

function codePicker(item) {
  return h('fieldset', {}, h('legend', {}, 'Code'), h('div', { class: 'codes' }, ...CODES.map(([code, words]) => {
    const radio = h('input', { type: 'radio', name: 'code', value: code, on: () => { item.code = code; keep(); } });
    radio.checked = item.code === code;
    return h('label', { class: 'pick' }, radio, h('span', { class: 'shape k-' + code, 'aria-hidden': 'true' }), h('b', {}, code), h('span', {}, words));
  })));
}

function findingForm(item) {
  const named = h('div', { class: 'pair' }, choice('Mr, Mrs', item, 'title', ['Mr', 'Mrs', 'Ms', 'Miss'].map((word) => [word, word])), field('Surname', item, 'name'));
  const look = () => { named.hidden = item.who !== 'by name'; };
  look();
  return [codePicker(item), field('What you found', item, 'what', { tag: 'textarea', rows: '2' }), field('Where', item, 'where'),
    choice('What you did', item, 'done', pairs(WORDS.done, 'nothing yet')), field('More of what you did', item, 'more'),
    choice('Who was told', item, 'who', [...pairs(WORDS.who, 'nobody yet'), ['by name', 'somebody by name']], { after: look }), named,
    choice('Told how', item, 'how', pairs(['email', 'text', 'phone', 'letter', 'note'], 'in person'))];
}

function readingForm(item) {
  return [field('Circuit', item, 'circuit'),
    h('div', { class: 'pair' }, choice('Device type', item, 'device', ['B', 'C', 'D'].map((word) => [word, word])), figures('Device amperes', item, 'rating')),
    h('div', { class: 'pair' }, field('Zs, ohms', item, 'zs', { inputmode: 'text' }), field('R1+R2, ohms', item, 'r1r2')),
    h('div', { class: 'pair' }, field('IR to earth, megohms', item, 'ir', { placeholder: '>200' }), field('IR live to live, megohms', item, 'irLive')),
    figures('IR test volts', item, 'irAt'),
    h('div', { class: 'pair' }, figures('RCD test, mA', item, 'rcdAt'), figures('RCD time, ms', item, 'rcdMs')),
    h('fieldset', {}, h('legend', {}, 'Ring, ohms'), h('div', { class: 'pair' }, figures('r1', item, 'ring1'), figures('rn', item, 'ring2'), figures('r2', item, 'ring3'))),
    h('div', { class: 'pair' }, figures('Ze, ohms', item, 'ze'), figures('PFC, kA', item, 'pfc')),
    choice('Polarity', item, 'pol', [['', 'not said'], ['ok', 'ok'], ['reversed', 'reversed']])];
}

function materialForm(item) {
  return [field('What', item, 'item', { hint: 'One thing; cable by the metre keeps its word: 1.5 t&e' }),
    h('div', { class: 'pair' }, figures('How many', item, 'count'), choice('Counted in', item, 'unit', [['each', 'pieces'], ['m', 'metres']])),
    h('div', { class: 'pair' }, figures('Price, £', item, 'price'), choice('The price is for', item, 'each', [['each', 'one'], ['all', 'the lot']]))];
}

// Only the names are taken from the pictures that are picked: the page opens none of them.
function photoForm(item, visit) {
  const pick = h('input', { type: 'file', id: 'pick', accept: 'image/*', multiple: true, on: (event) => {
    const names = [...event.target.files].map((file) => file.name);
    if (!names.length) return;
    item.name = names[0];
    visit.items.push(...names.slice(1).map((name) => ({ id: newId(), type: 'photo', name })));
    keep();
    closeForm('edit-' + item.id);
  } });
  return [field('File name on the camera', item, 'name', { hint: 'such as IMG_1234.jpg' }),
    h('div', { class: 'field' }, h('label', { for: 'pick' }, 'Or pick the pictures: only their names are taken'), pick)];
}

const FORMS = {
  finding: findingForm, reading: readingForm, material: materialForm, photo: photoForm,
  text: (item) => [field('Anything else, in your own words', item, 'text', { tag: 'textarea', rows: '5' })],
};

// ---- what the visit cost, and its times ---------------------------------------------------------------------------

function aboutPart(visit) {
  return h('section', { class: 'part', 'aria-labelledby': 'about-head' }, h('h2', { id: 'about-head' }, 'Parking and the road'),
    h('div', { class: 'pair' }, figures('Parking, £ (0 if free)', visit, 'parking'), figures('Miles, there and back', visit, 'miles'),
      figures('Minutes on the road, there and back', visit, 'road')));
}

function timesPart(job, visit) {
  const note = h('p', { class: 'problem', id: 'times-note' });
  const look = () => { note.textContent = timesProblem(visit); note.hidden = !note.textContent; };
  const retime = () => { setTimes(visit); keep(); look(); ticking.forEach((draw) => draw()); };
  const rest = { id: visit.id + 'r', rest: String(restMinutes(visit) || '') };
  const setRest = () => { visit.rest.ms = (Number(rest.rest) || 0) * MINUTE; if (visit.rest.since) visit.rest.since = Date.now(); keep(); look(); };
  look();
  const box = h('details', { id: 'times' }, h('summary', {}, 'Times and title'), h('div', { class: 'stack' },
    field('Title', job, 'title', { after: () => { $('top').textContent = jobName(job); } }), field('Ref', job, 'ref', { placeholder: '2026-031' }),
    choice('Kind of visit', visit, 'kind', KINDS),
    WORDS.locations.length ? choice('Kind of place', job, 'location', [['', 'not said'], ...WORDS.locations]) : null,
    field('Day it began', visit, 'date', { type: 'date', after: retime }),
    h('div', { class: 'pair' }, field('Arrived', visit, 'from', { type: 'time', after: retime }), field('Left', visit, 'to', { type: 'time', after: retime })),
    h('p', { class: 'small' }, 'Left earlier by the clock than you arrived is taken as the next day.'), note,
    visit.start ? null : h('div', { class: 'pair' }, figures('Or hours', visit, 'hours'), figures('and minutes', visit, 'minutes')),
    figures('Break, minutes', rest, 'rest', { after: setRest }),
    button('Delete this visit', () => deleteVisit(job, visit), { id: 'delete-visit', class: 'wide' })));
  if (!visit.start) box.open = true;
  return box;
}

// Makes the moments follow the clock times and the date as they were typed.
function setTimes(visit) {
  const start = visit.date && visit.from ? momentsOf(visit.date, visit.from)[0] : undefined;
  visit.start = start === undefined ? null : start;
  visit.end = visit.start && visit.to ? endAfter(visit.start, visit.date, visit.from, visit.to) : null;
}

function timesProblem(visit) {
  if (!visit.date) return 'Give the day.';
  if (visit.from && !momentsOf(visit.date, visit.from).length) return `The clocks went forward that night: there was no ${visit.from}.`;
  if (visit.from && visit.to && visit.from === visit.to && !clocksSay(visit)) return 'Arrived and left are the same minute.';
  if (visit.from && visit.to && !visit.end) return `There was no ${visit.to} to leave at. Look at both times.`;
  const gone = onSite(visit);
  if (gone === null) return '';
  const tasks = visit.tasks.reduce((sum, task) => sum + runMinutes(task), 0);
  const left = gone - restMinutes(visit);
  return tasks > left ? `The tasks come to ${lengthText(tasks)}, and the visit less its break is ${lengthText(Math.max(0, left))}.` : '';
}

function deleteVisit(job, visit) {
  const at = day.jobs.indexOf(job);
  const place = job.visits.indexOf(visit);
  job.visits.splice(place, 1);
  if (!job.visits.length) day.jobs.splice(at, 1);
  day.open = day.edit = null;
  keep();
  offerUndo('Visit deleted.', () => { if (!job.visits.length) day.jobs.splice(at, 0, job); job.visits.splice(place, 0, visit); });
  show('main');
}

// ---- going --------------------------------------------------------------------------------------------------------

setInterval(() => ticking.forEach((draw) => draw()), 5000);
// The page open twice: what is typed in one comes up in the other, at once or when it is looked at again.
addEventListener('storage', (event) => { if (event.key === KEEP && event.newValue && take(event.newValue)) show(); });
document.addEventListener('visibilitychange', () => {
  if (document.hidden) return;
  let kept = null;
  try { kept = localStorage.getItem(KEEP); } catch { /* keep() tells of it */ }
  if (take(kept)) show(); else ticking.forEach((draw) => draw());
});
start();
