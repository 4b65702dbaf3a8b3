// The page's beginning: which view is shown, by the address behind #.

import { say } from "./dom.js";
import { makeView } from "./make.js";
import { forget } from "./notices.js";
import { pieceView } from "./piece.js";
import { shelfView } from "./shelf.js";
import { listen, when } from "./wire.js";

const VIEWS = { "": shelfView, piece: pieceView, make: makeView };
const main = document.getElementById("view");
let leave = null, turn = 0; // what ends the view that is shown; null where it could not be shown

async function go() {
  const [, view = "", name = ""] = location.hash.split("/");
  const now = (turn += 1);
  leave?.();
  leave = null;
  forget();
  const place = document.createElement("div");
  main.replaceChildren(place);
  const left = await (VIEWS[view] ?? shelfView)(place, decodeURIComponent(name), called);
  if (now !== turn) return left?.();
  leave = left ?? null;
  if (now > 1) place.querySelector("h1")?.focus();
}

// What the view is called, in the window's title and in the line on top.
function called(words) {
  document.title = words ? `${words} - the bench` : "The bench";
  say(document.getElementById("where"), words);
}

document.querySelector(".skip").addEventListener("click", (event) => {
  event.preventDefault();
  main.focus();
});
addEventListener("hashchange", go);
when("back", () => leave ?? go());
listen();
go();
