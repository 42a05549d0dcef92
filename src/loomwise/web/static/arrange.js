// Symbols of the drawing moved by finger, mouse or keyboard. The server keeps the place and makes
// room; without this file the form beside the drawing does the same by numbers.

const STEP = 20, FAR = 100, LEAST = 4;
const sheet = document.getElementById("sheet");
let held = null, last = "";

function symbolsOf(svg) {
  for (const hit of svg.querySelectorAll("rect[data-part]")) {
    hit.setAttribute("tabindex", "0");
    hit.setAttribute("role", "button");
    hit.setAttribute("aria-label", `${hit.dataset.part}: arrow keys move it`);
  }
}

function hold(hit) {
  if (held?.hit === hit) return held;
  giveBack();
  const symbol = sheet.querySelector(`g.part[data-part="${CSS.escape(hit.dataset.part)}"]`);
  const [x, y] = symbol.dataset.at.split(" ").map(Number);
  held = { hit, symbol, x, y, dx: 0, dy: 0 };
  for (const one of [hit, symbol]) one.classList.add("held");
  return held;
}

function shift(dx, dy) {
  held.dx = dx;
  held.dy = dy;
  for (const one of [held.hit, held.symbol]) one.setAttribute("transform", `translate(${dx} ${dy})`);
}

function giveBack() {
  if (!held) return;
  for (const one of [held.hit, held.symbol]) {
    one.removeAttribute("transform");
    one.classList.remove("held");
  }
  held = null;
}

function keep() {
  const form = document.getElementById("move-form");
  if (Math.hypot(held.dx, held.dy) < LEAST) return giveBack();
  last = held.hit.dataset.part;
  form.elements.part.value = last;
  form.elements.x.value = Math.round(held.x + held.dx);
  form.elements.y.value = Math.round(held.y + held.dy);
  form.requestSubmit();
}

// Pixels of the screen as pixels of the drawing.
function inDrawing(svg) {
  return Number(svg.getAttribute("viewBox").split(" ")[2]) / svg.getBoundingClientRect().width;
}

let drag = null;

sheet.addEventListener("pointerdown", (event) => {
  const hit = event.target.closest?.("rect[data-part]");
  if (!hit || event.button) return;
  event.preventDefault();
  event.stopPropagation();  // the sheet itself stays where it is
  hit.focus({ preventScroll: true });
  hit.setPointerCapture(event.pointerId);
  hold(hit);
  drag = { id: event.pointerId, x: event.clientX - held.dx, y: event.clientY - held.dy, by: inDrawing(hit.ownerSVGElement) };
});

// A finger on a symbol does not scroll the sheet.
sheet.addEventListener("touchstart", (event) => {
  if (event.target.closest?.("rect[data-part]")) event.preventDefault();
}, { passive: false });

sheet.addEventListener("pointermove", (event) => {
  if (!drag || event.pointerId !== drag.id || !held) return;
  shift((event.clientX - drag.x) * drag.by, (event.clientY - drag.y) * drag.by);
});

sheet.addEventListener("pointerup", (event) => {
  if (drag?.id !== event.pointerId) return;
  drag = null;
  if (held) keep();
});

sheet.addEventListener("pointercancel", () => {
  drag = null;
  giveBack();
});

const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

sheet.addEventListener("keydown", (event) => {
  const hit = event.target.closest?.("rect[data-part]");
  if (!hit) return;
  const way = WAYS[event.key];
  if (way) {
    hold(hit);
    const step = event.shiftKey ? FAR : STEP;
    shift(held.dx + way[0] * step, held.dy + way[1] * step);
  } else if (event.key === "Enter" && held) keep();
  else if (event.key === "Escape") giveBack();
  else return;
  event.preventDefault();
  event.stopPropagation();
});

sheet.addEventListener("focusout", () => { if (!drag) giveBack(); });

// What was refused goes back; what was kept is found again in the new drawing.
document.addEventListener("htmx:afterRequest", (event) => {
  if (event.detail.elt.closest?.("#symbols") && event.detail.xhr?.status >= 400) giveBack();
});

document.addEventListener("htmx:afterSwap", (event) => {
  if (event.target.id !== "sheet") return;
  held = null;
  const svg = sheet.querySelector("svg");
  if (svg) symbolsOf(svg);
  if (last) sheet.querySelector(`rect[data-part="${CSS.escape(last)}"]`)?.focus({ preventScroll: true });
  last = "";
});
