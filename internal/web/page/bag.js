// A form with data-maybe shows what a bag may hold while it is told of: each
// candidate is a button that books it, one tap after the last field. Without this
// file the button of the form asks.
const bag = document.querySelector("form[data-maybe]"), place = document.getElementById("maybe");
let turn = 0, soon = 0;

async function ask() {
  const mine = ++turn, { marking, size } = bag.elements;
  try {
    const answer = await fetch(bag.dataset.maybe, { method: "POST", body: new URLSearchParams({ marking: marking.value, size: size.value }) });
    const text = await answer.text();
    if (answer.ok && mine === turn) place.innerHTML = text;
  } catch {
    // the button of the form asks as well
  }
}

if (bag) {
  for (const name of ["marking", "size"]) {
    bag.elements[name].addEventListener("input", () => {
      clearTimeout(soon);
      soon = setTimeout(ask, 250);
    });
  }
}
