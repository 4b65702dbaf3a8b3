// Make: files for whoever needs them, told in words.

import { el, put, say } from "./dom.js";
import { notice, tried } from "./notices.js";
import { ask, when } from "./wire.js";

const GROUPS = [
  ["corner", "Solids and outlines", "for a designer, or for a machine: STEP, STL, DXF and SVG, with the note and its cautions"],
  ["paper", "Paper for the bench", "booklet, setup sheets, templates at full size and shop drawings, as PDF"],
  ["aids", "Shop aids to print", "marking template, saw guides, cauls and more"],
  ["picture", "A picture", "the piece as the eye sees it"],
  ["page", "A page to look at", "the solid to turn in any browser, in one file"],
  ["model", "A model for viewers", "GLB, in metres"],
];
const REST = 400; // ms
const OLD = "Out of date: made from the recipe as it was before.";
const PRINTED = /\.pdf$/, SHOWN = /\.(pdf|svg|png|html|md|csv)$/;

let here = null;
when("news", (news) => here?.heard(news));
when("hears", () => here?.fill());
when("back", () => here?.back());

// Shows what can be made of a piece in `place`. Gives a function that ends it.
export async function makeView(place, name, called) {
  const path = encodeURIComponent(name);
  const found = await tried(() => ask(`api/piece/${path}`));
  if (!place.isConnected) return undefined; // it was left before this came
  called(found ? `Make files: ${found.title}` : "");
  const ticks = GROUPS.map(([group, words, about], i) => el("label", { class: "wanted" },
    el("input", { type: "checkbox", name: "wanted", value: group, checked: i < 2 }), el("span", {}, el("strong", {}, words), " ", el("span", { class: "quiet" }, about))));
  const start = el("button", { type: "button", class: "main", on: { click: begin } }, "Make");
  const stop = el("button", { type: "button", hidden: true, on: { click: end } }, "Stop");
  const bar = el("progress", { "aria-label": "How far it is", hidden: true, max: 1, value: 0 }), line = el("p", { role: "status", class: "making" }), notes = el("ul", { "aria-label": "What to know of it" });
  const lists = el("div", { class: "lists" }), all = el("p", {});
  place.append(el("header", { class: "head" }, el("h1", { tabindex: -1 }, found ? `Make files: ${found.title}` : "Make files"),
    el("div", { class: "doing" }, el("a", { class: "button", href: `#/piece/${path}` }, "Back to the piece"))),
  el("fieldset", { class: "card" }, el("legend", {}, "What do you want?"), ...ticks), el("div", { class: "doing" }, start, stop), bar, line, notes,
  el("section", { class: "card", "aria-labelledby": "made-head" }, el("h2", { id: "made-head" }, "Made so far"), lists, all));
  let id = null, filling = 0;
  const over = new Map(); // works that have ended, by their ids: what came of them

  async function begin() {
    const wanted = [...place.querySelectorAll("input:checked")].map((one) => one.value);
    if (!wanted.length) return say(line, "Tick at least one.");
    working(true, "Getting ready");
    const done = await tried(() => ask(`api/make/${path}`, { wanted }));
    if (!done) working(false, "");
    else if (over.has(done.id)) ended(over.get(done.id)); // before the answer came
    else id = done.id;
    return undefined;
  }

  // What came of it is told as news; where nothing is being made any more, it was.
  async function end() {
    if (id && !(await tried(() => ask("api/make/stop", { id })))) ended({ words: "" });
  }

  function ended({ words, notices = [] }) {
    id = null;
    working(false, words);
    notes.replaceChildren(...notices.map((one) => el("li", {}, one)));
    fill();
  }

  function working(is, words) {
    notes.replaceChildren();
    put(start, "disabled", is);
    put(stop, "hidden", !is);
    put(bar, "hidden", !is);
    if (is) bar.removeAttribute("value");
    say(line, words);
  }

  function heard(news) {
    if (news.event === "trouble") notice(news.words, true);
    if (news.name === name && news.event === "state") soon();
    if (news.name === name && news.event === "made") over.set(news.id, { words: news.words ?? "Made.", notices: news.notices });
    // Another window has begun it, or this one before it was loaded anew.
    if (!id && news.name === name && news.event === "making" && !over.has(news.id)) {
      id = news.id;
      working(true, "");
    }
    if (!id || news.id !== id) return;
    if (news.event === "making") {
      bar.max = news.of;
      bar.value = news.done;
      say(line, `Making ${news.what}, ${news.done + 1} of ${news.of}`);
    }
    if (news.event === "made") ended(over.get(id));
  }

  async function fill() {
    const files = await tried(() => ask(`api/made/${path}`));
    if (!files) return;
    const uses = new Map(); // in the order in which they come
    for (const one of files) uses.set(one.use, [...(uses.get(one.use) ?? []), one]);
    lists.replaceChildren(...(files.length ? [...uses].flatMap(([use, some]) => [el("h3", {}, use), el("ul", { class: "made", "aria-label": use }, some.map((one) => file(path, one)))])
      : [el("p", { class: "empty" }, "Nothing yet.")]));
    all.replaceChildren(...(files.length ? [el("a", { class: "button", href: `api/made/${path}.zip`, download: `${name}.zip` }, "Download all in one archive")] : []));
  }

  // The recipe has changed: files may be out of date now. Asked once it rests.
  function soon() {
    clearTimeout(filling);
    filling = setTimeout(fill, REST);
  }

  // Where the work still goes on, its next news says so.
  function back() {
    if (id) working(false, "The bench was away. What is not listed below has to be made again.");
    id = null;
    fill();
  }

  const own = { heard, fill, back };
  if (found) here = own;
  fill();
  return found && (() => {
    if (here === own) here = null;
    clearTimeout(filling);
  });
}

function file(path, one) {
  const name = one.file, href = one.at ?? `api/made/${path}/${name.split("/").map(encodeURIComponent).join("/")}`;
  return el("li", {}, el("span", { class: "file" }, el("strong", {}, name), el("span", { class: "quiet" }, one.words ?? ""), one.stale ? el("strong", { class: "old" }, OLD) : null),
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
