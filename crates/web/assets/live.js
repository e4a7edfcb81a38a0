// Keeps an open page true: pieces of it come in by their id and take the place of what stood there.
"use strict";

const silent = document.getElementById("silent");

// What is the same stays the same element: it can be pressed, focused and read while the rest changes.
function patch(old, now) {
  if (old.nodeName !== now.nodeName) return old.replaceWith(now);
  if (old.nodeType === Node.TEXT_NODE) {
    if (old.data !== now.data) old.data = now.data;
    return undefined;
  }
  for (const { name, value } of now.attributes ?? []) {
    if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  // Whether something is folded open is the reader's business.
  for (const { name } of [...(old.attributes ?? [])]) {
    if (name !== "open" && !now.hasAttribute(name)) old.removeAttribute(name);
  }
  return patchAll(old, now);
}

function patchAll(old, now) {
  const [stand, come] = [[...old.childNodes], [...now.childNodes]];
  if (stand.length === come.length) stand.forEach((child, k) => patch(child, come[k]));
  else old.replaceChildren(...come);
}

// A piece in which somebody is choosing waits until they are done, and says so.
const held = new Map();

function put(id, html) {
  const piece = document.getElementById(id);
  if (!piece) return;
  const chosen = piece.contains(document.activeElement?.closest?.("select, input"));
  piece.classList.toggle("held", chosen);
  if (chosen) {
    held.set(id, html);
    return;
  }
  const focused = piece.contains(document.activeElement) ? document.activeElement.id : "";
  const open = [...piece.querySelectorAll("details[open]")].map((details) => details.id);
  const template = document.createElement("template");
  template.innerHTML = html;
  patchAll(piece, template.content);
  for (const details of piece.querySelectorAll("details")) details.open = open.includes(details.id);
  if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
}

function mark(id, text, state) {
  const value = document.querySelector(`[data-gauge="${CSS.escape(id)}"]`);
  if (!value) return;
  value.setAttribute("class", `gauge ${state}`);
  const shown = value.querySelector(".value");
  if (shown) shown.textContent = text;
}

addEventListener("focusout", () => setTimeout(() => {
  for (const [id, html] of [...held]) {
    held.delete(id);
    put(id, html);
  }
}));

// While something is pressed nothing is replaced: what is let go of has to be what was pressed.
let pressed = false;
const waiting = [];

function show() {
  for (const { html, marks } of waiting.splice(0)) {
    for (const [id, inner] of html) put(id, inner);
    for (const [id, text, state] of marks) mark(id, text, state);
  }
}

addEventListener("pointerdown", () => { pressed = true; }, true);
for (const end of ["pointerup", "pointercancel"]) {
  // The click comes after it.
  addEventListener(end, () => setTimeout(() => { pressed = false; show(); }), true);
}

const LONGEST_SILENCE = 15000;

function listen(address) {
  const stream = new EventSource(address);
  let last = Date.now();
  const heard = (is) => {
    if (is) last = Date.now();
    if (silent.hidden === is) return;
    silent.hidden = is;
    document.body.classList.toggle("silent", !is);
    dispatchEvent(new CustomEvent("link", { detail: is }));
  };
  stream.addEventListener("open", () => heard(true));
  stream.addEventListener("beat", () => heard(true));
  stream.addEventListener("error", () => heard(false));
  // A link may die without a word: the program says something at least every five seconds.
  setInterval(() => { if (Date.now() - last > LONGEST_SILENCE) heard(false); }, 1000);
  stream.addEventListener("news", ({ data }) => {
    heard(true);
    waiting.push(JSON.parse(data));
    if (!pressed) show();
  });
}

// The words and checks to choose from follow the part that is chosen.
for (const whole of document.querySelectorAll("select[data-narrows]")) {
  const narrowed = document.getElementById(whole.dataset.narrows);
  const groups = [...narrowed.querySelectorAll("optgroup")];
  const narrow = () => {
    narrowed.replaceChildren(...groups.filter((group) => group.label === whole.value));
    narrowed.selectedIndex = 0;
  };
  whole.addEventListener("change", narrow);
  narrow();
}

// News can wait until the page itself stands and answers.
if (document.body.dataset.live) addEventListener("load", () => setTimeout(listen, 0, document.body.dataset.live));
