// Keeps an open page true: pieces of it come in by their id and take the place of what stood there.
"use strict";

const silent = document.getElementById("silent");

function put(id, html) {
  const piece = document.getElementById(id);
  if (!piece || piece.contains(document.activeElement?.closest?.("form, select, input"))) return;
  const focused = piece.contains(document.activeElement) ? document.activeElement.id : "";
  const open = [...piece.querySelectorAll("details[open]")].map((details) => details.id);
  piece.innerHTML = html;
  for (const known of open) document.getElementById(known)?.setAttribute("open", "");
  if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
}

function mark(id, text, state) {
  const value = document.querySelector(`[data-gauge="${CSS.escape(id)}"]`);
  if (!value) return;
  value.setAttribute("class", `gauge ${state}`);
  const shown = value.querySelector(".value");
  if (shown) shown.textContent = text;
}

function listen(address) {
  const stream = new EventSource(address);
  stream.addEventListener("open", () => { silent.hidden = true; });
  stream.addEventListener("error", () => { silent.hidden = false; });
  stream.addEventListener("news", ({ data }) => {
    const { html, marks } = JSON.parse(data);
    for (const [id, inner] of html) put(id, inner);
    for (const [id, text, state] of marks) mark(id, text, state);
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

if (document.body.dataset.live) listen(document.body.dataset.live);
