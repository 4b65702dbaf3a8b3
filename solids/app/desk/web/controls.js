// A control for every key of a recipe, as the schema has them: what the maker chose, what a rule or the shop chose, what is
// wrong with it, and a way to give it back.

import { el, fresh, put, say } from "./dom.js";

const BY = { you: "your choice", shop: "from your shop" };
const TABLES = {
  "": "The recipe", joint: "The joint", box: "The box", kit: "Your kit", climate: "The air",
};

// The controls of a piece in `host`. `wanted(changes)` is told what the maker asks for. Gives `show(state)` and `goTo(key)`.
export function controls(host, asked, piece, wanted) {
  const rows = new Map();
  const tables = new Map();
  for (const one of asked.filter((key) => [piece, "both"].includes(key.piece))) {
    if (!tables.has(one.table)) tables.set(one.table, []);
    tables.get(one.table).push(one);
  }
  const rare = [];
  for (const [table, keys] of tables) {
    const own = keys.filter((one) => !one.rare), folded = keys.filter((one) => one.rare);
    if (own.length) host.append(group(table, own, folded));
    else rare.push(group(table, folded, []));
  }
  if (rare.length) host.append(fold("Seldom needed", rare, "far"));

  function group(table, own, folded) {
    const head = fresh("table");
    return el("section", { class: "group", "aria-labelledby": head }, el("h3", { id: head }, titleOf(table, own)),
      el("div", { class: "rows" }, own.map(made)),
      folded.length ? fold(`More of ${lower(titleOf(table, own))}`, [el("div", { class: "rows" }, folded.map(made))]) : null);
  }

  function made(one) {
    const made = row(one, wanted);
    rows.set(one.key, made);
    return made.node;
  }

  function show(state) {
    for (const [key, one] of rows) one.show(state.keys[key], state.changed.includes(key));
  }

  // Brings a control into view, opened and with the focus on it. Whether there is one.
  function goTo(key) {
    const found = rows.get(key);
    if (!found) return false;
    for (let up = found.node.parentElement; up; up = up.parentElement) if (up.tagName === "DETAILS") up.open = true;
    found.field.focus();
    found.node.scrollIntoView({ block: "center" });
    return true;
  }

  return { show, goTo, words: (key) => rows.get(key)?.words ?? key };
}

const fold = (words, inside, kind = "") => el("details", { class: `fold ${kind}` }, el("summary", {}, words), ...inside);

const titleOf = (table, [first]) => TABLES[table] || first.group || table.split(".").map(plain).join(", ");
const plain = (word) => word.charAt(0).toUpperCase() + word.slice(1).replaceAll("_", " ");
const lower = (words) => words.charAt(0).toLowerCase() + words.slice(1);

// --- one key -----------------------------------------------------------------------------------------

function row(one, wanted) {
  const ids = Object.fromEntries(["field", "about", "from", "wrong"].map((part) => [part, fresh(part)]));
  const { field, list } = fieldOf(one, ids);
  const about = el("p", { id: ids.about, class: "about" }, one.about);
  const from = el("span", { id: ids.from, class: "from" });
  const changed = el("span", { class: "now", hidden: true }, "changed");
  const back = el("button", { type: "button", class: "plain", "aria-label": `Leave to the tool: ${one.words}`, hidden: true, on: { click: giveBack } }, "leave to the tool");
  const wrong = el("div", { id: ids.wrong, class: "wrong", hidden: true });
  const [less, more] = one.kind === "whole" ? [stepper(-1, "Less"), stepper(1, "More")] : [null, null];
  const node = el("div", { class: "key", "data-row": one.key },
    el("div", { class: "head" }, el("label", { for: ids.field }, one.words), changed),
    el("div", { class: "entry" }, less, field, more, list), about, el("p", { class: "source" }, from, back), wrong);
  let last = "", given = null;
  // What is typed is sent when it is done: Enter, or on to another place. Escape takes it back.
  field.addEventListener("change", () => send(field.value.trim()));
  field.addEventListener("keydown", (event) => {
    if (event.key === "Escape") { field.value = text(); event.stopPropagation(); }
  });

  const text = () => (given ? (given.by === "you" || given.problem ? given.value : given.shown) : "");

  function send(value) {
    if (value === text()) return;
    wanted({ [one.key]: value === "" ? null : value });
  }

  function giveBack() {
    wanted({ [one.key]: null });
    field.focus();
  }

  function stepper(by, words) {
    return el("button", { type: "button", class: "step", "aria-label": `${words}: ${one.words}`, on: { click: () => {
      const now = Number.parseInt(given?.value || given?.shown || one.example, 10) || 0;
      const next = Math.max(one.least ?? 0, Math.min(one.most ?? Infinity, now + by));
      if (next !== now) wanted({ [one.key]: String(next) });
    } } }, by < 0 ? "\u2212" : "+");
  }

  // What stands in the recipe for this key, and whether the last change changed it.
  function show(found, isChanged) {
    put(changed, "hidden", !isChanged);
    node.classList.toggle("changed", isChanged);
    const next = JSON.stringify(found ?? null);
    if (next === last) return;
    last = next;
    const wasTyping = document.activeElement === field && field.tagName === "INPUT" && field.value !== text();
    given = found ?? { value: "", shown: "", by: "rule", rule: "", problem: null };
    if (!wasTyping) write(field, text());
    const mine = given.by === "you";
    put(node, "data-by", given.by);
    say(from, BY[given.by] ?? (given.shown ? `by rule${given.rule ? `: ${given.rule}` : ""}` : "left out"));
    put(back, "hidden", !mine && !given.problem);
    tell(given.problem);
  }

  function tell(problem) {
    put(wrong, "hidden", !problem);
    put(field, "aria-invalid", problem ? "true" : null);
    put(field, "aria-describedby", `${ids.about} ${ids.from}${problem ? ` ${ids.wrong}` : ""}`);
    node.classList.toggle("bad", Boolean(problem));
    wrong.replaceChildren(...(problem ? [
      el("p", {}, problem.wrong), problem.accepted ? el("p", { class: "accepted" }, problem.accepted) : null,
      problem.tries?.length ? el("p", { class: "tries" }, problem.tries.map((value) =>
        el("button", { type: "button", on: { click: () => wanted({ [one.key]: value }) } }, `Try ${value}`))) : null,
    ].filter(Boolean) : []));
  }

  return { node, field, show, words: one.words };
}

// What a key is set with: a list to choose from, or a line to type in.
function fieldOf(one, ids) {
  const shared = { id: ids.field, "data-key": one.key };
  const choices = one.kind === "yes-no" ? ["true", "false"] : one.kind === "choice" ? one.choices ?? [] : [];
  if (choices.length) return { field: el("select", shared, choices.map((value) => option(value))) };
  const list = one.choices?.length ? el("datalist", { id: fresh("list") }, one.choices.map((value) => el("option", { value }))) : null;
  const field = el("input", {
    ...shared, type: "text", autocomplete: "off", spellcheck: "false", enterkeyhint: "done", list: list?.id,
    inputmode: one.kind === "whole" ? "numeric" : null, placeholder: one.example ? `such as ${one.example}` : null,
  });
  return { field, list };
}

const YES_NO = { true: "yes", false: "no" };
const option = (value) => el("option", { value }, YES_NO[value] ?? value);

function write(field, value) {
  if (field.tagName !== "SELECT") {
    field.value = value;
    return;
  }
  const stray = field.querySelector("[data-stray]");
  if (stray && stray.value !== value) stray.remove();
  if (![...field.options].some((one) => one.value === value)) {
    const one = option(value);
    put(one, "data-stray", true);
    if (!value) say(one, "left out");
    field.prepend(one);
  }
  field.value = value;
}
