// The search page: loads the files of the index that the typed words need, and shows what they lead to.
// Each file calls daywork(name, value). Plain scripts, because a page opened from disk may load those and nothing else.
'use strict';
(() => {
  const $ = (id) => document.getElementById(id);
  const form = $('search'), field = $('words'), said = $('said'), list = $('results'), more = $('more');
  const { pages, inAFile, stamp } = form.dataset;
  const first = form.dataset.first.split(',');
  const common = new Set(form.dataset.common.split(','));
  const title = document.title;
  const AT_ONCE = 10;

  // ---- words, folded as the program folds those of the index (src/pages/search/fold.rs)
  const oneOf = (word) => {
    const length = [...word].length;
    if (length <= 3 || !/s$/.test(word) || /(ss|us)$/.test(word)) return word;
    if (/ies$/.test(word) && length > 4) return word.slice(0, -3) + 'y';
    return word.slice(0, /(ches|shes|xes|sses|zes)$/.test(word) ? -2 : -1);
  };
  const fold = (text) => {
    const plain = text.normalize('NFKD').replace(/[\p{M}'\u2019\u00ad]/gu, '').toLowerCase();
    const parts = plain.match(/\p{L}*\p{N}(\.?\p{N})*|\p{L}+/gu) ?? [];
    return parts.filter((part) => !/^\p{L}$/u.test(part) && !common.has(part)).map(oneOf);
  };

  // ---- the index's files, each loaded once
  const brought = {}, asked = {};
  window.daywork = (name, value) => { brought[name] = value; };
  window.daywork.fold = fold;
  const load = (name) => asked[name] ??= new Promise((done, fail) => {
    const script = document.createElement('script');
    script.src = `${name}.js?${stamp}`;
    script.onload = () => done(brought[name]);
    script.onerror = () => { delete asked[name]; script.remove(); fail(new Error(name)); };
    document.head.append(script);
  });
  // Rows [word, postings] of every file that may hold a word from `low` up to `high`.
  const rows = async (low, high) => {
    const wanted = first.map((_, at) => at).filter((at) => first[at] <= high && !(first[at + 1] <= low));
    const texts = await Promise.all(wanted.map((at) => load(`words-${at}`)));
    return texts.flatMap((text) => text.split(',')).map((row) => row.split(':'));
  };

  // ---- one word: as it stands, else as a beginning, else nearly
  // The least number of letters put in, left out, changed or swapped; `most` + 1 for more than that.
  const apart = (a, b, most) => {
    if (Math.abs(a.length - b.length) > most) return most + 1;
    let before, row = [...Array(b.length + 1).keys()];
    for (let i = 1; i <= a.length; i++) {
      const next = [i];
      for (let j = 1; j <= b.length; j++) {
        next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] !== b[j - 1]));
        if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) next[j] = Math.min(next[j], before[j - 2] + 1);
      }
      if (Math.min(...next) > most) return most + 1;
      [before, row] = [row, next];
    }
    return row[b.length];
  };
  const lookUp = async (word) => {
    const begins = word.length > 2;
    let hits = (await rows(word, begins ? word + '\uffff' : word))
      .filter(([other]) => other === word || (begins && other.startsWith(word)))
      .map(([other, postings]) => ({ other, postings, worth: other === word ? 1 : 0.4 }));
    let near = false;
    if (!hits.length && word.length > 3 && /^\p{L}/u.test(word)) {
      // The first letter is taken as right: the files of one letter are a small part of the index.
      const most = word.length > 7 ? 2 : 1;
      hits = (await rows(word[0], word[0] + '\uffff'))
        .map(([other, postings]) => ({ other, postings, far: apart(word, other, most) }))
        .filter((hit) => hit.other[0] === word[0] && hit.far <= most);
      const least = Math.min(...hits.map((hit) => hit.far));
      hits = hits.filter((hit) => hit.far === least).map((hit) => ({ ...hit, worth: 1 }));
      near = hits.length > 0;
    }
    const points = new Map();
    for (const { postings, worth } of hits) {
      const found = [...postings.matchAll(/(\d+)([a-o])/g)];
      const rare = Math.log(1 + pages / found.length);
      let page = -1;
      for (const [, way, mark] of found) {
        page += +way;
        const bits = mark.charCodeAt(0) - 96;
        const score = worth * rare * ((bits & 8 ? 10 : 0) + (bits & 4 ? 6 : 0) + (bits & 3));
        if (!(points.get(page) > score)) points.set(page, score);
      }
    }
    return { word, near, others: hits.map((hit) => hit.other), points };
  };

  // ---- all words: the pages that have every one, else those that have most
  const search = async (words) => {
    const found = await Promise.all(words.map(lookUp));
    const sums = new Map();
    for (const { points } of found) {
      for (const [page, score] of points) {
        const sum = sums.get(page) ?? { page, score: 0, have: 0 };
        sum.score += score;
        sum.have += 1;
        sums.set(page, sum);
      }
    }
    const all = [...sums.values()].filter((sum) => sum.have === words.length);
    const hits = (all.length ? all : [...sums.values()]).sort((a, b) => b.have - a.have || b.score - a.score || b.page - a.page);
    return { found, hits: hits.map((hit) => hit.page), every: all.length > 0 };
  };

  // ---- what is shown
  const quoted = (words) => words.map((word) => `“${word}”`).join(', ');
  const tell = ({ found, hits, every }) => {
    if (!hits.length) return `No page has ${quoted(found.map((one) => one.word))}, nor anything spelt like it. Try another word, or a subject below.`;
    const near = found.filter((one) => one.near)
      .map((one) => `Nothing is spelt ${quoted([one.word])}; the nearest is ${quoted(one.others.slice(0, 3))}. `).join('');
    const some = every ? '' : 'No page has all of these words. ';
    return `${near}${some}${hits.length} page${hits.length === 1 ? '' : 's'} ${every ? 'found' : 'found with some of them, the nearest first'}.`;
  };
  // A new element of a text with every found word marked.
  const marked = (tag, text, words) => {
    const element = document.createElement(tag);
    let end = 0;
    for (const { 0: run, index } of text.matchAll(/[\p{L}\p{N}\p{M}'’]+(\.[\p{N}]+)*/gu)) {
      if (!fold(run).some((word) => words.has(word))) continue;
      const mark = document.createElement('mark');
      mark.textContent = run;
      element.append(text.slice(end, index), mark);
      end = index + run.length;
    }
    element.append(text.slice(end));
    return element;
  };
  const item = ([name, link, line, gist, subjects], words) => {
    const li = document.createElement('li'), a = marked('a', name, words);
    a.href = `../${link}${location.protocol === 'file:' ? 'index.html' : ''}`;
    li.append(a, marked('p', subjects && subjects !== name ? `${line}. On ${subjects}.` : `${line}.`, words));
    if (gist) li.append(marked('p', gist, words));
    return li;
  };

  // Every search has its turn: what comes back after the next has begun is dropped.
  let turn = 0, hits = [], marks;
  const items = async (hits, from, marks) => {
    const part = hits.slice(from, from + AT_ONCE);
    const files = await Promise.all(part.map((page) => load(`pages-${Math.floor(page / inAFile)}`)));
    return part.map((page, at) => item(files[at][page % inAFile], marks));
  };
  const put = (how, made) => {
    list[how](...made);
    more.hidden = list.children.length >= hits.length;
  };
  const look = async () => {
    const own = ++turn, typed = field.value.trim(), words = [...new Set(fold(typed))];
    document.title = typed ? `${typed}: ${title}` : title;
    const result = await search(words), others = new Set(result.found.flatMap((one) => one.others));
    const made = await items(result.hits, 0, others);
    if (own !== turn) return;
    hits = result.hits;
    marks = others;
    put('replaceChildren', made);
    $('found').hidden = !hits.length;
    $('subjects').hidden = hits.length > 0;
    said.textContent = words.length ? tell(result) : typed && 'These words are too common to look for. Add one that says more.';
  };
  const addMore = async () => {
    const own = turn, from = list.children.length, made = await items(hits, from, marks);
    if (own !== turn) return;
    put('append', made);
    list.children[from].querySelector('a').focus();
  };
  const show = (what) => what().catch(() => { said.textContent = 'A part of the index did not load. See that there is a connection, and search again.'; });

  // ---- typing, the address, back
  const address = (how) => {
    const typed = field.value.trim(), query = typed && `?q=${encodeURIComponent(typed)}`;
    // A page opened from disk may not be allowed to change its address; it finds all the same.
    try { if (query !== location.search) history[how](null, '', query || location.pathname); } catch { /* as it was */ }
    show(look);
  };
  const fromAddress = () => {
    field.value = new URLSearchParams(location.search).get('q') ?? '';
    show(look);
  };
  let later;
  field.addEventListener('input', () => {
    clearTimeout(later);
    later = setTimeout(address, 150, 'replaceState');
  });
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    clearTimeout(later);
    address('pushState');
  });
  more.addEventListener('click', () => show(addMore));
  addEventListener('popstate', fromAddress);
  form.hidden = false;
  fromAddress();
})();
