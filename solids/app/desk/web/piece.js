// One piece: its drawings with handles, its proof, its solid, what matters at the bench, and a control for every key.

import { controls } from "./controls.js";
import { el, put, say } from "./dom.js";
import { drawings } from "./drawing.js";
import { hand } from "./hand.js";
import { notice, saved, tried } from "./notices.js";
import { proof } from "./proof.js";
import { movement, sending } from "./sending.js";
import { solid } from "./solid.js";
import { ask, when } from "./wire.js";

let open = null; // what hears the server's news, while a piece is shown
let proofs = new Map(); // the last proof of each piece: it may come before the answer to the change that it is of
when("news", (news) => {
  if (news.event === "proof") proofs.set(news.name, news);
  open?.news(news);
});
when("hears", () => open?.hears());
// Another server may answer now, which counts its versions anew.
when("back", () => {
  proofs = new Map();
  open?.back();
});

// Shows a piece in `place`. Gives a function that ends it.
export async function pieceView(place, name, called) {
  const found = await tried(() => Promise.all([ask(`api/piece/${encodeURIComponent(name)}`), ask("api/controls")]));
  if (!found) {
    place.append(el("h1", { tabindex: -1 }, "This piece cannot be shown"), el("p", {}, el("a", { href: "#/" }, "Back to the shelf")));
    called("");
    return undefined;
  }
  const [first, asked] = found;
  const parts = skeleton(place, name);
  let state = first, before = null, joint = 0, burst = false, last = null, heard = 0, drawnAt = null;

  const sender = sending({ name, arrived, failed: (error) => notice(error.message, true), working });
  const inHand = hand(parts.hand, { set: (changes) => sender.set(changes), move: (handle, by) => moved(movement(handle.name), by, false) });
  const drawn = drawings(parts.drawings, { moved, picked: (handle) => inHand.pick(handle, shown(state)), typed: () => inHand.type() });
  const rows = controls(parts.controls, asked, state.piece, (changes) => sender.set(changes));
  const proved = proof(parts.proof);
  let draw = null;

  // A box has several kinds of corners, with drawings of their own: one is shown.
  function shown(whole) {
    const one = whole.joints?.[Math.min(joint, whole.joints.length - 1)];
    return one ? { ...whole, drawings: one.drawings, handles: one.handles, bench: [...whole.bench, ...one.bench] } : whole;
  }

  // While a handle moves, all is compared with what was there before it moved.
  function moved(going, to, live) {
    if (!burst) before = state;
    burst = live;
    sender.move(going, to, live);
  }

  // When all is sent, what another page or program did meanwhile is fetched too.
  function working(how) {
    saved(how, state.unsaved);
    if (how === "saved" && heard > state.version) elsewhere();
  }

  function arrived(next, job) {
    if (next.version < state.version && job.what !== "look") return;
    if (next.version !== state.version && job.what !== "move") before = state;
    state = next;
    render();
  }

  function render() {
    const now = shown(state), then = before && shown(before);
    called(state.title);
    say(parts.title, state.title);
    put(parts.undo, "disabled", !state.can_undo);
    put(parts.redo, "disabled", !state.can_redo);
    put(parts.good, "hidden", state.good);
    parts.node.classList.toggle("not-good", !state.good);
    say(parts.solidHead, state.good ? "The solid" : "The solid of the last good joint");
    say(parts.benchHead, state.good ? "At the bench" : "At the bench, for the last good joint");
    joints();
    drawn.show(now, then?.drawings ?? null);
    inHand.show(now);
    rows.show(state);
    bench(parts.bench, now.bench, then?.bench);
    problems();
    put(parts.none, "hidden", Boolean(now.drawings.face ?? now.drawings.end));
    const came = state.proof ?? proofs.get(name);
    if (state.proof || came?.version === state.version) known(came);
    proved.state(state);
    saved(sender.idle() ? "saved" : "saving", state.unsaved);
  }

  // A proof of the text as it is now.
  function known({ proof: found, model_at: path }) {
    proved.came({ version: state.version, proof: found }, state);
    if (path && path !== drawnAt) model(path);
  }

  function joints() {
    const titles = (state.joints ?? []).map((one) => one.title);
    put(parts.joints, "hidden", titles.length < 2);
    if (parts.joints.dataset.titles === titles.join("|")) return;
    parts.joints.dataset.titles = titles.join("|");
    parts.joints.replaceChildren(el("legend", {}, "Corner"), ...titles.map((title, i) => el("label", {},
      el("input", { type: "radio", name: "joint", checked: i === joint, on: { change: () => { joint = i; render(); } } }), ` ${title}`)));
  }

  // What is wrong, each with the way to its control.
  function problems() {
    put(parts.problems, "hidden", !state.problems.length);
    const text = JSON.stringify(state.problems);
    if (text === last) return;
    last = text;
    parts.problems.replaceChildren(el("h2", {}, "This cannot be cut yet"), el("ul", {}, state.problems.map((one) => el("li", {},
      el("p", {}, one.wrong), one.accepted ? el("p", { class: "accepted" }, one.accepted) : null,
      one.key ? el("button", { type: "button", class: "plain", on: { click: () => rows.goTo(one.key) } }, `Go to ${rows.words(one.key)}`) : null))));
  }

  async function model(path) {
    drawnAt = path;
    // A solid that has gone by is not missed: the next is on its way.
    const scene = await ask(path).catch(() => null);
    if (!scene || open !== here || path !== drawnAt) return;
    draw ??= await solid(parts.solid);
    if (path === drawnAt) draw(scene, name);
    put(parts.waiting, "hidden", true);
  }

  const here = {
    news(news) {
      if (news.event === "trouble") notice(news.words, true);
      if (news.name !== name) return;
      if (news.event === "state") {
        heard = Math.max(heard, news.version);
        if (heard > state.version && sender.idle()) elsewhere(news.words);
      }
      if (news.event === "proof" && news.version === state.version) known(news);
    },
    hears() {
      if (sender.idle() && !proved.isOf(state)) sender.fetchNow();
    },
    back() {
      heard = 0;
      sender.resume();
    },
  };

  async function elsewhere(words = "This recipe was changed in another window or program.") {
    const was = state.version;
    heard = 0;
    await sender.fetchNow();
    if (state.version > was) notice(`${words} You see it as it is now; Undo takes it back.`);
  }

  function keys(event) {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const what = { z: event.shiftKey ? "redo" : "undo", y: "redo" }[event.key.toLowerCase()];
    // In a line that is being typed in, the browser takes back what was typed.
    if (!what || event.target.dataset?.typing) return;
    event.preventDefault();
    if (state[what === "undo" ? "can_undo" : "can_redo"]) sender.step(what);
  }

  const typing = (event) => {
    if (event.target.matches?.("input[type=text]")) event.target.dataset.typing = event.type === "input" ? "yes" : "";
  };
  const unsent = (event) => { if (!sender.idle()) event.preventDefault(); };

  open = here;
  parts.undo.addEventListener("click", () => sender.step("undo"));
  parts.redo.addEventListener("click", () => sender.step("redo"));
  document.addEventListener("keydown", keys);
  for (const kind of ["input", "change", "focusout"]) place.addEventListener(kind, typing);
  addEventListener("beforeunload", unsent);
  render();
  return () => {
    open = null;
    saved("");
    document.removeEventListener("keydown", keys);
    removeEventListener("beforeunload", unsent);
  };
}

function skeleton(place, name) {
  const link = `#/make/${encodeURIComponent(name)}`;
  const parts = {
    title: el("h1", { tabindex: -1 }),
    undo: el("button", { type: "button", title: "Ctrl+Z" }, "Undo"),
    redo: el("button", { type: "button", title: "Ctrl+Shift+Z" }, "Redo"),
    proof: el("section", { class: "proof", "aria-label": "The proof" }),
    problems: el("section", { class: "problems", "aria-label": "What cannot be cut", hidden: true }),
    good: el("p", { class: "last-good", hidden: true }, "The last good joint"),
    none: el("p", { hidden: true }, "Nothing can be drawn yet. Mend what is told above."),
    drawings: el("div", { class: "drawings" }),
    joints: el("fieldset", { class: "joints", hidden: true }),
    hand: el("div", { class: "hand" }),
    solidHead: el("h2", { id: "solid-head" }),
    benchHead: el("h2", { id: "bench-head" }),
    solid: el("div", { class: "stage" }),
    waiting: el("p", { class: "quiet" }, "The solid comes with the proof."),
    bench: el("dl", { class: "figures" }),
    controls: el("div", { class: "controls" }),
  };
  parts.solid.append(parts.waiting);
  parts.node = el("article", { class: "piece" },
    el("header", { class: "head" }, parts.title, el("div", { class: "doing" }, parts.undo, parts.redo, el("a", { class: "button main", href: link }, "Make files"))),
    el("div", { class: "told" }, parts.proof, parts.problems),
    el("section", { class: "hero card", "aria-label": "Drawings" }, parts.joints, parts.good, parts.none, parts.drawings, parts.hand),
    el("div", { class: "side" },
      el("section", { class: "card", "aria-labelledby": "solid-head" }, parts.solidHead, parts.solid),
      el("section", { class: "card", "aria-labelledby": "bench-head" }, parts.benchHead, parts.bench)),
    el("section", { class: "keys card", "aria-labelledby": "keys-head" }, el("h2", { id: "keys-head" }, "Measurements and choices"), parts.controls));
  place.append(parts.node);
  return parts;
}

// The figures for the bench; one that the last change changed is marked, with what it was.
function bench(host, rows, before) {
  const was = new Map((before ?? []).map((row) => [row.words, row.value]));
  host.replaceChildren(...rows.map(({ words, value }) => {
    const old = was.get(words), isNew = Boolean(before) && old !== value;
    return el("div", { class: isNew ? "changed" : null }, el("dt", {}, words), el("dd", {}, value,
      isNew ? el("span", { class: "was" }, old === undefined ? "new" : `was ${old}`) : null));
  }));
}
