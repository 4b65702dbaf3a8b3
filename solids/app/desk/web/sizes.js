// Controls for sizes of which there are several: a row that grows and shrinks, and two that go together.

import { el, put } from "./dom.js";

// A plain number goes as one, so that it stands in the file as a maker would write it.
const typed = (text) => (/^\d+(\.\d+)?$/.test(text) ? Number(text) : text);
const withUnit = (item, units) => (typeof typed(item) === "number" ? `${item} ${units}` : item);
const line = (one, given) => el("input", { type: "text", autocomplete: "off", spellcheck: "false", enterkeyhint: "done", ...given });

// Any number of sizes, such as those of chisels. `wanted` is told the new list, or null where none is left.
export function sizes(one, id, wanted) {
  let items = [];
  const row = el("ul", { class: "sizes", "aria-label": one.words, hidden: true });
  const field = line(one, { id, "data-key": one.key, placeholder: "such as 3/4 in" });
  const add = el("button", { type: "button", "aria-label": `Add to ${one.words}` }, "Add");
  field.addEventListener("change", take);
  field.addEventListener("keydown", (event) => {
    if (event.key === "Escape") { field.value = ""; event.stopPropagation(); }
  });
  add.addEventListener("click", () => { take(); field.focus(); });

  function take() {
    const more = field.value.split(",").map((text) => text.trim()).filter(Boolean);
    field.value = "";
    if (more.length) wanted([...items, ...more].map(typed));
  }

  function without(place) {
    const rest = items.filter((_, i) => i !== place).map(typed);
    wanted(rest.length ? rest : null);
    field.focus();
  }

  function show(given, units) {
    items = given.items ?? [];
    put(row, "hidden", !items.length);
    row.replaceChildren(...items.map((item, place) => el("li", {}, withUnit(item, units),
      el("button", { type: "button", class: "plain", "aria-label": `Take away ${withUnit(item, units)}`, on: { click: () => without(place) } }, "\u00d7"))));
  }

  return { field, parts: [field], show, focus: () => field.focus(), node: el("div", { class: "many" }, row, el("div", { class: "entry" }, field, add)) };
}

// Two sizes that go together, such as both sides of a printer's bed. `wanted` is told both, or null where both are empty.
export function pair(one, id, wanted) {
  let shown = ["", ""];
  const field = line(one, { id, "data-key": one.key, placeholder: "one side" });
  const other = line(one, { "aria-label": `${one.words}, the other side`, placeholder: "the other side" });
  for (const each of [field, other]) {
    each.addEventListener("change", take);
    each.addEventListener("keydown", (event) => {
      if (event.key === "Escape") { [field.value, other.value] = shown; event.stopPropagation(); }
    });
  }

  function take() {
    const both = [field, other].map((each) => each.value.trim());
    if (both.join() === shown.join()) return;
    if (both.every(Boolean)) wanted(both.map(typed));
    else if (!both.some(Boolean)) wanted(null);
  }

  function show(given) {
    const [first = "", second = ""] = given.items ?? [];
    shown = [first, second];
    [field.value, other.value] = shown;
  }

  return { field, parts: [field, other], show, focus: () => field.focus(), node: el("div", { class: "entry two" }, field, el("span", { "aria-hidden": "true" }, "\u00d7"), other) };
}
