// Keeps an open page as the diary is: proof puts this into the pages that it serves, never into a file.
//
// A page without scripts of its own is changed where it stands, so that scroll, focus and what was unfolded stay; one
// with scripts is loaded again, since they cannot be undone, and scroll and focus are put back.
(() => {
  'use strict';
  const ME = 'script[src="/proof/client.js"]';
  const SCRIPTS = 'script:not([type="application/ld+json"])';
  const STORE = 'daywork-proof';
  const RETRY = 1000;

  // Which press this page is of. Without its script element the body is as it was pressed.
  let { press, assets } = take(document);
  let pristine = document.body.innerHTML;
  let trouble = null, look = '', gone = false, lost = false;
  let line, later, refreshing = false, again = '';

  function take(page) {
    const script = page.querySelector(ME);
    script?.remove();
    return { press: script?.dataset.press, assets: script?.dataset.assets };
  }

  function listen() {
    clearTimeout(later);
    line?.close();
    line = new EventSource('/proof/events');
    line.onmessage = (message) => heed(JSON.parse(message.data));
    line.onerror = () => {
      lost = true;
      show();
      // A line that was refused is not tried again by the browser.
      if (line.readyState === EventSource.CLOSED) later = setTimeout(listen, 2000);
    };
  }

  function heed(told) {
    // Another proof may count from where this one stood.
    const stale = lost || String(told.press) !== press;
    const other = String(told.assets) !== assets;
    lost = false;
    ({ trouble, look } = told);
    show();
    if (stale && told.press > 0) refresh(other);
  }

  async function refresh(reloads) {
    if (refreshing) { again ||= reloads ? 'reload' : 'look'; return; }
    refreshing = true;
    let failed = false;
    try {
      const answer = await fetch(location.href, { cache: 'no-store' });
      const missing = answer.status === 404;
      if (!missing && !answer.ok) throw new Error(`answered with ${answer.status}`);
      const next = new DOMParser().parseFromString(await answer.text(), 'text/html');
      const now = take(next);
      gone = missing && pristine !== next.body.innerHTML;
      if (gone) {
        press = now.press;
      } else if (!missing && (reloads || document.querySelector(SCRIPTS) || next.querySelector(SCRIPTS))) {
        reload();
      } else {
        ({ press, assets } = now);
        swap(next);
      }
    } catch {
      failed = true;
    } finally {
      refreshing = false;
      show();
    }
    const next = again;
    again = '';
    if (next) {
      refresh(reloads || next === 'reload');
    } else if (failed && !lost) {
      // Nothing more is told until the next save, so what went wrong on the way is tried again. Where proof does not answer
      // at all, the line tells when it does.
      setTimeout(() => refresh(reloads), RETRY);
    }
  }

  // Changes what differs and leaves the rest alone: a style that is taken out and put back is fetched anew.
  function swap(next) {
    const have = new Map([...document.head.children].map((part) => [part.outerHTML, part]));
    const wanted = new Set();
    for (const part of [...next.head.children]) {
      wanted.add(part.outerHTML);
      if (!have.has(part.outerHTML)) document.head.append(document.adoptNode(part));
    }
    for (const [text, part] of have) if (!wanted.has(text)) part.remove();
    document.documentElement.lang = next.documentElement.lang;
    if (next.body.innerHTML === pristine) return;
    pristine = next.body.innerHTML;
    const place = where();
    const unfolded = [...document.querySelectorAll('details')].map((fold) => fold.open);
    document.body.replaceWith(document.adoptNode(next.body));
    const folds = [...document.querySelectorAll('details')];
    if (folds.length === unfolded.length) folds.forEach((fold, at) => { fold.open = unfolded[at]; });
    back(place);
  }

  function reload() {
    sessionStorage.setItem(STORE, JSON.stringify({ ...where(), page: location.href }));
    location.reload();
  }

  // Where the reader is: the scroll, and the focus by id or as the way down to it.
  function where() {
    const way = [];
    let at = document.activeElement;
    const id = at?.id;
    const name = at?.localName;
    for (; at && at !== document.body && at.parentElement; at = at.parentElement) {
      way.unshift([...at.parentElement.children].indexOf(at));
    }
    return { x: scrollX, y: scrollY, id, name, way: at === document.body ? way : [] };
  }

  function back({ x, y, id, name, way }) {
    scrollTo({ left: x, top: y, behavior: 'instant' });
    const on = (id && document.getElementById(id)) || way.reduce((at, child) => at?.children[child], document.body);
    if (way.length && on?.localName === name) on.focus({ preventScroll: true });
  }

  // The panel stands outside the body, with a style of its own that no page's policy forbids.
  const host = document.createElement('daywork-proof');
  const panel = host.attachShadow({ mode: 'open' });
  const style = new CSSStyleSheet();
  style.replaceSync(`
    :host { all: initial; position: fixed; inset: auto 0 0 0; z-index: 2147483647; color-scheme: light dark;
      font: 1rem/1.5 system-ui, sans-serif; pointer-events: none }
    [role=alert] { display: flex; flex-direction: column; gap: .5rem; padding: .75rem; max-height: 70vh; box-sizing: border-box }
    section { pointer-events: auto; min-height: 0; overflow: auto; box-sizing: border-box; width: 100%; max-width: 60rem; margin: 0 auto;
      background: light-dark(#fff8f4, #2b1a15); color: light-dark(#1d1714, #f5ece6);
      border: 2px solid light-dark(#a3261a, #ff9b8a); border-radius: .25rem; box-shadow: 0 .25rem 1.5rem #0006 }
    summary, p { margin: 0; padding: .6rem .9rem; font-weight: 600; min-height: 24px }
    summary { cursor: pointer }
    pre { margin: 0; padding: 0 .9rem .8rem; overflow: auto; font: .875rem/1.45 ui-monospace, monospace; white-space: pre-wrap; overflow-wrap: anywhere }
    code { display: block; width: max-content; font: inherit; white-space: pre; overflow-wrap: normal }
    a { color: inherit }
    :focus-visible { outline: 3px solid light-dark(#1f5fbf, #8ab8ff); outline-offset: -3px }
    @media print { :host { display: none } }`);
  panel.adoptedStyleSheets = [style];
  const board = document.createElement('div');
  board.setAttribute('role', 'alert');
  panel.append(board);
  document.documentElement.append(host);
  let shown = '';

  function part(name, text, ...inside) {
    const element = document.createElement(name);
    element.textContent = text;
    element.append(...inside);
    return element;
  }

  // A marked line keeps its mark below the word that is meant: such lines never wrap, the words about them do.
  function linesOf(text) {
    return text.split(/^((?: *\d* \| ?.*\n?)+)/m).map((lines, at) => (
      at % 2 === 0 ? lines : part('code', lines.replace(/\n$/, ''))
    ));
  }

  function show() {
    const now = JSON.stringify([trouble, gone && look, lost]);
    if (now === shown) return;
    shown = now;
    const notes = [];
    if (lost) notes.push(part('section', '', part('p', 'Proof does not answer. This page stays as it is: look at the terminal, and start daywork proof again.')));
    if (trouble !== null) {
      const text = part('pre', '', ...linesOf(trouble));
      text.tabIndex = 0;
      text.setAttribute('aria-label', 'What is wrong');
      const fold = part('details', '', part('summary', 'To be mended: until then the pages stay as they were'), text);
      fold.open = true;
      fold.addEventListener('keydown', (key) => {
        if (key.key !== 'Escape') return;
        fold.open = false;
        fold.firstElementChild.focus();
      });
      notes.push(part('section', '', fold));
    }
    if (gone) {
      const link = part('a', look ? 'See the page that changed' : 'Go to the start of the proof');
      link.href = `/${look}`;
      notes.push(part('section', '', part('p', 'This page is no longer there: its log was deleted, has a new name, or is not public any more. ', link)));
    }
    board.replaceChildren(...notes);
  }

  document.addEventListener('visibilitychange', () => {
    // A browser opens only a few lines to one place: pages that nobody sees leave theirs to the others.
    if (document.hidden) line?.close(); else listen();
  });
  addEventListener('pagehide', () => line?.close());
  addEventListener('pageshow', (event) => { if (event.persisted) listen(); });

  const kept = JSON.parse(sessionStorage.getItem(STORE) ?? 'null');
  sessionStorage.removeItem(STORE);
  if (kept?.page === location.href) {
    back(kept);
    addEventListener('load', () => back(kept), { once: true });
  }
  if (!document.hidden) listen();
})();
