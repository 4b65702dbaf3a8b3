// The shelf: every recipe in the maker's folder, and ways to begin another.

import { el, fresh, put, renew, say } from "./dom.js";
import { notice, tried } from "./notices.js";
import { ask, when } from "./wire.js";

const SIGNS = { proved: "\u2713", fails: "\u2715", "not yet proved": "\u2026", "cannot be read": "?" };
const MARKS = `units,mm
taken from,tails
outer marks at,finished face
width,96
tail board,10
pin board,12
outer,baseline
6,7.7
24.8,23
30,31.8
47,45.1
51,52.7
90,88.3`; // a table as it may be pasted
const LARGEST = 2e6; // bytes of a file that is taken in

let again = null; // fetches the shelf, while it is shown
when("news", (news) => {
  if (news.event === "trouble" && again) notice(news.words, true);
  if (["shelf", "proof"].includes(news.event)) again?.();
});
when("back", () => again?.());
when("hears", () => again?.());

const to = (name) => `#/piece/${encodeURIComponent(name)}`;

// Shows the shelf in `place`. Gives a function that ends it.
export async function shelfView(place, _name, called) {
  called("");
  const cards = el("ul", { class: "shelf" }), away = el("div", {}), folder = el("p", { class: "quiet" }), begin = el("div", { class: "begin" });
  const leftOut = el("div", { class: "left-out" });
  place.append(el("header", { class: "head" }, el("h1", { tabindex: -1 }, "The shelf"), begin), folder, leftOut, cards, away);
  let presets = [];
  const newPiece = el("button", { type: "button", class: "main", disabled: true, on: { click: () => anew(presets) } }, "New piece");
  begin.append(
    newPiece,
    el("button", { type: "button", on: { click: measured } }, "From measured marks"),
    el("button", { type: "button", on: { click: takeIn } }, "Take in a recipe"));

  let asking = false, stale = false;
  async function fill() {
    stale = asking;
    if (asking) return;
    asking = true;
    const found = await tried(() => ask("api/shelf"));
    asking = false;
    if (found) show(found);
    if (stale) fill();
  }

  function show(found) {
    presets = found.presets;
    put(newPiece, "disabled", false);
    folder.textContent = `Recipes in ${found.folder}`;
    leftOut.replaceChildren(...(found.left_out?.length ? [el("p", {}, "These files are not on the shelf. Give them other names, and they will be:"),
      el("ul", {}, found.left_out.map((one) => el("li", {}, el("strong", {}, one.name), `: ${one.why}`)))] : []));
    keepFocus(place, () => {
      // What is pressed while news comes stays under the finger.
      renew(cards, found.recipes.length ? found.recipes.map(card) : [el("li", { class: "empty" }, el("p", {}, "Nothing lies here yet. Begin with a new piece."))]);
      const open = away.querySelector("details")?.open;
      renew(away, found.away.length ? [el("details", { class: "fold", open }, el("summary", {}, `Put away (${found.away.length})`),
        el("ul", { class: "away" }, found.away.map((one) => el("li", {}, el("span", {}, one.title), el("span", { class: "quiet" }, one.changed),
          doing("Bring back", one, () => act("back", { name: one.name }))))))] : []);
    });
  }

  again = fill;
  await fill();
  return () => { if (again === fill) again = null; };
}

// Asks the server for something on the shelf, and then shows what lies there. Gives the answer, or undefined.
async function act(what, body, tell) {
  const done = await tried(() => ask(`api/shelf/${what}`, body), tell);
  if (done) again?.();
  return done;
}

function card(one) {
  const state = el("p", { class: "state", "data-state": one.state }, el("span", { class: "sign", "aria-hidden": "true" }, SIGNS[one.state] ?? "\u00b7"), ` ${one.state}`);
  return el("li", { class: "card", "data-name": one.name },
    el("a", { class: "open", href: to(one.name), "data-does": `open ${one.name}` },
      one.picture ? el("img", { loading: "lazy", alt: "", src: one.picture }) : el("span", { class: "no-picture" }),
      el("h2", {}, one.title)),
    el("p", { class: "size" }, [one.size, one.piece].filter(Boolean).join(" \u00b7 ")), state,
    one.why ? el("p", { class: "why" }, one.why) : null,
    el("p", { class: "quiet" }, `changed ${one.changed}`, one.kept ? el("span", {}, " \u00b7 ", el("a", { href: `#/beside/${encodeURIComponent(one.name)}` }, `${one.kept} kept`)) : null),
    el("div", { class: "doing" },
      el("a", { class: "button plain", href: `#/bench/${encodeURIComponent(one.name)}`, "data-does": `At the bench ${one.name}`, "aria-label": `At the bench: ${one.title}` }, "At the bench"),
      doing("Copy", one, () => act("copy", { name: one.name })),
      doing("Rename", one, () => rename(one)),
      el("a", { class: "button plain", href: `api/shelf/hand-out/${encodeURIComponent(one.name)}`, download: `${one.name}.toml`, "data-does": `Hand out ${one.name}`, "aria-label": `Hand out ${one.title}` }, "Hand out"),
      doing("Put away", one, () => act("away", { name: one.name }))));
}

export const doing = (words, one, call) =>
  el("button", { type: "button", class: "plain", "data-does": `${words} ${one.name}`, "aria-label": `${words} ${one.title}`, on: { click: call } }, words);

// Draws anew and puts the focus back on the same button or link, if it is still there.
export function keepFocus(place, draw) {
  const does = document.activeElement?.dataset?.does;
  draw();
  if (!does) return;
  ([...place.querySelectorAll("[data-does]")].find((one) => one.dataset.does === does) ?? place.querySelector("h1")).focus();
}

// --- sheets that ask for something ---------------------------------------------------------------------

// A sheet with fields; `done` is called with their values when it is agreed to, and gives what went well. It stays open
// where that is undefined, with what was typed. `done` also gets what tells a reason on the sheet: all else lies behind it.
export function sheet(title, fields, agree, done) {
  const head = fresh("sheet"), wrong = el("p", { class: "band bad", role: "alert", hidden: true });
  const tell = (words) => {
    say(wrong, words);
    put(wrong, "hidden", !words);
  };
  const form = el("form", { method: "dialog" }, el("h2", { id: head }, title), ...fields, wrong,
    el("div", { class: "doing" }, el("button", { type: "submit", class: "main" }, agree), el("button", { type: "button", on: { click: () => box.close() } }, "Leave it")));
  const box = el("dialog", { "aria-labelledby": head }, form);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    tell("");
    const answer = await done(Object.fromEntries(new FormData(form)), tell);
    if (answer === undefined) return;
    box.close();
    if (answer.name && title !== "Rename") location.hash = to(answer.name);
  });
  box.addEventListener("close", () => box.remove());
  document.getElementById("view").append(box);
  box.showModal();
}

export function labelled(words, field, about) {
  const id = fresh("ask"), help = about ? fresh("help") : null;
  field.id = id;
  if (help) field.setAttribute("aria-describedby", help);
  return el("div", { class: "ask" }, el("label", { for: id }, words), field, about ? el("p", { id: help, class: "about" }, about) : null);
}

const titled = (value = "") => labelled("Title", el("input", { name: "title", type: "text", required: true, autocomplete: "off", maxlength: 80, value }));

function anew(presets) {
  sheet("New piece", [titled(),
    labelled("Begin with", el("select", { name: "preset" }, presets.map((one) => el("option", { value: one.name }, one.title))),
      "Everything can be changed afterwards.")], "Begin", (given, tell) => act("new", given, tell));
}

const rename = (one) => sheet("Rename", [titled(one.title)], "Rename", ({ title }, tell) => act("rename", { name: one.name, title }, tell));

function measured() {
  const marks = el("textarea", { name: "marks", rows: 13, required: true, spellcheck: "false", placeholder: MARKS });
  sheet("From measured marks", [titled(),
    labelled("Choose a table (CSV)", el("input", { type: "file", accept: ".csv,text/csv,text/plain", on: { change: async (event) => { marks.value = await readFile(event.target) ?? marks.value; } } })),
    labelled("or paste it here", marks, "Each flank has a row with its distances from the reference edge, at the outer plane and at the baseline. Above them stand the sizes.")],
  "Begin", ({ title, marks: text }, tell) => act("measured", { title, marks: text }, tell));
}

function takeIn() {
  const file = el("input", { type: "file", accept: ".toml,text/plain", required: true });
  sheet("Take in a recipe", [labelled("A recipe (TOML)", file, "It is copied into your folder. The file itself stays as it is.")], "Take in", async (_, tell) => {
    const text = await readFile(file, tell);
    return text === undefined ? undefined : act("take-in", { file_name: file.files[0].name, text }, tell);
  });
}

async function readFile(field, tell = (words) => notice(words, true)) {
  const [file] = field.files;
  if (!file) return undefined;
  if (file.size <= LARGEST) return file.text();
  tell(`${file.name} is too large for a recipe or a table of marks: at most 2 MB.`);
  return undefined;
}
