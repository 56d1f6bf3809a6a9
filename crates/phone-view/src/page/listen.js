// Listens to the recorder, says when it is not heard, and asks it for marks.
let may_stamp = false, over = false, source = null, heard = 0, last_id = "", wait_s = 1, retry = null;
// what happened before the first look is history, not news
let news_after = Infinity;

// the key leaves the address bar; the cookie has a session instead
if (location.search) history.replaceState(null, "", "/");

const SILENT_MS = 5000;
function say_link() {
  const age = (performance.now() - heard) / 1000;
  const live = heard > 0 && age * 1000 < SILENT_MS;
  document.body.classList.toggle("old", !live && !over && heard > 0);
  if (over) { put("link", "■ recording ended"); show("stale", false); return; }
  const missed = live && trouble && trouble.is_grave;
  el("link").classList.toggle("missed", Boolean(missed));
  put("link", missed ? `▲ ${trouble.word}` : live ? "● live" : heard > 0 ? "✕ not connected" : "○ connecting …");
  if (refused) return;
  show("stale", !live && heard > 0);
  if (!live && heard > 0) put("stale", `No connection to the recorder for ${clock(age)}. What is shown is old. The recording does not depend on this page.`);
}
let refused = false;
setInterval(say_link, 500);

function listen() {
  clearTimeout(retry);
  if (source) source.close();
  source = new EventSource(last_id ? `/stream?after=${encodeURIComponent(last_id)}` : "/stream");
  const on = (kind, take) => source.addEventListener(kind, (e) => {
    heard = performance.now();
    wait_s = 1;
    if (e.lastEventId) last_id = e.lastEventId;
    take(JSON.parse(e.data));
  });
  on("hello", (h) => { refused = false; show("stale", false); greet(h); });
  on("now", (now) => {
    over = !now.run.recording;
    show_now(now);
    say_link();
    if (news_after === Infinity) setTimeout(() => { news_after = 0; }, 500);
  });
  on("curve", take_curve);
  on("happened", (e) => { take_event(e); if (news_after === 0) nudge(e); });
  on("anew", () => { events.length = 0; built.delete("events"); el("events").replaceChildren(); forget_curve(); });
  on("missed", () => take_event({ number: -1, at_s: 0, kind: "told", text: "Some of what happened meanwhile is no longer kept here; the record has it." }));
  source.onerror = () => {
    // the browser comes again by itself only while it is "connecting"
    if (source.readyState !== 2) return;
    retry = setTimeout(why_not, wait_s * 1000);
    wait_s = Math.min(10, wait_s * 2);
  };
}

/** An event stream does not say why it was refused; a plain request does. */
async function why_not() {
  try {
    const answer = await fetch("/", { method: "HEAD", cache: "no-store" });
    if (answer.status === 401 || answer.status === 403) {
      refused = true;
      show("stale", true);
      put("stale", "The recorder was started anew, with another key: scan the code on its screen again.");
      retry = setTimeout(why_not, 15000);
      return;
    }
  } catch { /* not there: tried again */ }
  listen();
}
// a phone that was put away wakes up with a dead connection
document.addEventListener("visibilitychange", () => {
  if (!document.hidden && !over && performance.now() - heard > SILENT_MS) listen();
});
setInterval(() => { if (!over && !refused && heard > 0 && performance.now() - heard > 3 * SILENT_MS) { heard = performance.now() - 2 * SILENT_MS; listen(); } }, 1000);

function greet(hello) {
  may_stamp = hello.marks;
  show("stamping", may_stamp);
  put("device", `Your marks stand in the record as stamped from device ${hello.device}.`);
  rebuild("stamps", hello.stamps, () => hello.stamps.map((s) => {
    const button = make("button", capital(s.label));
    button.dataset.key = s.key;
    button.addEventListener("click", () => ask({ stamp: s.key }, s.label, button));
    return button;
  }));
}

/** What must be asked before this is done; nothing where it is done at once. */
function question_of(what) {
  const asked = ask_first.find((a) => (what.stamp && a.stamp === what.stamp) || (what.undo && a.undo === what.undo));
  return asked ? asked.question : null;
}
let answer_by = null;
/** Asks, and waits for yes or no; another question in between counts as no. */
function confirmed(question) {
  if (answer_by) answer_by(false);
  put("asked", question);
  show("question", true);
  el("no").focus();
  return new Promise((answered) => {
    answer_by = (yes) => { answer_by = null; show("question", false); answered(yes); };
  });
}
el("yes").addEventListener("click", () => answer_by && answer_by(true));
el("no").addEventListener("click", () => answer_by && answer_by(false));

async function ask(what, label, button) {
  const question = question_of(what);
  if (question && !await confirmed(question)) { put("acted", "Nothing was changed."); return false; }
  if (button) button.disabled = true;
  put("acted", `Asked: ${label} …`);
  try {
    const answer = await fetch("/act", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(what) });
    put("acted", answer.ok ? `Passed on: ${label}. It counts once it stands under "Marks".` : await answer.text());
    return answer.ok;
  } catch {
    put("acted", `NOT stamped: ${label}. The recorder was not reached.`);
    return false;
  } finally {
    setTimeout(() => { if (button) button.disabled = false; }, 700);
  }
}
el("remark").addEventListener("submit", async (e) => {
  e.preventDefault();
  const text = el("note").value.trim();
  if (text && await ask({ note: text }, text)) el("note").value = "";
});

// sound and vibration: browsers allow them after a tap only
let audio = null, nudging = false;
el("nudge").addEventListener("click", () => {
  nudging = !nudging;
  el("nudge").setAttribute("aria-pressed", String(nudging));
  put("nudge", `Sound and vibration: ${nudging ? "on" : "off"}`);
  if (nudging) {
    audio ??= window.AudioContext ? new AudioContext() : null;
    if (audio) audio.resume();
    call(false);
  }
});
/** One rising pair of tones for good news, three low ones for bad. */
function call(grave) {
  if (navigator.vibrate) navigator.vibrate(grave ? [300, 150, 300, 150, 300] : [200, 100, 200]);
  if (!audio) return;
  const tones = grave ? [330, 330, 330] : [660, 880];
  tones.forEach((hz, i) => {
    const tone = audio.createOscillator(), loud = audio.createGain(), at = audio.currentTime + 0.28 * i;
    tone.frequency.value = hz;
    loud.gain.setValueAtTime(0.0001, at);
    loud.gain.exponentialRampToValueAtTime(0.4, at + 0.02);
    loud.gain.exponentialRampToValueAtTime(0.0001, at + 0.24);
    tone.connect(loud).connect(audio.destination);
    tone.start(at); tone.stop(at + 0.26);
  });
}
function nudge(e) {
  put("said", e.text);
  if (nudging && NUDGE.includes(e.kind)) call(GRAVE.includes(e.kind));
}
listen();
