// A form with data-each takes scan after scan: each is sent at once by itself,
// under a key of its own, while the field stays ready for the next. What cannot
// be sent, because the shop's computer is away, is kept in the browser and sent
// again until it is there. Of the page that answers, what has data-live and an
// id is put in place of what stands here, and the form takes over its hidden
// fields: a scan may change where the next ones belong. What was refused is
// collected under #missed. Without this file Enter sends the form.
const form = document.querySelector("form[data-each]"), field = form?.querySelector("input:not([type=hidden])");
const kept = "forkstock.each", fast = 100, again = 2000, look = 10000; // milliseconds
const waiting = JSON.parse(sessionStorage.getItem(kept) || "[]"), load = Date.now() + "/" + Math.random();
let sending = false, lastKey = 0, sent = 0;

function keep() {
  sessionStorage.setItem(kept, JSON.stringify(waiting));
  document.getElementById("unsent").hidden = !waiting.some((w) => w.failed);
}

// hidden gives the fields of a form that nobody types in.
function hidden(of) {
  return Object.fromEntries([...of.querySelectorAll("input[type=hidden]:not([name=key])")].map((input) => [input.name, input.value]));
}

// missed moves what a page says of a scan that was refused to where it stays.
function missed(page) {
  const notes = document.getElementById("missed");
  for (const note of page.querySelectorAll("main .note.bad")) if (!notes.contains(note)) notes.prepend(document.importNode(note, true));
}

// filling reports whether somebody is filling in a form of a part of the page.
function filling(part) {
  return [...part.querySelectorAll("input:not([type=hidden]), textarea")].some((input) => input.value !== input.defaultValue);
}

// put shows what a page says, and gives the form the fields that it has there.
function put(page, address) {
  const there = page.querySelector("form[data-each]");
  if (!there) return page.querySelector("main .note.bad") ? missed(page) : location.assign(address);
  for (const part of document.querySelectorAll("[data-live][id]")) {
    const fresh = page.getElementById(part.id);
    if (fresh && !filling(part)) part.replaceWith(document.importNode(fresh, true));
  }
  missed(page);
  document.querySelectorAll("[data-live] > .note.bad").forEach((note) => note.remove());
  const fields = hidden(there);
  for (const name in fields) if (form.elements[name]) form.elements[name].value = fields[name];
  for (const w of waiting) if (w.load === load) w.hidden = fields;
  history.replaceState(null, "", address);
}

async function parsed(answer) {
  return new DOMParser().parseFromString(await answer.text(), "text/html");
}

// send sends what waits, one after the other.
async function send() {
  if (sending) return;
  sending = true;
  while (waiting.length) {
    const first = waiting[0];
    try {
      const body = new URLSearchParams({ ...first.hidden, ...first.typed });
      const answer = await fetch(first.action, { method: "POST", body });
      if (answer.status === 503) throw new Error("busy");
      const page = await parsed(answer);
      waiting.shift();
      if (first.load === load) put(page, answer.url);
      else missed(page); // a scan of the page before
      keep();
    } catch {
      first.failed = true;
      keep();
      setTimeout(send, again);
      break;
    }
  }
  sending = false;
}

function submitted(event) {
  event.preventDefault();
  if (!field.value.trim()) return;
  const typed = { key: form.elements.key.value + "-" + ++sent };
  for (const input of form.querySelectorAll("input:not([type=hidden])")) {
    typed[input.name] = input.value;
    input.value = "";
  }
  waiting.push({ action: form.action, load, hidden: hidden(form), typed });
  field.focus();
  keep();
  send();
}

// key keeps what a scanner types in the field: a Tab behind a code sends it, and
// a key that no field waits for goes there.
function key(event) {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const at = document.activeElement, now = event.timeStamp;
  if (at === field && event.key === "Tab" && !event.shiftKey && now - lastKey < fast) {
    event.preventDefault();
    form.requestSubmit();
  } else if (event.key.length === 1 && event.key !== " " && !at.matches("input:not([type=file], [type=checkbox]), textarea, select")) {
    field.focus();
  }
  lastKey = now;
}

// others fetches what others have scanned meanwhile, while nobody types.
async function others() {
  const idle = () => document.visibilityState === "visible" && !waiting.length && !field.value && (document.activeElement === field || document.activeElement === document.body);
  if (!idle()) return;
  try {
    const answer = await fetch(location.href), page = await parsed(answer);
    if (answer.ok && idle()) put(page, answer.url);
  } catch {
    // the next scan, or the next look, will say
  }
}

if (form) {
  form.addEventListener("submit", submitted);
  document.addEventListener("keydown", key);
  setInterval(others, look);
  keep();
  send();
}
