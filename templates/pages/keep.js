// Keeps a form in this browser when the line drops, and sends it again under the name it has, so that
// the server records it once. Without this script the form is sent as any other.
(() => {
  'use strict';
  const BOX = 'kept-forms';
  // The server knows a name for a day; what is older is shown, not sent by itself.
  const SENT_FOR_MS = 20 * 60 * 60 * 1000;
  const AGAIN_MS = 15000;

  const read = () => {
    try {
      return JSON.parse(localStorage.getItem(BOX) || '[]');
    } catch {
      return [];
    }
  };
  const write = (kept) => {
    try {
      if (kept.length === 0) localStorage.removeItem(BOX);
      else localStorage.setItem(BOX, JSON.stringify(kept));
      return true;
    } catch {
      return false;
    }
  };
  const without = (once) => read().filter((one) => one.once !== once);

  const notice = document.getElementById('kept');
  const say = (words) => {
    if (!notice) return;
    notice.textContent = words;
    notice.hidden = words === '';
  };

  const send = (one) =>
    fetch(one.action, {
      method: 'POST',
      body: new URLSearchParams(one.fields),
      credentials: 'same-origin',
      headers: { accept: 'text/html' },
    });

  // What came back is shown in place: a form to be put right, or a question before it is done.
  const show = async (answer) => {
    const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
    const main = page.querySelector('main');
    if (main) document.querySelector('main').replaceWith(main);
    // What a page says of its numbers stands below it, and is that page's own.
    const numbers = document.querySelector('footer.numbers');
    const fresh = page.querySelector('footer.numbers');
    if (numbers && fresh) numbers.replaceWith(fresh);
    else if (numbers) numbers.remove();
    else if (fresh) document.body.append(fresh);
    document.title = page.title || document.title;
    window.scrollTo(0, 0);
    bind();
  };

  const submit = async (event) => {
    const form = event.target;
    const data = new FormData(form, event.submitter || undefined);
    const fields = [...data.entries()].filter((pair) => typeof pair[1] === 'string');
    const once = data.get('once');
    if (typeof once !== 'string' || once === '') return;
    event.preventDefault();
    const one = { action: form.action, once, fields, at: Date.now(), words: document.title };
    if (!write([...without(once), one])) {
      form.submit();
      return;
    }
    say(form.dataset.sending || '');
    try {
      const answer = await send(one);
      if (answer.status >= 500) throw new Error('out');
      write(without(once));
      if (answer.redirected) location.assign(answer.url);
      else await show(answer);
    } catch {
      say(form.dataset.kept || '');
      later();
    }
  };

  let waiting = null;
  const later = () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => void sendKept(), AGAIN_MS);
  };

  let busy = false;
  const sendKept = async () => {
    if (busy) return;
    busy = true;
    let last = '';
    for (const one of read()) {
      if (Date.now() - one.at > SENT_FOR_MS) continue;
      try {
        const answer = await send(one);
        // Not signed in, or the server is out: it stays here until it is taken.
        if (answer.status >= 500 || answer.status === 401 || answer.status === 403) break;
        write(without(one.once));
        if (answer.redirected) last = answer.url;
        else {
          await show(answer);
          busy = false;
          return;
        }
      } catch {
        later();
        break;
      }
    }
    busy = false;
    const left = read();
    if (left.length > 0 && notice) {
      const old = left.some((one) => Date.now() - one.at > SENT_FOR_MS);
      say((old ? notice.dataset.old : notice.dataset.kept) || '');
    } else if (last !== '') location.assign(last);
    else say('');
  };

  const bind = () => {
    for (const form of document.querySelectorAll('form[data-keep]')) {
      if (form.dataset.bound) continue;
      form.dataset.bound = 'yes';
      form.addEventListener('submit', (event) => void submit(event));
    }
  };

  bind();
  window.addEventListener('online', () => void sendKept());
  if (read().length > 0) void sendKept();
})();
