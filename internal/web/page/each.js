// A form with data-each takes scan after scan: each is sent at once by itself,
// under a key of its own, while the field stays ready for the next. What cannot
// be sent, because the shop's computer is away, is kept in the browser and sent
// again until it is there. Of the page that answers, what has data-live and an
// id is put in place of what stands here. Without this file Enter sends the form.
const form = document.querySelector("form[data-each]"), field = form?.querySelector("input:not([type=hidden])");
const kept = "forkstock.each", fast = 100, again = 2000, look = 10000; // milliseconds
const waiting = JSON.parse(sessionStorage.getItem(kept) || "[]");
let sending = false, lastKey = 0, sent = 0;

function keep() {
  sessionStorage.setItem(kept, JSON.stringify(waiting));
  const note = document.getElementById("unsent");
  if (note) note.hidden = !waiting.some((w) => w.failed);
}

// put shows what a page says, and gives the form the fields that it has there.
function put(page, address) {
  const there = page.querySelector("form[data-each]");
  if (!there) return page.querySelector(".note.bad") ? trouble(page) : location.assign(address);
  for (const part of document.querySelectorAll("[data-live][id]")) {
    const fresh = page.getElementById(part.id);
    if (fresh) part.replaceWith(document.importNode(fresh, true));
  }
  for (const input of there.querySelectorAll("input[type=hidden]:not([name=key])")) {
    if (form.elements[input.name]) form.elements[input.name].value = input.value;
  }
  history.replaceState(null, "", address);
}

// trouble shows why a scan was refused, above what stood there.
function trouble(page) {
  const live = document.getElementById("live");
  live?.querySelectorAll(":scope > .note").forEach((n) => n.remove());
  live?.prepend(document.importNode(page.querySelector(".note.bad"), true));
}

async function take(answer) {
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  put(page, answer.url);
}

// send sends what waits, one after the other.
async function send() {
  if (sending) return;
  sending = true;
  while (waiting.length) {
    const first = waiting[0];
    try {
      const answer = await fetch(first.action, { method: "POST", body: new URLSearchParams(first.fields) });
      if (answer.status === 503) throw new Error("busy");
      waiting.shift();
      keep();
      if (first.page === location.pathname) await take(answer);
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
  const pressed = event.submitter?.getAttribute("formaction");
  if (pressed) return; // another way of the same form
  event.preventDefault();
  if (!field.value.trim()) return;
  const fields = [...new FormData(form)].map(([name, value]) => [name, name === "key" ? value + "-" + ++sent : value]);
  waiting.push({ action: form.action, page: location.pathname, fields });
  form.querySelectorAll("input:not([type=hidden], [type=checkbox])").forEach((input) => { input.value = ""; });
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
  const idle = document.visibilityState === "visible" && !waiting.length && (document.activeElement === field ? !field.value : document.activeElement === document.body);
  if (!idle) return;
  try {
    const answer = await fetch(location.href);
    if (answer.ok && !waiting.length && !sending) await take(answer);
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
