// The handle in hand: its name, its number to be typed, and a step either way.

import { countOf, isCount } from "./count.js";
import { el, put, say } from "./dom.js";
import { INCH, lengthOf } from "./lengths.js";

// Here, of a corner or of one of a box, the number is the handle's own place; elsewhere it is the value of the key.
const isPlaces = (key) => /^(joint|box\.joints\.\w+)\.flanks$/.test(key);

// `set(changes)` changes keys, `move(handle, by)` moves a handle by so many mm at once.
export function hand(host, { set, move }) {
  const words = el("label", { for: "in-hand" }, "No handle in hand");
  const field = el("input", { id: "in-hand", type: "text", autocomplete: "off", spellcheck: "false", disabled: true, "aria-describedby": "in-hand-help in-hand-wrong", on: { change: typed } });
  const [back, forth] = [[-1, "\u2212", "One step back"], [1, "+", "One step on"]].map(([way, sign, label]) =>
    el("button", { type: "button", class: "step", disabled: true, "aria-label": label, on: { click: () => picked && move(picked, way * picked.step_mm) } }, sign));
  const help = el("p", { id: "in-hand-help", class: "quiet" }, "Drag a handle, or reach it with Tab and move it by arrows.");
  const wrong = el("p", { id: "in-hand-wrong", class: "wrong", hidden: true });
  const aloud = el("p", { class: "unseen", role: "alert" }); // why a handle goes no further, once for each time that it is stopped
  const count = el("output", { id: "count", "aria-live": "polite" });
  const [fewer, more] = [[-1, "\u2212", "One tail less"], [1, "+", "One tail more"]].map(([way, sign, label]) =>
    el("button", { type: "button", class: "step", "aria-label": label, on: { click: () => counted && move(counted, way) } }, sign));
  const tails = el("div", { class: "count", role: "group", "aria-label": "Tails" }, el("p", {}, "Tails"), el("div", { class: "entry" }, fewer, count, more));
  host.append(tails, el("div", { class: "one" }, el("div", { class: "head" }, words), el("div", { class: "entry" }, back, field, forth), help), wrong, aloud);
  let picked = null, counted = null, state = null, name = null, stopped = "", isUnread = false; // whether the text in the field means nothing

  function pick(handle, now) {
    if (handle && handle.name !== name) {
      isUnread = false;
      free();
    }
    name = handle?.name ?? name;
    show(now);
  }

  function show(now) {
    state = now;
    counted = now.handles.find(isCount) ?? null;
    put(tails, "hidden", !counted);
    say(count, counted ? String(counted.value_mm) : "");
    picked = now.handles.find((one) => one.name === name) ?? null;
    for (const part of [back, field, forth]) put(part, "disabled", !picked);
    if (!picked) {
      say(words, "No handle in hand");
      field.value = "";
      if (isUnread) tell("");
      isUnread = false;
      return;
    }
    const [coarse, fine] = [picked.step_mm, picked.fine_mm].map((mm) => (now.units === "in" ? `1/${Math.round(INCH / mm)} in` : `${mm} mm`));
    say(words, picked.words);
    say(help, isCount(picked) ? "Drag it to the right for more tails, to the left for fewer. Arrows go by one. Enter to type it." : `Arrows move it by ${coarse}, with Shift by ${fine}. Enter to type it.`);
    // What is being typed stays, and what was refused stays beside its reason.
    if (document.activeElement === field && (field.dataset.typing === "yes" || !wrong.hidden)) return;
    field.value = picked.shown;
    if (isUnread) tell("");
    isUnread = false;
  }

  function typed() {
    const text = field.value.trim(), now = picked && state.keys?.[picked.key];
    isUnread = false;
    tell("");
    if (!picked || text === picked.shown) return;
    if (isCount(picked)) return typedCount(countOf(text));
    if (!isPlaces(picked.key) && !now?.value.startsWith("[")) return set(Object.fromEntries(picked.keys.map((key) => [key, text])));
    const mm = lengthOf(text, state.units);
    isUnread = mm === null;
    if (isUnread) tell(/^\d+,\d+/.test(text) ? "Write the decimals after a point, as in 33.5." : "That is no length. Write it as in a recipe: 33, 33 mm, 3/4 in or 1 1/8 in.");
    else move(picked, picked.sense * (mm - picked.value_mm));
    return undefined;
  }

  function typedCount(wanted) {
    isUnread = wanted === null;
    if (isUnread) tell("That is no number of tails. Write a whole one, such as 5.");
    else if (wanted !== picked.value_mm) move(picked, wanted - picked.value_mm);
  }

  function tell(text, isOfField = true) {
    say(wrong, text);
    put(wrong, "hidden", !text);
    put(field, "aria-invalid", text && isOfField ? "true" : null);
  }

  // A handle cannot go there. That is read aloud once, and written here unless it is seen at the handle itself.
  function refused(going, words, isSeen) {
    if (!isSeen) {
      isUnread = false;
      tell(words, going.handle === picked?.name);
    }
    if (stopped !== going.handle) say(aloud, words);
    stopped = going.handle;
  }

  function free() {
    stopped = "";
    say(aloud, "");
    if (!isUnread) tell("");
  }

  function type() {
    if (!picked) return;
    field.focus();
    field.select();
  }

  return { pick, show, refused, free, type };
}
