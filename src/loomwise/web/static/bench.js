// What plain forms cannot do: a keypad for gloves, tapping the drawing, and sending again what did
// not get through. Every form works without this file.

const KEYS = ["7", "8", "9", "⌫", "4", "5", "6", "−", "1", "2", "3", ".", "0"];
const AGAIN_MS = 2000;

function makeKeypad(pad) {
  const field = document.getElementById(pad.dataset.for);
  if (!field || pad.childElementCount) return;
  for (const key of KEYS) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = key;
    button.setAttribute("aria-label", { "⌫": "delete the last sign", "−": "minus", ".": "point" }[key] || key);
    button.addEventListener("click", () => press(field, key));
    pad.append(button);
  }
  pad.hidden = false;
}

function press(field, key) {
  if (key === "⌫") field.value = field.value.slice(0, -1);
  else if (key === "−") field.value = field.value.startsWith("-") ? field.value.slice(1) : "-" + field.value;
  else field.value += key;
}

// A keypad stands only where it is wanted: under the field that was touched.
document.addEventListener("pointerup", (event) => {
  if (event.pointerType === "mouse" || !event.target.classList?.contains("typed")) return;
  const pad = document.querySelector(`.keypad[data-for="${event.target.id}"]`);
  if (pad) {
    event.target.setAttribute("inputmode", "none");
    makeKeypad(pad);
  }
});

document.addEventListener("click", (event) => {
  const place = event.target.closest?.("[data-place]");
  if (place) choosePlace(place.dataset.place);
});

document.addEventListener("keydown", (event) => {
  const place = event.target.closest?.("[data-place]");
  if (place && (event.key === "Enter" || event.key === " ")) {
    event.preventDefault();
    choosePlace(place.dataset.place);
  }
});

async function choosePlace(name) {
  const form = document.getElementById("place-form");
  if (!form || ![...form.elements.red.options].some((o) => o.value === name)) return;
  form.elements.red.value = name;
  if (form.elements.black.value === name) form.elements.black.value = "";
  form.requestSubmit();
}

document.addEventListener("htmx:afterSwap", (event) => {
  if (event.target.id === "entry") document.getElementById("here")?.scrollIntoView({ block: "nearest" });
});

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
