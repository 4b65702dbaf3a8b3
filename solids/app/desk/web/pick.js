// The pieces in the maker's folder, to pick one for the bench.

import { el } from "./dom.js";
import { tried } from "./notices.js";
import { ask, when } from "./wire.js";

let again = null; // fetches the pieces, while they are shown
when("news", (news) => {
  if (["shelf", "proof", "state"].includes(news.event)) again?.();
});
when("back", () => again?.());

// Shows the pieces in `place`. Gives a function that ends it.
export async function pickView(place, _name, called) {
  called("");
  const list = el("ul", { class: "shelf" });
  place.append(el("header", { class: "head" }, el("h1", { tabindex: -1 }, "Pick a piece")), list);

  async function fill() {
    const found = await tried(() => ask("api/bench"));
    if (!found) return;
    const at = document.activeElement?.closest("li")?.dataset.name;
    list.replaceChildren(...(found.length ? found.map(card) : [el("li", { class: "empty" }, el("p", {}, "No piece lies on the shelf yet."))]));
    if (at) [...list.children].find((one) => one.dataset.name === at)?.querySelector("a").focus();
  }

  again = fill;
  await fill();
  return () => { if (again === fill) again = null; };
}

const card = (one) => el("li", { class: "card", "data-name": one.name },
  el("a", { class: "open", href: `#/bench/${encodeURIComponent(one.name)}` }, el("img", { src: one.picture, alt: "", loading: "lazy" }), el("h2", {}, one.title)),
  el("p", { class: "size" }, [one.size, one.piece].filter(Boolean).join(" \u00b7 ")),
  el("p", { class: "state", "data-state": one.state }, one.state));
