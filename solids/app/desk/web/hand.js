// The handle in hand: its name, its number to be typed, and a step either way.

import { el, put, say } from "./dom.js";
import { isCount } from "./drawing.js";
import { INCH, lengthOf } from "./lengths.js";

const PLACES = "joint.flanks"; // here the number is the handle's own place; elsewhere it is the value of the key

// `set(changes)` changes keys, `move(handle, by)` moves a handle by so many mm at once.
export function hand(host, { set, move }) {
  const words = el("label", { for: "in-hand" }, "No handle in hand");
  const field = el("input", { id: "in-hand", type: "text", autocomplete: "off", spellcheck: "false", disabled: true, "aria-describedby": "in-hand-help in-hand-wrong", on: { change: typed } });
  const [back, forth] = [[-1, "\u2212", "One step back"], [1, "+", "One step on"]].map(([way, sign, label]) =>
    el("button", { type: "button", class: "step", disabled: true, "aria-label": label, on: { click: () => picked && move(picked, way * picked.step_mm) } }, sign));
  const help = el("p", { id: "in-hand-help", class: "quiet" }, "Drag a handle, or go to it with Tab and move it with the arrow keys.");
  const wrong = el("p", { id: "in-hand-wrong", class: "wrong", hidden: true });
  const count = el("output", { id: "count", "aria-live": "polite" });
  const [fewer, more] = [[-1, "\u2212", "One tail less"], [1, "+", "One tail more"]].map(([way, sign, label]) =>
    el("button", { type: "button", class: "step", "aria-label": label, on: { click: () => counted && move(counted, way) } }, sign));
  const tails = el("div", { class: "count", role: "group", "aria-label": "Tails" }, el("p", {}, "Tails"), el("div", { class: "entry" }, fewer, count, more));
  host.append(tails, el("div", { class: "one" }, el("div", { class: "head" }, words), el("div", { class: "entry" }, back, field, forth), help, wrong));
  let picked = null, counted = null, state = null, name = null;

  function pick(handle, now) {
    name = handle?.name ?? name;
    show(now);
  }

  function show(now) {
    state = now;
    counted = now.handles.find(isCount) ?? null;
    put(tails, "hidden", !counted);
    say(count, counted?.shown ?? "");
    picked = now.handles.find((one) => one.name === name) ?? null;
    for (const part of [back, field, forth]) put(part, "disabled", !picked);
    if (!picked) {
      say(words, "No handle in hand");
      field.value = "";
      return;
    }
    const [coarse, fine] = [picked.step_mm, picked.fine_mm].map((mm) => (now.units === "in" ? `1/${Math.round(INCH / mm)} in` : `${mm} mm`));
    say(words, picked.words);
    say(help, `Arrows move it by ${coarse}, with Shift by ${fine}. Enter goes to its number.`);
    if (document.activeElement !== field) field.value = picked.shown;
  }

  function typed() {
    const text = field.value.trim(), now = picked && state.keys?.[picked.key];
    tell("");
    if (!picked || text === picked.shown) return;
    if (picked.key !== PLACES && !now?.value.startsWith("[")) {
      set({ [picked.key]: text });
      return;
    }
    const mm = lengthOf(text, state.units);
    if (mm === null) tell("That is no length. Write it as in a recipe: 33, 33 mm, 3/4 in or 1 1/8 in.");
    else move(picked, senseOf(picked, state) * (mm - picked.value_mm));
  }

  function tell(text) {
    say(wrong, text);
    put(wrong, "hidden", !text);
    put(field, "aria-invalid", text ? "true" : null);
  }

  function type() {
    if (!picked) return;
    field.focus();
    field.select();
  }

  return { pick, show, type };
}

// 1 where the number of a handle grows as it goes to the right, else -1. Places are counted from the reference edge, which may
// be at the right; a half pin at the right grows to the left.
function senseOf(one, state) {
  const place = /(^|: )flank \d+$/;
  if (!place.test(one.name)) return /(^|: )half pin \d+$/.test(one.name) && one.at[0] > state.drawings[one.drawing].width / 2 ? -1 : 1;
  const [first, last] = state.handles.filter((other) => place.test(other.name)).sort((a, b) => a.at[0] - b.at[0]).filter((_, i, all) => i === 0 || i === all.length - 1);
  return last && last.value_mm < first.value_mm ? -1 : 1;
}
