// Beneath the box: what the text in it may become. Every suggestion is a plain
// link, and without this file the box works as it stands.
const box = document.getElementById("q"), list = document.getElementById("suggestions");
let asked = 0;
if (document.activeElement === box || box.autofocus) box.select(); // what is typed or scanned next takes its place

function line(suggestion) {
  const item = document.createElement("li"), link = document.createElement("a"), note = document.createElement("span");
  link.href = "/?q=" + encodeURIComponent(suggestion.text);
  link.textContent = suggestion.text;
  note.textContent = suggestion.note;
  link.append(note);
  item.append(link);
  return item;
}

async function suggest() {
  const text = box.value.trim(), turn = ++asked;
  if (text.length < 2) return show([]);
  try {
    const answer = await fetch("/api/suggest?q=" + encodeURIComponent(text));
    if (answer.ok && turn === asked) show((await answer.json()).suggestions);
  } catch {
    show([]); // nothing to suggest is no trouble
  }
}

function show(suggestions) {
  list.replaceChildren(...suggestions.map(line));
  list.hidden = suggestions.length === 0;
}

function step(event) {
  const links = [...list.querySelectorAll("a")], at = links.indexOf(document.activeElement);
  if (event.key === "Escape") {
    show([]);
    box.focus();
  } else if (event.key === "ArrowDown" && at < links.length - 1) {
    links[at + 1].focus();
    event.preventDefault();
  } else if (event.key === "ArrowUp" && at >= 0) {
    (links[at - 1] || box).focus();
    event.preventDefault();
  }
}

box.addEventListener("input", suggest);
box.form.addEventListener("keydown", step);
