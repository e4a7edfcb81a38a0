// Sounds while something is new and unseen, or no word comes from the program; keeps the screen awake meanwhile. A browser lets
// a page sound only after a tap, so it is switched on by one, on this device, and says when it waits for another.
// PATTERNS stands before this: tones as [pitch Hz, begins s, lasts s], and after how long it begins again [s], if it does.
const byId = (id) => document.getElementById(id);
const kept = { get on() { try { return localStorage.getItem("sound") === "on"; } catch { return false; } },
  set on(is) { try { localStorage.setItem("sound", is ? "on" : "off"); } catch { /* it holds for this page only */ } } };
let on = kept.on;
let context = null;
let lock = null;
let awake = "";
let dead = false;
let again = 0;
let now = "";

function play(name) {
  if (!context || context.state !== "running") return;
  for (const [pitch, begins, lasts] of PATTERNS[name].tones) {
    const [tone, loud] = [context.createOscillator(), context.createGain()];
    const start = context.currentTime + begins;
    tone.type = "square";
    tone.frequency.value = pitch;
    loud.gain.setValueAtTime(0, start);
    loud.gain.linearRampToValueAtTime(0.5, start + 0.02);
    loud.gain.setValueAtTime(0.5, start + lasts - 0.03);
    loud.gain.linearRampToValueAtTime(0, start + lasts);
    tone.connect(loud).connect(context.destination);
    tone.start(start);
    tone.stop(start + lasts);
  }
}

// What should be heard at this moment: what is gravest of what is unseen. Over a dead link that is old news, and only what asks for
// something at once goes before saying so.
const AT_ONCE = ["emergency alarm", "alarm"];
const wanted = () => {
  const unseen = byId("strip").querySelector("[data-sounds]")?.dataset.sounds || "";
  return dead && !AT_ONCE.includes(unseen) ? "no word" : unseen;
};

function follow() {
  const name = on ? wanted() : "";
  if (name === now) return;
  now = name;
  clearInterval(again);
  if (!name) return;
  play(name);
  const { again: after } = PATTERNS[name];
  if (after) again = setInterval(play, 1000 * after, name);
}

async function stayAwake() {
  if (!on) { await lock?.release(); lock = null; awake = ""; return; }
  if (!navigator.wakeLock) {
    awake = "This browser does not let a page keep the screen awake (it may over https only): set the screen of this device to stay on, for a phone asleep is silent.";
    return;
  }
  try {
    lock = await navigator.wakeLock.request("screen");
    awake = "The screen is kept awake while a page of this is in front.";
  } catch {
    awake = "The screen could not be kept awake; set this device to stay on, for a phone asleep is silent.";
  }
}

function say() {
  const sounds = context?.state === "running";
  byId("quiet").hidden = !on || sounds;
  const state = byId("sound-state");
  if (!state) return;
  const off = "Sound is off on this device.";
  state.textContent = on ? `${sounds ? "Sound is on." : "Sound waits for a tap on this page."} ${awake}` : off;
  byId("sound-switch").textContent = on ? "Turn the sound off" : "Turn the sound on";
}

async function wake() {
  if (!on) return;
  context ??= new AudioContext();
  if (context.state !== "running") {
    // Without a tap it may wait for ever.
    await Promise.race([context.resume().catch(() => {}), new Promise((done) => { setTimeout(done, 300); })]);
  }
  await stayAwake();
  now = "";
  follow();
  say();
}

async function turn(is) {
  on = is;
  kept.on = is;
  if (is) return wake();
  clearInterval(again);
  now = "";
  await stayAwake();
  return say();
}

if (typeof AudioContext === "undefined") {
  if (byId("sound-state")) byId("sound-state").textContent = "This browser has no sound for pages; use another, or the sound of the computer itself.";
} else {
  if (byId("sound-switch")) {
    byId("sound-switch").hidden = false;
    byId("sound-tests").hidden = false;
    byId("sound-switch").addEventListener("click", () => turn(!on));
    for (const button of document.querySelectorAll("[data-test]")) {
      button.addEventListener("click", async () => {
        context ??= new AudioContext();
        await context.resume();
        play(button.dataset.test);
        button.dataset.played = "yes";
      });
    }
  }
  new MutationObserver(follow).observe(byId("strip"), { childList: true, subtree: true, attributes: true });
  addEventListener("link", ({ detail }) => { dead = !detail; follow(); });
  for (const gesture of ["pointerup", "keydown"]) {
    addEventListener(gesture, () => { if (on && context?.state !== "running") wake(); });
  }
  document.addEventListener("visibilitychange", () => { if (!document.hidden && on) stayAwake().then(say); });
  wake();
  say();
}
