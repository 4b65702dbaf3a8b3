// What the maker is told: news that may be closed, and that the server cannot be reached.

import { el, put, say } from "./dom.js";
import { Lost, silence, when } from "./wire.js";

const at = (id) => document.getElementById(id);

// Tells something. What is told twice stands once. `bad` is read aloud at once.
export function notice(words, bad = false) {
  for (const old of at("notices").children) if (old.dataset.words === words) old.remove();
  const dismiss = el("button", { type: "button", class: "plain", "aria-label": "Close this notice" }, "Close");
  const one = el("div", { class: bad ? "band bad" : "band", role: bad ? "alert" : "status", "data-words": words }, el("p", {}, words), dismiss);
  dismiss.addEventListener("click", () => one.remove());
  at("notices").append(one);
  while (at("notices").children.length > 3) at("notices").firstChild.remove();
}

// Takes back what holds no more.
export const takeBack = (words) => [...at("notices").children].forEach((one) => one.dataset.words === words && one.remove());

export const forget = () => at("notices").replaceChildren();

// Does something that may fail, and tells it if it does. Gives what it gave, or undefined.
export async function tried(work, tell = (words) => notice(words, true)) {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof Lost)) tell(error.message);
    return undefined;
  }
}

// `state` is "saved", "saving", "waiting" or "". `why` says why something is not on disk, where that is so.
export function saved(state, why = "") {
  say(at("saved"), why || ({ saved: "Saved", saving: "Saving", waiting: "Waiting for the bench" }[state] ?? ""));
  at("saved").classList.toggle("bad", Boolean(why));
}

function silent() {
  const words = silence();
  say(at("lost"), words);
  put(at("lost"), "hidden", !words);
}

when("lost", silent);
when("back", () => {
  silent();
  notice("The bench is back.");
});
