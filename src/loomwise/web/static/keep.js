// What somebody is typing is not thrown away when a piece of the page comes anew: it is carried over
// to the same form in the new piece, or the piece waits until it is entered or emptied.

const WAITS = "Weighed anew meanwhile. What you typed stays: enter it, or empty the field to see the new tests.";
let carried = [];

const typing = (field) => field.matches("input:not([type=hidden]):not([type=file]), textarea");

// The same field of the same form, whatever its token and its number on the page.
function nameOf(field) {
  const fixed = [...field.form.querySelectorAll("input[type=hidden]")].filter((i) => i.name !== "token");
  return JSON.stringify([field.form.getAttribute("action"), field.name, ...fixed.map((i) => [i.name, i.value])]);
}

function inUse(piece) {
  const fields = [...piece.querySelectorAll("form input, form textarea")].filter(typing);
  return fields.filter((f) => !f.form.dataset.sent && (f.value !== f.defaultValue || f === document.activeElement));
}

function keep(piece, fresh) {
  const used = inUse(piece);
  const there = new Set([...fresh.querySelectorAll("form input, form textarea")].filter(typing).map(nameOf));
  if (used.some((f) => f.value !== f.defaultValue && !there.has(nameOf(f)))) return false;
  carried = carried.filter((c) => c.piece !== piece.id);
  for (const f of used) {
    const units = [...f.form.querySelectorAll("select")].map((s) => [s.name, s.value]);
    const at = f === document.activeElement ? [f.selectionStart, f.selectionEnd] : null;
    carried.push({ piece: piece.id, name: nameOf(f), value: f.value, changed: f.value !== f.defaultValue, units, at });
  }
  return true;
}

function giveBack(fresh) {
  for (const field of [...fresh.querySelectorAll("form input, form textarea")].filter(typing)) {
    const kept = carried.find((c) => c.piece === fresh.id && c.name === nameOf(field));
    if (!kept) continue;
    if (kept.changed) {
      field.value = kept.value;
      for (const [name, value] of kept.units) if (field.form.elements[name]) field.form.elements[name].value = value;
      for (let up = field.closest("details"); up; up = up.parentElement.closest("details")) up.open = true;
    }
    if (kept.at) {
      field.focus({ preventScroll: true });
      field.setSelectionRange?.(...kept.at);
    }
  }
  carried = carried.filter((c) => c.piece !== fresh.id);
}

function wait(piece) {
  if (piece.id !== "tests" || piece.querySelector(".waits")) return;
  const said = document.createElement("p");
  said.className = "caution waits";
  said.setAttribute("role", "status");
  said.textContent = WAITS;
  document.getElementById("tests-title").after(said);
}

document.addEventListener("htmx:beforeSwap", (event) => {
  const { target, serverResponse, xhr } = event.detail;
  if (target.id !== "tests" && target.id !== "suspects" || xhr.status >= 400) return;
  const fresh = new DOMParser().parseFromString(serverResponse, "text/html");
  if (keep(target, fresh)) return;
  event.detail.shouldSwap = false;
  wait(target);
});

document.addEventListener("htmx:oobBeforeSwap", (event) => {
  const { target, fragment } = event.detail;
  if (target.id && !keep(target, fragment)) event.detail.shouldSwap = false;
});

for (const name of ["htmx:afterSwap", "htmx:oobAfterSwap"]) {
  document.addEventListener(name, (event) => {
    const fresh = document.getElementById(event.detail.target.id);
    if (fresh) giveBack(fresh);
  });
}

// What was sent and taken is no longer being typed, until somebody types again.
document.addEventListener("htmx:beforeOnLoad", (event) => {
  const form = event.detail.elt;
  if (form.matches("form[method=post]") && event.detail.xhr.status < 300) form.dataset.sent = "yes";
});

document.addEventListener("input", (event) => {
  delete event.target.form?.dataset.sent;
  if (!event.target.value && event.target.closest("#tests")?.querySelector(".waits")) htmx.trigger(document.body, "standing-changed");
});
