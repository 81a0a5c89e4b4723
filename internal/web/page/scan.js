// A hand scanner types into the box for scans: fast, with Enter or Tab behind
// each code. What it typed is counted beneath the box while it goes on, and
// nothing of it is lost when the page changes. Without this file the box is a
// plain one, one code a line.
const scans = document.getElementById("scans"), seen = document.getElementById("seen");
const draft = "forkstock.scans", fast = 100; // milliseconds between two keys of a scanner
let lastKey = 0, asked = 0, soon = 0, sent = null;

// complete gives the lines that have ended: what is being typed is not looked at.
function complete() {
  return scans.value.slice(0, scans.value.lastIndexOf("\n") + 1);
}

async function look() {
  const turn = ++asked, lines = complete(), supplier = scans.form.elements.supplier;
  if (!lines.trim()) return seen.replaceChildren();
  try {
    const body = new URLSearchParams({ lines, supplier: supplier ? supplier.value : "" });
    const answer = await fetch("/receive/look", { method: "POST", body });
    const text = await answer.text();
    if (answer.ok && turn === asked) seen.innerHTML = text;
  } catch {
    seen.replaceChildren(); // the count is a help; what is in the box is what counts
  }
}

function changed() {
  clearTimeout(soon);
  soon = setTimeout(look, 150);
}

// put writes the box anew, and goes on typing at its end.
function put(text) {
  scans.value = text;
  scans.focus();
  scans.setSelectionRange(text.length, text.length);
  changed();
}

// ended gives what is in the box with the last line ended.
function ended() {
  return scans.value && !scans.value.endsWith("\n") ? scans.value + "\n" : scans.value;
}

// takeOut takes one pack of a line away: of "=12" and a code, one of twelve.
function takeOut(number, all) {
  const lines = scans.value.split("\n"), at = number - 1;
  let before = at - 1;
  while (before >= 0 && !lines[before].trim()) before--;
  const times = before >= 0 && /^=\d+$/.test(lines[before].trim()) ? Number(lines[before].trim().slice(1)) : 0;
  if (all || times < 2) lines.splice(times ? before : at, times ? at - before + 1 : 1);
  else if (times === 2) lines.splice(before, 1);
  else lines[before] = "=" + (times - 1);
  put(lines.join("\n"));
}

function pressed(event) {
  const button = event.target.closest("button");
  if (!button) return;
  if (button.dataset.less) takeOut(Number(button.dataset.less), false);
  if (button.dataset.out) takeOut(Number(button.dataset.out), true);
}

// times says that the next scan stands for several packs.
function times() {
  const number = document.getElementById("times");
  if (/^[1-9]\d{0,2}$/.test(number.value)) put(ended() + "=" + number.value + "\n");
  else number.focus();
}

// key keeps what a scanner types in the box: a Tab behind a code ends it, and a
// key that no field waits for goes there.
function key(event) {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const at = document.activeElement, now = event.timeStamp;
  if (at === scans && event.key === "Tab" && !event.shiftKey && now - lastKey < fast) {
    event.preventDefault();
    scans.setRangeText("\n", scans.selectionStart, scans.selectionEnd, "end");
    changed();
  } else if (event.key.length === 1 && event.key !== " " && !at.matches("input:not([type=file], [type=checkbox]), textarea, select")) {
    scans.focus();
    scans.setSelectionRange(scans.value.length, scans.value.length);
  }
  lastKey = now;
}

// keep keeps what is in the box for the page that follows: all of it, or what
// was typed after the form was sent.
function keep() {
  const form = scans.form.elements;
  const rest = sent !== null && scans.value.startsWith(sent) ? scans.value.slice(sent.length) : "";
  const lines = sent ?? scans.value;
  if (!lines.trim() && !rest.trim()) return sessionStorage.removeItem(draft);
  sessionStorage.setItem(draft, JSON.stringify({ session: form.session.value, delivery: form.delivery.value, lines, rest, sent: sent !== null }));
}

// restore takes up what a page before kept: the rest where its lines were
// received, else all of it under its own session, so that it counts once.
function restore() {
  const kept = JSON.parse(sessionStorage.getItem(draft) || "null"), form = scans.form.elements;
  sessionStorage.removeItem(draft);
  if (!kept) return;
  if (kept.sent && new URLSearchParams(location.search).has("added")) scans.value = kept.rest + scans.value;
  else if (kept.session === form.session.value) scans.value = ended() + kept.rest; // it was refused, and stands there
  else {
    scans.value = (kept.lines && !kept.lines.endsWith("\n") && kept.rest ? kept.lines + "\n" : kept.lines) + kept.rest + scans.value;
    form.session.value = kept.session;
    form.delivery.value ||= kept.delivery;
  }
  scans.setSelectionRange(scans.value.length, scans.value.length);
}

if (scans) {
  document.getElementById("several").hidden = false;
  restore();
  changed();
  scans.addEventListener("input", changed);
  scans.form.elements.supplier?.addEventListener("change", changed);
  seen.addEventListener("click", pressed);
  document.getElementById("next").addEventListener("click", times);
  document.addEventListener("keydown", key);
  scans.form.addEventListener("submit", () => { sent = scans.value; });
  addEventListener("pagehide", keep);
  addEventListener("pageshow", (event) => { if (event.persisted) { sent = null; sessionStorage.removeItem(draft); } });
}
