// One piece: its drawings with handles, its proof, its solid, what matters at the bench, and a control for every key.

import { keeping } from "./beside.js";
import { boxView, ofWhole } from "./box.js";
import { controls } from "./controls.js";
import { el, put, say } from "./dom.js";
import { drawings } from "./drawing.js";
import { figures } from "./figures.js";
import { hand } from "./hand.js";
import { notice, saved, takeBack, tried } from "./notices.js";
import { proof } from "./proof.js";
import { movement, sending } from "./sending.js";
import { solid } from "./solid.js";
import { stepKeys } from "./steps.js";
import { ask, isOver, when } from "./wire.js";

let open = null; // what hears the server's news, while a piece is shown
let proofs = new Map(); // the last proof of each piece: it may come before the answer to the change that it is of
when("news", (news) => {
  if (news.event === "proof") proofs.set(news.name, news);
  open?.news(news);
});
when("hears", () => open?.hears());
when("lost", () => open?.lost());
// Another server may answer now, which counts its versions anew.
when("back", () => {
  proofs = new Map();
  open?.back();
});

// Shows a piece in `place`. Gives a function that ends it.
export async function pieceView(place, name, called) {
  const found = await tried(() => Promise.all([ask(`api/piece/${encodeURIComponent(name)}`), ask("api/controls")]));
  if (!place.isConnected) return undefined; // it was left before this came
  if (!found) {
    place.append(el("h1", { tabindex: -1 }, "This piece cannot be shown"), el("p", {}, el("a", { href: "#/" }, "Back to the shelf")));
    called("");
    return undefined;
  }
  const [first, asked] = found;
  const parts = skeleton(place, name);
  let state = first, before = null, burst = false, last = null, heard = 0;

  const sender = sending({ at: `api/piece/${encodeURIComponent(name)}`, arrived, failed, working });
  const inHand = hand(parts.hand, { set: (changes) => sender.set(changes), move: (handle, by) => moved(movement(handle.name), by, false) });
  const drawn = drawings(parts.drawings, { moved, picked: (handle) => inHand.pick(handle, shown(state)), typed: () => inHand.type() });
  const rows = controls(parts.controls, ofWhole(asked, state), state.piece, (changes) => sender.set(changes), {
    shopAt: (key) => `#/shop/${encodeURIComponent(key)}/${encodeURIComponent(name)}`,
  });
  const box = state.piece === "box" ? boxView(parts, asked, { moved, set: (changes) => sender.set(changes), picked: (handle) => inHand.pick(handle, shown(state)), typed: () => inHand.type(), again: () => render() }) : null;
  const proved = proof(parts.proof);
  const solidOf = solid(parts.solid, parts.solidHead, parts.coming, name);

  // Of a box, the corner that is picked.
  const shown = (whole) => box?.shown(whole) ?? whole;

  // While a handle moves, all is compared with what was there before it moved.
  function moved(going, to, live) {
    if (!burst) before = state;
    burst = live;
    sender.move(going, to, live);
  }

  // What cannot be is told where it was asked for: at the handle that cannot go there, or above the page.
  function failed(error, going) {
    if (!going) return notice(error.message, true);
    const isSeen = [drawn, box].map((one) => one?.refused(going, error.message)).some(Boolean);
    return inHand.refused(going, error.message, isSeen);
  }

  // When all is sent, what another page or program did meanwhile is fetched too.
  function working(how) {
    saved(how, state.unsaved);
    if (how === "saved" && heard > state.version) elsewhere();
  }

  function arrived(next, job) {
    if (next.version < state.version && job.what !== "look") return;
    if (next.version !== state.version && job.what !== "move") before = state;
    if (next.unsaved && next.unsaved !== state.unsaved) notice(next.unsaved, true);
    state = next;
    if (job.what !== "look" && !job.going?.wall) for (const one of [drawn, box, inHand]) one?.free();
    render();
  }

  function render() {
    const now = shown(state), then = before && shown(before);
    called(state.title);
    say(parts.title, state.title);
    steps();
    put(parts.good, "hidden", state.good);
    parts.node.classList.toggle("not-good", !state.good);
    solidOf.show(state);
    say(parts.benchHead, state.good ? "At the bench" : "At the bench, for the last good joint");
    box?.show(state, before);
    drawn.show(now, then?.drawings ?? null);
    inHand.show(now);
    rows.show(state, before);
    figures(parts.bench, now.bench, then?.bench);
    problems();
    put(parts.none, "hidden", Boolean(now.drawings.face ?? now.drawings.end));
    const came = state.proof ?? proofs.get(name);
    if (state.proof || came?.version === state.version) known(came);
    proved.state(state);
    saved(sender.idle() ? "saved" : "saving", state.unsaved);
  }

  // A button that cannot be pressed any more hands the focus on.
  function steps() {
    const had = document.activeElement;
    put(parts.undo, "disabled", !state.can_undo);
    put(parts.redo, "disabled", !state.can_redo);
    if (had === parts.undo && !state.can_undo) parts.redo.focus();
    if (had === parts.redo && !state.can_redo) parts.undo.focus();
  }

  // A proof of the text as it is now.
  function known({ proof: found, model_at: path }) {
    proved.came({ version: state.version, proof: found }, state);
    solidOf.proved(path, state.version);
  }

  // What is wrong, each with the way to its control.
  function problems() {
    put(parts.problems, "hidden", !state.problems.length);
    const text = JSON.stringify(state.problems);
    if (text === last) return;
    last = text;
    parts.problems.replaceChildren(el("h2", {}, "This cannot be cut yet"), el("ul", {}, state.problems.map((one) => el("li", {},
      el("p", {}, one.wrong), one.accepted ? el("p", { class: "accepted" }, one.accepted) : null,
      one.key ? el("button", { type: "button", class: "plain", on: { click: () => box?.goTo(one.key) || rows.goTo(one.key) } }, `Go to ${box?.words(one.key) ?? rows.words(one.key)}`) : null))));
  }

  const here = {
    news(news) {
      if (news.event === "trouble") notice(news.words, true);
      if (news.name !== name) return;
      if (news.event === "state") {
        heard = Math.max(heard, news.version);
        if (heard > state.version && sender.idle()) elsewhere(news.words || undefined, news.then);
      }
      if (news.event === "proof" && news.version === state.version) known(news);
      if (news.gave_up && news.version === state.version) proved.gaveUp(news, state);
      if (news.event === "disk") onDisk(news.unsaved);
    },
    // What was told while nobody listened was missed.
    hears() {
      if (sender.idle()) sender.fetchNow();
    },
    lost() {
      const words = sender.words(rows.words);
      if (isOver() && words) notice(`Not on disk: ${words}. Change it again in the new page.`, true);
    },
    back() {
      heard = 0;
      sender.resume();
    },
  };

  // The disk has refused the last change, or has taken what it refused before.
  function onDisk(unsaved) {
    if (!unsaved && state.unsaved) {
      takeBack(state.unsaved);
      notice("Every change is on disk now.");
    }
    state = { ...state, unsaved };
    saved(sender.idle() ? "saved" : "saving", unsaved);
  }

  async function elsewhere(words = "This recipe was changed in another window or program.", then = "You see it as it is now; Undo takes it back.") {
    const was = state.version;
    heard = 0;
    await sender.fetchNow();
    if (state.version > was) notice(`${words} ${then}`);
  }

  const unsent = (event) => { if (!sender.idle()) event.preventDefault(); };

  open = here;
  parts.undo.addEventListener("click", () => sender.step("undo"));
  parts.redo.addEventListener("click", () => sender.step("redo"));
  const noKeys = stepKeys(place, (what) => { if (state[what === "undo" ? "can_undo" : "can_redo"]) sender.step(what); });
  addEventListener("beforeunload", unsent);
  render();
  const [, , , key] = location.hash.split("/"); // the control that My shop leads back to
  if (key) rows.goTo(decodeURIComponent(key));
  return () => {
    if (open === here) open = null;
    saved("");
    noKeys();
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
    box: el("div", { class: "box", hidden: true }),
    corner: el("div", { class: "corner", hidden: true }),
    cornerKeys: el("div", { class: "controls", hidden: true }),
    hand: el("div", { class: "hand" }),
    solidHead: el("h2", { id: "solid-head" }),
    benchHead: el("h2", { id: "bench-head" }),
    coming: el("p", { class: "quiet coming" }),
    solid: el("div", { class: "stage" }),
    bench: el("dl", { class: "figures" }),
    controls: el("div", { class: "controls" }),
    explain: el("button", { type: "button", class: "plain", "aria-pressed": "false" }, "Explain all"),
  };
  parts.node = el("article", { class: "piece" },
    el("header", { class: "head" }, parts.title, el("div", { class: "doing" }, parts.undo, parts.redo, ...keeping(name), el("a", { class: "button", href: `#/bench/${encodeURIComponent(name)}` }, "At the bench"), el("a", { class: "button main", href: link }, "Make files"))),
    el("div", { class: "told" }, parts.proof, parts.problems),
    el("div", { class: "work" },
      el("section", { class: "hero card", "aria-label": "Drawings" }, parts.box, parts.corner, parts.good, parts.none, parts.drawings, parts.hand),
      el("section", { class: "whole card", "aria-labelledby": "solid-head" }, el("div", { class: "head" }, parts.solidHead, parts.coming), parts.solid)),
    el("div", { class: "numbers" },
      el("section", { class: "card", "aria-labelledby": "bench-head" }, parts.benchHead, parts.bench),
      el("section", { class: "keys card", "aria-labelledby": "keys-head" },
        el("div", { class: "head" }, el("h2", { id: "keys-head" }, "Measurements and choices"), parts.explain), parts.cornerKeys, parts.controls)));
  parts.explain.addEventListener("click", () => {
    const all = parts.controls.classList.toggle("all");
    parts.cornerKeys.classList.toggle("all", all);
    put(parts.explain, "aria-pressed", String(all));
  });
  place.append(parts.node);
  return parts;
}
