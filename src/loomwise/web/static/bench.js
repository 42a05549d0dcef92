// What plain forms cannot do: a keypad for gloves, tapping the drawing, and sending again what did
// not get through. Every form works without this file.

const KEYS = ["7", "8", "9", "⌫", "4", "5", "6", "−", "1", "2", "3", ".", "0"];
const AGAIN_MS = 2000;

function makeKeypad(pad) {
  const field = document.getElementById(pad.dataset.for);
  pad.hidden = false;
  if (!field || pad.childElementCount) return;
  for (const key of KEYS) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = key;
    button.setAttribute("aria-label", { "⌫": "delete the last sign", "−": "minus", ".": "point" }[key] || key);
    button.addEventListener("click", () => press(field, key));
    pad.append(button);
  }
}

function press(field, key) {
  if (key === "⌫") field.value = field.value.slice(0, -1);
  else if (key === "−") field.value = field.value.startsWith("-") ? field.value.slice(1) : "-" + field.value;
  else field.value += key;
}

// For fingers our own keypad stands under the field in use, in place of the system's small one.
const FINGERS = matchMedia("(pointer: coarse)").matches;

document.addEventListener("focusin", (event) => {
  if (!FINGERS || !event.target.classList?.contains("typed")) return;
  const pad = document.querySelector(`.keypad[data-for="${event.target.id}"]`);
  for (const other of document.querySelectorAll(".keypad")) if (other !== pad) other.hidden = true;
  if (pad) makeKeypad(pad);
});

// A list that changes under the finger takes no tap for a moment.
const SETTLE_MS = 350;

document.addEventListener("htmx:load", (event) => {
  const fresh = event.detail.elt;
  if (FINGERS) for (const field of fresh.querySelectorAll?.(".typed") ?? []) field.setAttribute("inputmode", "none");
  if (fresh.id === "tests" || fresh.id === "suspects") catchUp(Number(fresh.dataset.newest));
  if (fresh.id === "tests") {
    if (wasInTests && !fresh.contains(document.activeElement)) toTheTests();
    fresh.classList.add("settling");
    setTimeout(() => fresh.classList.remove("settling"), SETTLE_MS);
  }
});

// Who answers is led to the top of the new tests, not out of them, nor onto one of them: on a phone
// they grow again above what is in sight, which the browser would hold in its place.
let wasInTests = false;

function toTheTests() {
  const title = document.getElementById("tests-title");
  title?.focus({ preventScroll: true });
  if (title?.getBoundingClientRect().top < 0) title.scrollIntoView();
}

document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.target.id === "tests") wasInTests = event.detail.target.contains(document.activeElement);
});

// What was being worked out while the next entry came in is asked for again.
function catchUp(newest) {
  const now = Number(document.getElementById("poll")?.dataset.newest ?? 0);
  if (newest && newest < now) setTimeout(() => htmx.trigger(document.body, "standing-changed"), 50);
}

document.addEventListener("click", (event) => {
  const found = event.target.closest?.("[data-place], [data-wire]");
  if (found) choosePlace(found.dataset.place ?? found.dataset.wire, found.dataset.place === undefined);
});

document.addEventListener("keydown", (event) => {
  const place = event.target.closest?.("[data-place]");
  if (place && (event.key === "Enter" || event.key === " ")) {
    event.preventDefault();
    choosePlace(place.dataset.place);
  }
});

function choosePlace(name, isWire = false) {
  const form = document.getElementById("place-form");
  if (!form || ![...form.elements.red.options].some((o) => o.value === name)) return;
  form.elements.red.value = name;
  const { instrument } = form.elements;
  if (isWire || instrument.value === "clamp") instrument.value = isWire ? "clamp" : "voltmeter";
  if (form.elements.black.value === name) form.elements.black.value = "";
  form.requestSubmit();
}

// The drawing: as wide as fits at first; larger and smaller by buttons, by + and -, by Ctrl and the
// wheel; moved by scrolling, or by dragging with the mouse.
let scale = 0;

function fitted() {
  const sheet = document.getElementById("sheet"), svg = sheet?.querySelector("svg");
  if (!svg || !sheet.clientWidth) return;
  const [, , width, height] = svg.getAttribute("viewBox").split(" ").map(Number);
  const fit = Math.min((sheet.clientWidth - 4) / width, 1.6);
  const now = scale || fit;
  svg.setAttribute("width", width * now);
  svg.setAttribute("height", height * now);
}

function zoom(how) {
  const sheet = document.getElementById("sheet"), svg = sheet?.querySelector("svg");
  if (!svg) return;
  const before = svg.getBoundingClientRect().width;
  const width = Number(svg.getAttribute("viewBox").split(" ")[2]);
  const x = (sheet.scrollLeft + sheet.clientWidth / 2) / before, y = (sheet.scrollTop + sheet.clientHeight / 2) / before;
  scale = how === "fit" ? 0 : Math.min(5, Math.max(0.2, (before / width) * (how === "in" ? 1.3 : 1 / 1.3)));
  fitted();
  const after = svg.getBoundingClientRect().width;
  sheet.scrollLeft = x * after - sheet.clientWidth / 2;
  sheet.scrollTop = y * after - sheet.clientHeight / 2;
}

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-zoom]");
  if (button) zoom(button.dataset.zoom);
});
document.addEventListener("keydown", (event) => {
  if (event.target.id !== "sheet") return;
  const how = { "+": "in", "=": "in", "-": "out", "0": "fit" }[event.key];
  if (how && !event.ctrlKey && !event.metaKey) zoom(how);
});
document.addEventListener("wheel", (event) => {
  if (!event.ctrlKey || !event.target.closest?.("#sheet")) return;
  event.preventDefault();
  zoom(event.deltaY < 0 ? "in" : "out");
}, { passive: false });

let drag = null;
document.addEventListener("pointerdown", (event) => {
  const sheet = event.target.closest?.("#sheet");
  if (sheet && event.pointerType === "mouse") drag = { sheet, x: event.clientX, y: event.clientY, left: sheet.scrollLeft, top: sheet.scrollTop };
});
document.addEventListener("pointermove", (event) => {
  if (!drag) return;
  drag.sheet.scrollLeft = drag.left - (event.clientX - drag.x);
  drag.sheet.scrollTop = drag.top - (event.clientY - drag.y);
});
document.addEventListener("pointerup", () => { drag = null; });
window.addEventListener("resize", fitted);
for (const tools of document.querySelectorAll(".zoom")) tools.hidden = false;

document.addEventListener("htmx:afterSwap", (event) => {
  if (event.target.id === "sheet") fitted();
  if (event.target.id === "message") passOver(event.target.querySelector(".said"));
  if (event.target.id === "entry") document.getElementById("here")?.scrollIntoView({ block: "nearest" });
});

// What was done is said for a while; what is wrong stays until it is put right.
const SAID_MS = 8000;

function passOver(said) {
  if (said) setTimeout(() => said.remove(), SAID_MS);
}

// An entry that did not get through is kept and sent again; the server takes the same one only once.
let waiting = null;

document.addEventListener("htmx:sendError", (event) => {
  const source = event.detail.requestConfig?.triggeringEvent?.submitter;
  const form = event.detail.elt.closest("form");
  if (!form || event.detail.requestConfig.verb !== "post") return;
  document.getElementById("offline").hidden = false;
  clearTimeout(waiting);
  waiting = setTimeout(() => form.isConnected && form.requestSubmit(source || undefined), AGAIN_MS);
});

document.addEventListener("htmx:afterRequest", (event) => {
  if (event.detail.xhr?.status) document.getElementById("offline").hidden = true;
});

// What was sent from a form that stays on the page is not sent once more.
document.addEventListener("htmx:afterRequest", (event) => {
  const form = event.detail.elt;
  if (form.closest?.("#camera") && event.detail.xhr.status < 400 && event.detail.xhr.status) {
    form.reset();
    form.elements.token.value = crypto.getRandomValues(new Uint32Array(4)).join("");
  }
});

// A menu folds up again when something else is wanted.
function foldMenus(but) {
  for (const menu of document.querySelectorAll(".menu[open]")) if (menu !== but) menu.open = false;
}
document.addEventListener("click", (event) => foldMenus(event.target.closest?.(".menu")));
document.addEventListener("keydown", (event) => {
  const open = event.key === "Escape" && document.querySelector(".menu[open]");
  if (open) { foldMenus(null); open.querySelector("summary").focus(); }
});

for (const button of document.querySelectorAll("[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => print());
}
