// Make: files for whoever needs them, told in words.

import { el, put, say } from "./dom.js";
import { notice, tried } from "./notices.js";
import { ask, when } from "./wire.js";

const GROUPS = [
  ["corner", "Solids and outlines", "for a designer, or for a machine: STEP, STL, DXF and SVG, with the note and its cautions"],
  ["paper", "Paper for the bench", "booklet, setup sheet, templates at full size and the shop drawing, as PDF"],
  ["aids", "Shop aids to print", "marking template, saw guides, cauls and more"],
  ["picture", "A picture", "the piece as the eye sees it"],
  ["page", "A page to look at", "the solid to turn in any browser, in one file"],
  ["model", "A model for viewers", "GLB and 3MF"],
];
const PRINTED = /\.pdf$/, SHOWN = /\.(pdf|svg|png|html|md|csv)$/;

let here = null;
when("news", (news) => here?.(news));

// Shows what can be made of a piece in `place`. Gives a function that ends it.
export async function makeView(place, name, called) {
  const path = encodeURIComponent(name);
  const found = await tried(() => ask(`api/piece/${path}`));
  called(found ? `Make files: ${found.title}` : "");
  const ticks = GROUPS.map(([group, words, about], i) => el("label", { class: "wanted" },
    el("input", { type: "checkbox", name: "wanted", value: group, checked: i < 2 }), el("span", {}, el("strong", {}, words), " ", el("span", { class: "quiet" }, about))));
  const start = el("button", { type: "button", class: "main", on: { click: begin } }, "Make");
  const stop = el("button", { type: "button", hidden: true, on: { click: end } }, "Stop");
  const bar = el("progress", { "aria-label": "How far it is", hidden: true, max: 1, value: 0 }), line = el("p", { role: "status", class: "making" });
  const list = el("ul", { class: "made" }), all = el("p", {});
  place.append(el("header", { class: "head" }, el("h1", { tabindex: -1 }, found ? `Make files: ${found.title}` : "Make files"),
    el("div", { class: "doing" }, el("a", { class: "button", href: `#/piece/${path}` }, "Back to the piece"))),
  el("fieldset", { class: "card" }, el("legend", {}, "What do you want?"), ...ticks), el("div", { class: "doing" }, start, stop), bar, line,
  el("section", { class: "card", "aria-labelledby": "made-head" }, el("h2", { id: "made-head" }, "Made so far"), list, all));
  let id = null;

  async function begin() {
    const wanted = [...place.querySelectorAll("input:checked")].map((one) => one.value);
    if (!wanted.length) return say(line, "Tick at least one.");
    working(true, "Getting ready");
    const done = await tried(() => ask(`api/make/${path}`, { wanted }));
    id = done?.id ?? null;
    if (!id) working(false, "");
    return undefined;
  }

  async function end() {
    if (id) await tried(() => ask("api/make/stop", { id }));
    id = null;
    working(false, "Stopped. What was made before is as it was.");
  }

  function working(is, words) {
    put(start, "disabled", is);
    put(stop, "hidden", !is);
    put(bar, "hidden", !is);
    if (is) bar.removeAttribute("value");
    say(line, words);
  }

  function heard(news) {
    if (news.event === "trouble") notice(news.words, true);
    if (!id || news.id !== id) return;
    if (news.event === "making") {
      bar.max = news.of;
      bar.value = news.done;
      say(line, `Making ${news.what}, ${news.done + 1} of ${news.of}`);
    }
    if (news.event === "trouble") { id = null; working(false, "Nothing was made."); }
    if (news.event === "made") {
      id = null;
      working(false, news.words ?? "Made.");
      fill();
    }
  }

  async function fill() {
    const files = await tried(() => ask(`api/made/${path}`));
    if (!files) return;
    list.replaceChildren(...(files.length ? files.map((one) => file(path, one)) : [el("li", { class: "empty" }, "Nothing yet.")]));
    all.replaceChildren(...(files.length ? [el("a", { class: "button", href: `api/made/${path}.zip`, download: `${name}.zip` }, "Download all in one archive")] : []));
  }

  here = heard;
  await fill();
  return found && (() => { here = null; });
}

function file(path, one) {
  const name = one.file, href = one.at ?? `api/made/${path}/${name.split("/").map(encodeURIComponent).join("/")}`;
  return el("li", {}, el("span", { class: "file" }, el("strong", {}, name), el("span", { class: "quiet" }, one.words ?? "")),
    el("span", { class: "doing" },
      SHOWN.test(name) ? el("a", { class: "button plain", href, target: "_blank", rel: "noopener", "aria-label": `Open ${name}` }, "Open") : null,
      PRINTED.test(name) ? el("button", { type: "button", class: "plain", "aria-label": `Print ${name}`, on: { click: () => print(href) } }, "Print") : null,
      el("a", { class: "button plain", href, download: name.split("/").at(-1), "aria-label": `Download ${name}` }, "Download")));
}

// The browser's own dialog for paper, over the file in a window of its own.
function print(href) {
  const sheet = open(href, "_blank");
  const look = setInterval(() => {
    if (!sheet || sheet.closed) return clearInterval(look);
    if (!sheet.location.href.endsWith(href) || sheet.document.readyState !== "complete") return undefined;
    clearInterval(look);
    return sheet.print();
  }, 200);
}
