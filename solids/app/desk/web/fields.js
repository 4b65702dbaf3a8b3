// What a key is set with: a line to type in, or a list to choose from. Each gives its `field`, all its `parts`, `show(text, old,
// units, leave)` and `focus()`, and sends what was typed when that is done: Enter, or on to another place. Escape takes it back.
// `leave` is the choice that gives a value back, in words, or "".

import { el, fresh, put } from "./dom.js";

const LIST = "\u0000list"; // the choice that stands for a list of the maker's own
const YES_NO = { true: "yes", false: "no" };

export function line(one, id, send) {
  const list = one.choices?.length ? el("datalist", { id: fresh("list") }, one.choices.map((value) => el("option", { value }))) : null;
  const field = typed({ id, "data-key": one.key, list: list?.id, inputmode: one.kind === "whole" ? "numeric" : null }, send);

  function show(text, old, units) {
    field.dataset.stands = text;
    hint(field, one.examples?.[units]);
    put(field, "title", text || null); // where there is no room for all of it
    if (!isBusy(field, old)) field.value = text;
  }

  return { field, parts: [field], list, show, focus: () => field.focus() };
}

export function chooser(one, id, send) {
  const values = one.kind === "yes-no" ? ["true", "false"] : one.choices ?? [];
  const field = el("select", { id, "data-key": one.key, on: { change: chosen } }, values.map((value) => option(value)),
    one.lists ? option(LIST, "each by itself") : null);
  const own = one.lists ? typed({ class: "own", "aria-label": `${one.words}, each by itself`, hidden: true }, send) : null;

  function chosen() {
    if (field.value !== LIST) return send(field.value);
    put(own, "hidden", false);
    return own.focus();
  }

  function show(text, old, units, leave) {
    const isList = Boolean(own) && text.startsWith("[");
    if (own) {
      hint(own, one.lists[units]);
      own.dataset.stands = isList ? text.slice(1, -1) : "";
      if (isBusy(own, old)) return;
      put(own, "hidden", !isList);
      own.value = own.dataset.stands;
    }
    field.querySelector("[data-leave]")?.remove();
    choose(isList ? LIST : text);
    if (!leave) return;
    field.append(option("", leave));
    put(field.lastChild, "data-leave", true);
  }

  // A value that is none of the choices stands before them: that of a file, or none.
  function choose(value) {
    field.querySelector("[data-stray]")?.remove();
    if (![...field.options].some((each) => each.value === value)) {
      field.prepend(option(value, value || "left out"));
      put(field.firstChild, "data-stray", true);
    }
    field.value = value;
  }

  return { field, parts: own ? [field, own] : [field], show, focus: () => (own && !own.hidden ? own : field).focus() };
}

const option = (value, words = YES_NO[value] ?? value) => el("option", { value }, words);

const hint = (field, example) => put(field, "placeholder", example ? `such as ${example}` : null);

function typed(given, send) {
  const field = el("input", { ...given, type: "text", autocomplete: "off", spellcheck: "false", enterkeyhint: "done", on: {
    change: () => send(field.value.trim()),
    keydown: (event) => {
      if (event.key !== "Escape") return;
      field.value = field.dataset.stands ?? "";
      field.dataset.typing = "";
      event.stopPropagation();
    },
  } });
  return field;
}

// Whether the maker is in the middle of a word there, which is not taken away.
const isBusy = (field, old) => document.activeElement === field && field.dataset.typing === "yes" && field.value !== old;
