// The sheet that tells how a phone or a tablet comes to the bench.

import { el, fresh } from "./dom.js";
import { tried } from "./notices.js";
import { ask } from "./wire.js";

// What the maker's own page has beside a piece at the bench: the way back, and a button that opens the sheet.
export const forTheMaker = (name) => [
  el("a", { class: "button", href: `#/piece/${encodeURIComponent(name)}` }, "Back to the piece"),
  el("button", { type: "button", on: { click: () => sheet(name) } }, "On your phone"),
];

async function sheet(name) {
  const found = await tried(() => ask(`api/phone/${encodeURIComponent(name)}`));
  if (!found) return;
  const head = fresh("sheet");
  const box = el("dialog", { class: "phone", "aria-labelledby": head }, el("h2", { id: head }, "On your phone"),
    ...(found.address ? offered(found) : off(found)),
    el("div", { class: "doing" }, el("button", { type: "button", class: "main", on: { click: () => box.close() } }, "Close")));
  box.addEventListener("close", () => box.remove());
  document.getElementById("view").append(box);
  box.showModal();
}

const offered = ({ address, code }) => [
  el("p", {}, "Join the same network with your phone or tablet. Point its camera at this code, and open what it finds."),
  el("img", { class: "code", src: code, alt: "The address below as a code for the camera" }),
  el("p", {}, "Or type this address there:"),
  el("p", { class: "address" }, address),
  el("p", {}, "Whoever has it can see your pieces and tick their steps. They can change no recipe. Nothing is encrypted, so others in this network may read along. It ends when you end the bench."),
];

const off = ({ command }) => [
  el("p", {}, "A phone or tablet in your own network can show this piece and tick its steps. That is off now: no other machine sees the bench."),
  el("p", {}, "To switch it on, copy these words, and end the bench at the foot of this page. Then open a terminal, and start the bench with them:"),
  el("p", { class: "address" }, command),
  el("p", {}, "This page then shows a code here, for the camera of your phone."),
];
