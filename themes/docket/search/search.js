// The search page. The index is scripts that call daywork(name, value), since a page from disk may load nothing else.
'use strict';
(() => {
  const $ = (id) => document.getElementById(id);
  const form = $('search'), field = $('words'), said = $('said'), list = $('results'), more = $('more');
  const { pages, inAFile, stamp } = form.dataset, { title } = document;
  const first = form.dataset.first.split(','), common = form.dataset.common.split(',');

  const make = (tag, ...parts) => {
    const element = document.createElement(tag);
    element.append(...parts);
    return element;
  };

  // Words, as the program folds them (src/pages/search/fold.rs).
  const oneOf = (word) => {
    const length = [...word].length;
    if (length < 4 || !/[^su]s$/.test(word)) return word;
    if (/ies$/.test(word) && length > 4) return word.slice(0, -3) + 'y';
    return word.slice(0, /(ches|shes|xes|sses|zes)$/.test(word) ? -2 : -1);
  };
  const fold = (text) => {
    const plain = text.normalize('NFKD').replace(/[\p{M}'\u2019\u00ad]/gu, '').toLowerCase();
    const parts = plain.match(/\p{L}*\p{N}(\.?\p{N})*|\p{L}+/gu) ?? [];
    return parts.filter((part) => !/^\p{L}$/u.test(part) && !common.includes(part)).map(oneOf);
  };

  // Each file is loaded once.
  const brought = {}, asked = {};
  window.daywork = (name, value) => { brought[name] = value; };
  window.daywork.fold = fold;
  const load = (name) => asked[name] ??= new Promise((done, fail) => {
    const script = make('script');
    script.src = `${name}.js?${stamp}`;
    script.onload = () => done(brought[name]);
    script.onerror = () => { delete asked[name]; fail(); };
    document.head.append(script);
  });
  // Rows [word, postings] of the files that may hold a word with this beginning.
  const rows = async (start) => {
    const texts = await Promise.all(first.flatMap((word, at) =>
      word <= start + '\uffff' && !(first[at + 1] <= start) ? load(`words-${at}`) : []));
    return texts.flatMap((text) => text.split(',')).map((row) => row.split(':'));
  };

  // How many letters are put in, left out, changed or swapped; beyond any where they are more than `most`.
  const apart = (a, b, most) => {
    if (most < 0) return Infinity;
    if (!a || !b) return a.length + b.length;
    const on = (i, j, steps) => steps + apart(a.slice(i), b.slice(j), most - steps);
    if (a[0] === b[0]) return on(1, 1, 0);
    const swapped = a[0] === b[1] && a[1] === b[0] ? on(2, 2, 1) : Infinity;
    return Math.min(on(1, 0, 1), on(0, 1, 1), on(1, 1, 1), swapped);
  };
  // One word: as it stands or as a beginning, else nearly.
  const lookUp = async (word) => {
    let hits = (await rows(word)).filter(([other]) => word.length > 2 ? other.startsWith(word) : other === word);
    const near = !hits.length && word.length > 3 && /^\p{L}/u.test(word);
    if (near) {
      // The first letter is taken as right.
      const most = word.length > 7 ? 2 : 1;
      const far = (await rows(word[0])).filter(([other]) => other[0] === word[0])
        .map((row) => [apart(word, row[0], most), row]);
      const least = Math.min(most, ...far.map(([steps]) => steps));
      hits = far.filter(([steps]) => steps === least).map(([, row]) => row);
    }
    const points = {};
    for (const [other, postings] of hits) {
      const found = [...postings.matchAll(/(\d+)([a-o])/g)];
      const worth = Math.log(1 + pages / found.length) * (near || other === word ? 1 : 0.4);
      let page = -1;
      for (const [, way, mark] of found) {
        page += +way;
        const bits = mark.charCodeAt(0) - 96;
        const score = worth * ((bits & 8 ? 10 : 0) + (bits & 4 ? 6 : 0) + (bits & 3));
        points[page] = Math.max(points[page] ?? 0, score);
      }
    }
    return { word, near: near && hits.length, others: hits.map(([other]) => other), points };
  };

  // The pages that have the most of all words.
  const search = async (words) => {
    const found = await Promise.all(words.map(lookUp)), sums = {};
    for (const { points } of found) {
      for (const [page, score] of Object.entries(points)) {
        const sum = sums[page] ??= { page, score: 0, have: 0 };
        sum.score += score;
        sum.have += 1;
      }
    }
    const all = Object.values(sums).sort((a, b) => b.have - a.have || b.score - a.score || b.page - a.page);
    const most = all[0]?.have, hits = all.filter((sum) => sum.have === most).map((sum) => sum.page);
    return { found, hits, every: most === words.length };
  };

  const quoted = (...words) => words.map((word) => `“${word}”`).join(', ');
  const tell = ({ found, hits, every }) => {
    if (!hits.length) return `No page has ${quoted(...found.map((one) => one.word))}, nor anything spelt like it. Try another word, or a subject below.`;
    const near = found.filter((one) => one.near)
      .map((one) => `Nothing is spelt ${quoted(one.word)}; the nearest is ${quoted(...one.others.slice(0, 3))}. `).join('');
    const count = `${hits.length} page${hits.length === 1 ? '' : 's'} found`;
    return near + (every ? `${count}.` : `No page has all of these words. ${count} with some of them.`);
  };
  // A text with every found word marked. Split, it has its words at the odd places.
  const marked = (tag, text) => make(tag, ...text.split(/([\p{L}\p{N}\p{M}'’]+(?:\.\p{N}+)*)/u)
    .map((part, at) => at % 2 && fold(part).some((word) => marks.has(word)) ? make('mark', part) : part));
  const item = ([name, link, line, gist, subjects]) => {
    const a = marked('a', name), on = subjects && subjects !== name ? ` On ${subjects}.` : '';
    a.href = `../${link}${location.protocol === 'file:' ? 'index.html' : ''}`;
    return make('li', a, marked('p', `${line}.${on}`), gist ? marked('p', gist) : '');
  };

  let turn = 0, hits = [], marks;
  // Puts ten more hits on the list, unless another search has begun.
  const add = async (own, from) => {
    const part = hits.slice(from, from + 10);
    const files = await Promise.all(part.map((page) => load(`pages-${Math.floor(page / inAFile)}`)));
    if (own !== turn) return false;
    if (!from) list.replaceChildren();
    list.append(...part.map((page, at) => item(files[at][page % inAFile])));
    more.hidden = list.children.length >= hits.length;
    return true;
  };
  const look = async (how) => {
    const own = ++turn, typed = field.value.trim(), words = [...new Set(fold(typed))];
    const query = typed && `?q=${encodeURIComponent(typed)}`;
    // A page opened from disk may not change its address.
    try { if (how && query !== location.search) history[how](null, '', query || location.pathname); } catch { /* as it was */ }
    document.title = typed ? `${typed}: ${title}` : title;
    const result = await search(words);
    if (own !== turn) return;
    more.hidden = true;
    hits = result.hits;
    marks = new Set(result.found.flatMap((one) => one.others));
    if (!await add(own, 0)) return;
    $('found').hidden = !hits.length;
    $('subjects').hidden = hits.length > 0;
    said.textContent = words.length ? tell(result) : typed && 'These words are too common to look for. Add one that says more.';
  };
  const addMore = async () => {
    const from = list.children.length;
    if (await add(turn, from)) list.children[from].querySelector('a').focus();
  };
  const show = (what, how) => what(how).catch(() => { said.textContent = 'A part of the index did not load. See that there is a connection, and search again.'; });

  const fromAddress = () => {
    field.value = new URLSearchParams(location.search).get('q') ?? '';
    show(look);
  };
  let later;
  field.addEventListener('input', () => {
    clearTimeout(later);
    later = setTimeout(show, 150, look, 'replaceState');
  });
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    clearTimeout(later);
    show(look, 'pushState');
  });
  more.addEventListener('click', () => show(addMore));
  addEventListener('popstate', fromAddress);
  form.hidden = false;
  fromAddress();
})();
