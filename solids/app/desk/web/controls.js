// A control for every key of a recipe, as the schema has them, each on one line: its words, what stands there, and whose word
// that is. What it means and by which rule it stands is shown below the one that was touched last, or below all.

import { chooser, line } from "./fields.js";
import { el, fresh, put, say } from "./dom.js";
import { pair, sizes } from "./sizes.js";

const LISTS = { pair, sizes };
const TABLES = {
  "": "The recipe", joint: "The joint", box: "The box", kit: "Your kit", climate: "The air", "climate.home": "The air of the home",
  tail_board: "The tail board", pin_board: "The pin board", "box.groove": "The groove", "box.panel": "The bottom", opening: "The opening",
  "box.lid": "The lid", "box.lid.panel": "The board of the lid", "box.lid.groove": "The groove for the top", "box.lid.hinge": "The hinges",
  "box.lid.lining": "The lining of the lid",
  "box.front.lip": "The lip of the front", "box.feet": "The feet", "joint.mitre": "The mitred shoulder",
  "opening.runner": "The runners", "opening.kicker": "The kickers", "opening.guide": "The guides", "print.magnet": "The magnets",
  stock: "Your stock",
};
const ORDER = ["box", "joint", "tail_board", "pin_board", ""]; // what a maker sets first; other tables follow as they come

// The controls of a piece in `host`. `wanted(changes)` is told what the maker asks for. `titles` are those of tables, and
// `shopAt` gives the place of a key in My shop. Gives `show(state, before)`, `words(key)` and `goTo(key)`.
export function controls(host, asked, piece, wanted, { titles = {}, shopAt = null } = {}) {
  const rows = new Map();
  const tables = new Map();
  for (const one of asked.filter((key) => [piece, "both"].includes(key.piece))) {
    if (!tables.has(one.table)) tables.set(one.table, []);
    tables.get(one.table).push(one);
  }
  const place = (table) => (ORDER.includes(table) ? ORDER.indexOf(table) : ORDER.length);
  const rare = [];
  for (const [table, keys] of [...tables].sort(([a], [b]) => place(a) - place(b))) {
    const own = keys.filter((one) => !one.rare), folded = keys.filter((one) => one.rare);
    if (own.length) host.append(group(table, own, folded));
    else rare.push(group(table, folded, []));
  }
  if (rare.length) host.append(fold("Seldom needed", rare, "far"));
  explaining(host);

  function group(table, own, folded) {
    const head = fresh("table"), title = titles[table] ?? titleOf(table, own.concat(folded));
    return el("section", { class: "group", "aria-labelledby": head }, el("h3", { id: head }, title),
      el("div", { class: "rows" }, own.map(made)),
      folded.length ? fold(`More of ${lower(title)}`, [el("div", { class: "rows" }, folded.map(made))]) : null);
  }

  function made(one) {
    const made = { ...row(one, wanted, shopAt), title: titles[one.table] ?? titleOf(one.table, [one]) };
    rows.set(one.key, made);
    return made.node;
  }

  // Marks what the last change changed: what the maker set, and what followed from it. A fold opens where a problem has come to
  // something in it.
  function show(state, before) {
    const bad = [];
    for (const [key, one] of rows) if (one.show(state.keys[key], state.units, state.changed.includes(key), before?.keys[key])) bad.push(one.node);
    const folded = bad.filter((node) => node.closest("details:not([open])") && !node.closest("[hidden]"));
    if (folded.length) still(() => folded.forEach(unfold));
  }

  // Brings a control into view, opened and with the focus on it. Whether there is one.
  function goTo(key) {
    const found = rows.get(key);
    if (!found) return false;
    unfold(found.node);
    found.focus();
    found.node.scrollIntoView({ block: "center" });
    return true;
  }

  // With its table, where another one has the same words.
  function words(key) {
    const found = rows.get(key);
    if (!found) return key;
    const isOne = [...rows.values()].filter((each) => each.words === found.words).length < 2;
    return isOne ? found.words : `${found.words}, ${lower(found.title)}`;
  }

  return { show, goTo, words };
}

const fold = (words, inside, kind = "") => el("details", { class: `fold ${kind}` }, el("summary", {}, words), ...inside);

function unfold(node) {
  for (let up = node.parentElement; up; up = up.parentElement) if (up.tagName === "DETAILS") up.open = true;
}

// Does something to the page, and what the maker works at, or else looks at, stays where it is on the screen.
function still(work) {
  const inSight = ({ top, bottom }) => bottom > 0 && top < innerHeight;
  const had = document.activeElement, works = had && had !== document.body && inSight(had.getBoundingClientRect());
  const kept = works ? had : document.elementFromPoint(innerWidth / 2, innerHeight / 3) ?? document.body;
  const at = kept.getBoundingClientRect().top;
  work();
  scrollBy(0, kept.getBoundingClientRect().top - at);
}

const titleOf = (table, [first]) => TABLES[table] || first.group || table.split(".").map(plain).join(", ");
const plain = (word) => word.charAt(0).toUpperCase() + word.slice(1).replaceAll("_", " ");
const lower = (words) => words.charAt(0).toLowerCase() + words.slice(1);

// --- what is explained -----------------------------------------------------------------------------------

// A row opens when the focus comes to it, and stays open until another does. It stays where it is on the screen, and nothing moves
// under a finger that is down.
function explaining(host) {
  let open = null, coming = null, isDown = false;

  function turn() {
    if (isDown || !coming || coming === open) return;
    const at = coming.getBoundingClientRect().top;
    open?.classList.remove("open");
    coming.classList.add("open");
    open = coming;
    scrollBy(0, open.getBoundingClientRect().top - at);
  }

  const up = () => { isDown = false; turn(); };
  host.addEventListener("pointerdown", () => {
    isDown = true;
    for (const kind of ["pointerup", "pointercancel"]) addEventListener(kind, () => setTimeout(up), { once: true });
  });
  host.addEventListener("focusin", (event) => { coming = event.target.closest(".key") ?? coming; turn(); });
}

// --- one key -----------------------------------------------------------------------------------------

function row(one, wanted, shopAt) {
  const ids = Object.fromEntries(["field", "about", "from", "rule", "wrong"].map((part) => [part, fresh(part)]));
  const many = LISTS[one.kind]?.(one, ids.field, (value) => wanted({ [one.key]: value }));
  const input = many ?? (one.kind === "yes-no" || one.kind === "choice" ? chooser : line)(one, ids.field, send);
  const { field } = input;
  const about = el("p", { id: ids.about, class: "about" }, one.about);
  const from = el("span", { id: ids.from, class: "from" }), rule = el("p", { id: ids.rule, class: "rule" });
  const hint = el("p", { hidden: true }, `Empty the field to ${one.has_rule ? "leave it to the tool" : "leave it out"}.`);
  const now = el("span", { class: "now", hidden: true });
  const leave = one.has_rule ? "leave to the tool" : "leave out";
  // Tab goes from field to field: by keys a field that is emptied, or the choice at the end of a list, does the same.
  const back = el("button", { type: "button", class: "plain", tabindex: -1, "aria-label": `${plain(leave)}: ${one.words}`, hidden: true, on: { click: giveBack } }, leave);
  const wrong = el("div", { id: ids.wrong, class: "wrong", hidden: true });
  const [less, more] = one.kind === "whole" ? [stepper(-1, "Less"), stepper(1, "More")] : [null, null];
  const node = el("div", { class: "key", "data-row": one.key },
    el("div", { class: "name" }, el("label", { for: ids.field }, one.words), now),
    many?.node ?? el("div", { class: "entry" }, less, input.parts, input.list, more), el("p", { class: "source" }, from, back), wrong,
    el("div", { class: "meaning" }, about, rule, hint));
  let last = "", given = null;

  function send(value) {
    if (value !== textOf(given)) wanted({ [one.key]: value === "" ? null : value });
  }

  function giveBack() {
    wanted({ [one.key]: null });
    field.focus();
  }

  function stepper(by, words) {
    return el("button", { type: "button", class: "step", tabindex: -1, "aria-label": `${words}: ${one.words}`, on: { click: () => step(by) } }, by < 0 ? "\u2212" : "+");
  }

  function step(by) {
    const now = Number.parseInt(given?.value || given?.shown || one.examples.mm, 10) || 0;
    const next = Math.max(one.least ?? 0, Math.min(one.most ?? Infinity, now + by));
    if (next !== now) wanted({ [one.key]: String(next) });
  }

  if (one.kind === "whole") field.addEventListener("keydown", (event) => {
    const by = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    if (!by || field.dataset.typing === "yes") return;
    event.preventDefault();
    step(by);
  });

  // What stands in the recipe for this key, and what the last change did to it. Whether a problem has come with it.
  function show(found, units, isSet, before) {
    const next = found ?? { value: "", shown: "", by: "rule", rule: "", needed: false, problem: null };
    mark(isSet || (Boolean(before) && before.shown !== next.shown), before?.shown !== next.shown ? before?.shown : "");
    const told = JSON.stringify([next, units]);
    if (told === last) return false;
    last = told;
    const old = textOf(given), wasBad = Boolean(given?.problem);
    given = next;
    const canLeave = !given.needed && (given.by === "you" || Boolean(given.problem));
    if (many) many.show(given, units);
    else input.show(textOf(given), old, units, canLeave ? leave : "");
    put(node, "data-by", given.by);
    node.classList.toggle("needed", given.needed);
    const [who, why] = whose(given);
    if (given.by === "shop" && shopAt) from.replaceChildren(el("a", { href: shopAt(one.key) }, who));
    else say(from, who);
    say(rule, why);
    put(rule, "hidden", !why);
    put(back, "hidden", !canLeave);
    put(hint, "hidden", !canLeave || many || field.tagName === "SELECT");
    tell(given.problem);
    return Boolean(given.problem) && !wasBad;
  }

  function mark(isChanged, was) {
    put(now, "hidden", !isChanged);
    say(now, was ? `was ${was}` : "changed");
    node.classList.toggle("changed", isChanged);
  }

  function tell(problem) {
    put(wrong, "hidden", !problem);
    for (const part of input.parts) {
      put(part, "aria-invalid", problem ? "true" : null);
      put(part, "aria-describedby", `${ids.from} ${ids.about} ${ids.rule}${problem ? ` ${ids.wrong}` : ""}`);
    }
    node.classList.toggle("bad", Boolean(problem));
    wrong.replaceChildren(...(problem ? [
      el("p", {}, problem.wrong), problem.accepted ? el("p", { class: "accepted" }, problem.accepted) : null,
      problem.tries?.length ? el("p", { class: "tries" }, problem.tries.map((value) =>
        el("button", { type: "button", on: { click: () => { field.focus(); wanted({ [one.key]: value }); } } }, `Try ${value}`))) : null,
    ].filter(Boolean) : []));
  }

  return { node, show, focus: input.focus, words: one.words };
}

// What stands in the field: what the maker wrote, though it may be wrong, or else what stands in its place.
const textOf = (given) => (given ? (given.by === "you" || given.problem ? given.value : given.shown) : "");

// Whose word a value is, and by which rule.
function whose({ by, shown, rule, needed }) {
  if (by === "you") return [needed ? "yours, needed" : "your choice", ""];
  if (by === "shop") return ["from your shop", rule ? `From your shop: ${rule}.` : ""];
  if (by === "corner") return ["by corner", `By corner: ${rule}.`];
  if (shown) return ["by rule", rule ? `By rule: ${rule}.` : ""];
  return [needed ? "needed: give it" : "left out", ""];
}
