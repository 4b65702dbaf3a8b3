// Side by side: a piece as it is now and as it was kept, or two kept states, with their figures. And keeping itself.

import { cornerChoice } from "./corners.js";
import { OF_PLACES } from "./box.js";
import { el, fresh, put, renew, say } from "./dom.js";
import { drawings } from "./drawing.js";
import { notice, tried } from "./notices.js";
import { proof } from "./proof.js";
import { doing, keepFocus, labelled, sheet } from "./shelf.js";
import { ask, when } from "./wire.js";

const NOW = "now"; // the piece as it is, where a kept state has its number
const LONGEST = 60; // letters of what a state is called

let open = null; // what hears the server's news, while this view is shown
let proofs = new Map(); // the last proof of each side: it may come before the answer that it belongs to
when("news", (news) => {
  if (news.event === "proof") proofs.set(news.name, news);
  open?.news(news);
});
when("hears", () => open?.again());
// Another server may answer now, which counts its versions anew.
when("back", () => {
  proofs = new Map();
  open?.again();
});

// What a piece's own page offers: to keep it as it is, and to see what is kept.
export const keeping = (name) => [
  el("button", { type: "button", on: { click: () => keep(name) } }, "Keep this state"),
  el("a", { class: "button", href: `#/beside/${encodeURIComponent(name)}` }, "Side by side"),
];

async function keep(name) {
  const path = `api/kept/${encodeURIComponent(name)}`, found = await tried(() => ask(path));
  if (!found) return;
  if (found.same) {
    notice(`This state is kept already. It is called: ${found.same}`);
    return;
  }
  sheet("Keep this state", [named(found.suggested, "Go on and change the piece as you like: you can come back to this state, or see both side by side.")], "Keep", async ({ words }) => {
    const kept = await tried(() => ask(`${path}/keep`, { words }));
    if (kept) notice(`Kept. It is called: ${kept.words}`);
    return kept;
  });
}

// What is typed here is no command to the piece behind it.
const named = (value, about) => labelled("What to call it", el("input", { name: "words", type: "text", autocomplete: "off", maxlength: LONGEST, value, on: { keydown: (event) => event.stopPropagation() } }), about);

// Shows two states of a piece in `place`. Gives a function that ends it.
export async function besideView(place, name, called) {
  const path = encodeURIComponent(name), at = `api/kept/${path}`, parts = skeleton(path);
  const keys = await tried(() => ask("api/controls")) ?? [];
  if (!place.isConnected) return undefined; // it was left before this came
  const picked = Object.fromEntries(["first", "second"].map((side, i) => [side, location.hash.split("/")[3 + i] || NOW]));
  let listed = null, both = null, asking = false, stale = false, drawn = "";
  const sides = ["first", "second"].map((side, i) => card(parts.sides, i ? "Second" : "First", (which) => pick(side, which), take, keys));
  const corners = cornerChoice(() => draw());
  parts.charts.before(corners.node);
  parts.keep.addEventListener("click", () => keep(name));
  parts.undo.addEventListener("click", () => act("undo"));
  place.append(parts.node);

  async function again() {
    stale = true;
    if (asking) return;
    asking = true;
    while (stale) {
      stale = false;
      const found = await tried(fetched);
      if (found && open === here) show(found);
    }
    asking = false;
  }

  async function fetched() {
    const kept = await ask(at);
    choose(kept.kept.map((one) => one.number));
    return [kept, await ask(`api/beside/${path}/${picked.first}/${picked.second}`)];
  }

  // What is no more there gives way: to the piece as it is, and to what was kept last. Nothing is compared with itself.
  function choose(numbers) {
    const are = (which) => which === NOW || numbers.includes(which);
    if (!are(picked.first)) picked.first = NOW;
    if (!are(picked.second) || (picked.first === NOW && picked.second === NOW)) picked.second = numbers[0] ?? NOW;
  }

  function pick(side, which) {
    if (open !== here) return;
    picked[side] = which;
    history.replaceState(null, "", `#/beside/${path}/${picked.first}/${picked.second}`);
    again();
  }

  function show(found) {
    [listed, both] = found;
    called(`Side by side: ${listed.title}`);
    say(parts.title, `Side by side: ${listed.title}`);
    const some = listed.kept.length > 0, now = both.sides.find((side) => side.which === NOW);
    put(parts.undo, "hidden", !now);
    put(parts.undo, "disabled", !now?.can_undo);
    put(parts.empty, "hidden", some);
    put(parts.all, "hidden", !some && !listed.dropped.length);
    for (const one of [parts.sides, parts.told]) put(one, "hidden", !some);
    put(parts.drawn, "hidden", !some || !both.sides.some((side) => side.drawings?.face));
    both.sides.forEach((side, i) => sides[i].show(side, listed.kept, proved(side)));
    draw();
    parts.figures.replaceChildren(...both.tables.map((one) => table(one.corner || "Figures", both.sides, one.rows, differsIn)));
    parts.differing.replaceChildren(...differing());
    parts.notes.replaceChildren(...both.notes.map((words) => el("li", {}, words)));
    keepFocus(place, () => renew(parts.list, lists()));
  }

  // The proof that is known of a side, whatever came first.
  function proved(side) {
    const came = proofs.get(side.proof_of);
    return side.proof?.proof ?? (came?.version === side.version ? came.proof : null);
  }

  // Both from the face in one scale; where the wood of the other lies is a broken line.
  function draw() {
    const titles = [...new Set(both.sides.flatMap((side) => (side.joints ?? []).map((one) => one.title)))];
    const corner = corners.show(titles);
    const faces = both.sides.map((side) => (side.joints?.find((one) => one.title === corner) ?? (side.joints ? null : side))?.drawings?.face ?? null);
    put(parts.ghosts, "hidden", !faces.every(Boolean));
    const captions = both.sides.map((side, i) => `${i ? "Second" : "First"}: ${side.words}`);
    const seen = JSON.stringify([captions, faces]);
    if (seen === drawn) return; // so that it does not flicker, nor scroll back, with each piece of news
    drawn = seen;
    const host = el("div", { class: "drawings" });
    parts.charts.replaceChildren(host);
    const under = (values) => Object.fromEntries(captions.map((words, i) => [words, values[i]]));
    drawings(host, { moved() {}, picked() {}, typed() {} }).show({ drawings: under(faces), handles: [] }, under([...faces].reverse()));
  }

  // The keys whose values differ. What the tool chose is known only where both can be laid out.
  function differing() {
    const [one, other] = both.sides.map((side) => side.keys ?? {}), which = both.sides.every((side) => side.good) ? "shown" : "value";
    // What a single place of a box only has from a wider one is told there.
    const told = keys.filter(({ key }) => !OF_PLACES.test(key) || [one, other].some((side) => side[key]?.value));
    const rows = told.map((key) => ({ words: wordsOf(key), values: [one, other].map((side) => side[key.key]?.[which] ?? "") })).filter(differs);
    return rows.length ? [table("In the recipe", both.sides, rows)] : [el("h2", {}, "In the recipe"), el("p", {}, "Every value is the same.")];
  }

  function lists() {
    const kept = listed.kept.map((one) => el("li", {}, el("span", {}, one.words), el("span", { class: "quiet" }, one.when),
      el("span", { class: "doing" }, doing("Show", titled(one), () => pick("second", one.number)), doing("Rename", titled(one), () => rename(one)),
        doing("Drop", titled(one), () => change("drop", one, `Dropped: ${one.words}. It can be brought back below.`))), one.why ? el("p", { class: "why" }, one.why) : null));
    const dropped = listed.dropped.map((one) => el("li", {}, el("span", {}, one.words), el("span", { class: "quiet" }, one.when),
      doing("Bring back", titled(one), () => change("back", one, `Brought back: ${one.words}.`))));
    const wasOpen = parts.list.querySelector("details")?.open;
    return [kept.length ? el("ul", { class: "away" }, kept) : null,
      dropped.length ? el("details", { class: "fold", open: wasOpen }, el("summary", {}, `Dropped (${dropped.length})`), el("ul", { class: "away" }, dropped)) : null].filter(Boolean);
  }

  const titled = (one) => ({ name: one.number, title: one.words });

  async function change(what, one, words) {
    if (await tried(() => ask(`${at}/${what}`, { number: one.number }))) notice(words);
    again();
  }

  const rename = (one) => sheet("Rename", [named(one.words, "")], "Rename", async ({ words }) => tried(() => ask(`${at}/call`, { number: one.number, words })));

  async function take(side) {
    const left = await tried(() => ask(`${at}/take`, { number: side.which }));
    if (!left) return;
    notice(`The piece is now as it was kept: ${side.words}. What it was before is kept too; it is called: ${left.words}`);
    Object.assign(picked, { first: NOW });
    pick("second", left.number);
  }

  async function act(what) {
    await tried(() => ask(`api/piece/${path}/${what}`, {}));
    again();
  }

  const here = {
    again,
    news(news) {
      if (news.event === "trouble") notice(news.words, true);
      if (news.event === "shelf" || (news.event === "state" && news.name === name)) again();
      if (news.event === "proof") both?.sides.forEach((side, i) => { if (news.name === side.proof_of && news.version === side.version) sides[i].proved(news.proof); });
    },
  };
  open = here;
  await again();
  if (!both) {
    if (open === here) open = null;
    place.replaceChildren(el("h1", { tabindex: -1 }, "This piece cannot be shown"), el("p", {}, el("a", { href: "#/" }, "Back to the shelf")));
    called("");
    return undefined;
  }
  return () => { if (open === here) open = null; };
}

const differs = ({ values: [one, other] }) => one !== other;

// Where one side has no figures, there is nothing to compare.
const differsIn = (row) => differs(row) && row.values.every(Boolean);

const wordsOf = (key) => [key.group, key.words].filter(Boolean).join(": ");

function skeleton(path) {
  const parts = {
    title: el("h1", { tabindex: -1 }),
    keep: el("button", { type: "button" }, "Keep this state"),
    undo: el("button", { type: "button" }, "Undo"),
    empty: el("p", { hidden: true }, "Nothing is kept of this piece yet. Keep this state, change the piece, and see both here."),
    sides: el("div", { class: "pair" }),
    charts: el("div", {}),
    ghosts: el("p", { class: "quiet" }, "Both are drawn in one scale. A broken line shows where the wood of the other one is."),
    figures: el("div", { class: "tables" }),
    differing: el("div", { class: "tables" }),
    notes: el("ul", { class: "quiet notes" }),
    list: el("div", {}),
  };
  parts.drawn = el("section", { class: "card", "aria-label": "Drawings" }, parts.charts, parts.ghosts);
  parts.told = el("section", { class: "card tables", "aria-label": "Figures" }, parts.differing, parts.figures, parts.notes);
  parts.all = el("section", { class: "card", "aria-labelledby": "kept-head" }, el("h2", { id: "kept-head" }, "Kept states"), parts.list);
  parts.node = el("article", { class: "beside" },
    el("header", { class: "head" }, parts.title, el("div", { class: "doing" }, parts.keep, parts.undo, el("a", { class: "button", href: `#/piece/${path}` }, "Back to the piece"))),
    parts.empty, parts.sides, parts.drawn, parts.told,
    parts.all);
  return parts;
}

// One of both: which it is, its proof, what is wrong with it, and the way to take it.
function card(host, title, picked, taken, keys) {
  const select = el("select", { id: fresh("side"), on: { change: () => picked(select.value) } }), verdict = el("div", { class: "proof" }), problems = el("div", { class: "problems", hidden: true });
  const take = el("button", { type: "button", class: "main", on: { click: () => taken(shown) } }, "Take this one"), is = el("p", { class: "quiet" });
  host.append(el("section", { class: "card", "aria-label": title }, el("label", { for: select.id }, title), select, is, verdict, problems, take));
  const told = proof(verdict);
  let shown = null;

  function show(side, kept, known) {
    shown = side;
    const options = [[NOW, "As it is now"], ...kept.map((one) => [one.number, one.words])];
    const text = JSON.stringify(options);
    if (select.dataset.options !== text) {
      select.dataset.options = text;
      select.replaceChildren(...options.map(([value, words]) => el("option", { value }, words)));
    }
    select.value = side.which;
    say(is, side.when ? `kept ${side.when}` : "what you work on");
    put(take, "hidden", side.which === NOW || !side.keys);
    put(take, "aria-label", `Take this one: ${side.words}`);
    put(problems, "hidden", !side.problems.length);
    problems.replaceChildren(el("h2", {}, "This cannot be cut"), el("ul", {}, side.problems.map((one) => el("li", {}, el("p", {}, where(one.key), one.wrong), one.accepted ? el("p", { class: "accepted" }, one.accepted) : null))));
    if (known) proved(known);
    else told.state(side);
  }

  // The words of the key that is meant.
  function where(key) {
    const found = keys.find((one) => one.key === key);
    return found ? `${wordsOf(found)}: ` : "";
  }

  const proved = (found) => told.came({ version: shown.version, proof: found }, shown);

  return { show, proved };
}

// Values in pairs; where they differ, a word says so.
function table(title, sides, rows, marked = differs) {
  return el("table", { class: "pairs" }, el("caption", {}, title),
    el("thead", {}, el("tr", {}, el("td", {}), sides.map((side) => el("th", { scope: "col" }, side.words)))),
    el("tbody", {}, rows.map((row) => el("tr", { class: marked(row) ? "differs" : null },
      el("th", { scope: "row" }, row.words, marked(row) ? el("span", { class: "mark-differs" }, " differs") : null), row.values.map((value) => el("td", {}, value || "\u2013"))))));
}
