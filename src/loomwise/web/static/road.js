// Marks of a road test: each press is kept here first, with its moment, then sent; what does not get
// through is sent again, also after the page was closed. The server takes the same mark only once.

const AGAIN_MS = 2000, SETTLE_MS = 500, SAID_MS = 1500, PATIENCE_MS = 10000;
const form = document.getElementById("road"), offline = document.getElementById("offline");
const message = document.getElementById("message"), large = form.querySelector(".mark");
const prefix = `${form.dataset.kept}:`;
let kept = [], busy = false, waiting = null, last = 0;

// Each mark under its own name, so that two open pages do not overwrite each other's.
function read() {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(prefix)).sort()
      .map((key) => ({ ...JSON.parse(localStorage.getItem(key)), key }));
  } catch { return kept; }
}

function keep(mark) {
  kept.push(mark);
  try { localStorage.setItem(mark.key, JSON.stringify(mark)); } catch { /* in memory only */ }
  show();
}

function drop(mark) {
  kept = kept.filter((m) => m !== mark);
  try { localStorage.removeItem(mark.key); } catch { /* in memory only */ }
}

function show() {
  document.getElementById("kept").replaceChildren(...kept.map((mark) => {
    const line = document.createElement("li");
    line.className = "item";
    line.textContent = `${mark.clock} ${mark.text}: ${mark.refused ?? "kept here, not sent yet"}`;
    return line;
  }));
}

// The moment by this clock, with its offset from UTC.
function moment(date) {
  const off = -date.getTimezoneOffset(), two = (n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  const here = new Date(date.getTime() + off * 60000).toISOString().slice(0, 19);
  return `${here}${off < 0 ? "-" : "+"}${two(off / 60)}:${two(off % 60)}`;
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  const date = new Date();
  if (date - last < SETTLE_MS) return;
  last = Number(date);
  const button = event.submitter?.offsetParent ? event.submitter : large, at = moment(date);
  const fields = new FormData(form);
  fields.set("what", button.value);
  fields.set("at", at);
  fields.set("token", `${last}${Math.random()}`);
  const text = button.dataset.text ?? button.textContent;
  keep({ key: prefix + fields.get("token"), fields: [...fields], clock: at.slice(11, 19), text });
  form.elements.words.value = "";
  said(button, at.slice(11, 19));
  send();
});

form.addEventListener("keydown", (event) => {
  if (event.repeat && event.target.closest("button")) event.preventDefault();
});

function said(button, clock) {
  navigator.vibrate?.(60);
  button.dataset.text ??= button.textContent;
  button.textContent = `Marked ${clock}`;
  message.replaceChildren();
  setTimeout(() => { button.textContent = button.dataset.text; }, SAID_MS);
}

async function send() {
  const mark = kept.find((m) => !m.refused);
  if (busy || !mark) return;
  busy = true;
  clearTimeout(waiting);
  try {
    const body = new URLSearchParams(mark.fields), signal = AbortSignal.timeout(PATIENCE_MS);
    const answer = await fetch(form.action, { method: "POST", headers: { "HX-Request": "true" }, body, signal });
    offline.hidden = true;
    await take(mark, answer);
  } catch {
    offline.hidden = false;
    waiting = setTimeout(send, AGAIN_MS);
  }
  busy = false;
  if (offline.hidden) send();
}

async function take(mark, answer) {
  const text = await answer.text();
  if (answer.ok) {
    drop(mark);
    document.getElementById("marks").innerHTML = text;
  } else if (answer.status < 500) {
    mark.refused = "not taken, see above";
    message.innerHTML = text;
  } else throw new Error(answer.status);
  show();
}

addEventListener("online", () => send());
addEventListener("pageshow", () => { kept = read(); show(); send(); });
