// The solid of a piece, beside its drawings. The canvas and what draws on it are made once and go from piece to piece, as a
// browser has only so many of them to give.

import { el, put, say } from "./dom.js";
import { ask } from "./wire.js";

let loading = null, made = null;

// three.js and our drawing of a solid are scripts of the old kind, shared with the page that is written to a file.
const script = (name) => new Promise((done, failed) => {
  document.head.append(el("script", { src: `web/${name}`, on: { load: done, error: failed } }));
});

// Where they do not come, they are asked for again with the next solid.
const load = () => (loading ??= script("three.js").then(() => script("solid-view.js")).catch((error) => {
  loading = null;
  throw error;
}));

function build() {
  const canvas = el("canvas", { tabindex: 0, role: "application", "aria-label": "The solid: arrows turn it, plus and minus zoom, 0 goes home" });
  const apart = el("input", { id: "apart", type: "range", min: 0, max: 100, value: 0, "aria-valuetext": "seated" });
  const words = el("output", { for: "apart" }, "seated");
  const finished = el("input", { type: "checkbox" });
  const trouble = el("p", { class: "band", hidden: true }, "This browser cannot draw in three dimensions. The drawings hold all that is needed.");
  let view = null, scene = null;
  const button = (from, label) => el("button", { type: "button", class: "plain", on: { click: () => view?.see(from) } }, label);
  const node = el("div", { class: "solid" }, canvas, trouble, el("div", { class: "turning" },
    el("div", { class: "turns" }, button("home", "Home"), button("front", "From the front"), button("above", "From above")),
    el("div", { class: "turns" }, el("label", { for: "apart" }, "Take it apart"), apart, words),
    el("label", { class: "tick" }, finished, " finished")));
  const ask = () => {
    const share = apart.value / 100, [before, after] = scene?.moved ?? ["", ""];
    const told = share && scene ? `${before}${globalThis.lengthTold(share * scene.apart, scene.units)}${after}` : "seated";
    say(words, told);
    put(apart, "aria-valuetext", told);
    view?.set({ share, state: finished.checked ? "finished" : "cut" });
  };
  apart.addEventListener("input", ask);
  finished.addEventListener("change", ask);

  function show(next) {
    const other = scene && scene.piece !== next.piece;
    scene = next;
    try {
      view ??= globalThis.solidView(canvas);
    } catch {
      put(canvas, "hidden", true);
      put(trouble, "hidden", false);
      return;
    }
    view.read(scene);
    if (other) view.see("home");
    ask();
  }

  return { node, show, canvas };
}

// The solid of the piece of that `name` in `host`, below a `head` with a line beside it. Gives `show(state)`, and `proved(path, version)`,
// which is told where the solid of a version is. One that is not of what the drawings show is called that, and is dim.
export function solid(host, head, line, name) {
  const waiting = el("p", { class: "quiet" }, "The solid comes with the proof.");
  host.append(waiting);
  let state = null, of = 0, drawn = "", wanted = "", isMissing = false;

  async function fetched(path) {
    try {
      const scene = await ask(path);
      await load();
      return scene;
    } catch {
      return null;
    }
  }

  async function proved(path, version) {
    if (path === drawn) of = version;
    else if (path && path !== wanted) {
      wanted = path;
      const scene = await fetched(path);
      // What came too late is not missed: the next is on its way.
      if (path !== wanted || !host.isConnected) return;
      isMissing = !scene;
      wanted = "";
      if (scene) {
        made ??= build();
        if (made.node.parentNode !== host) host.replaceChildren(made.node);
        made.show({ ...scene, piece: name });
        [drawn, of] = [path, version];
      }
    }
    age();
  }

  function show(next) {
    if (next.version !== state?.version) isMissing = false;
    state = next;
    age();
  }

  function age() {
    const isOld = state.good && of > 0 && of !== state.version;
    host.classList.toggle("old", isOld);
    say(head, !state.good ? "The solid of the last good joint" : isOld ? "The solid before this change" : "The solid");
    say(line, isOld ? (isMissing ? "There is none of this yet." : "The new one is on its way.") : "");
  }

  return { show, proved };
}
