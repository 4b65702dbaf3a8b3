// A whole box: its plan, in which a corner is picked, a cut through the groove, its sizes, and the keys of the corner that is
// picked.

import { controls } from "./controls.js";
import { el, fresh, put, say, svg } from "./dom.js";
import { drawings } from "./drawing.js";
import { figures } from "./figures.js";

const SIZES = [
  ["box.length", "Length outside"], ["box.inside_length", "Length inside"],
  ["box.width", "Width outside"], ["box.inside_width", "Width inside"],
  ["box.height", "Height of the boards"], ["box.inside_height", "Height above the bottom"],
];
const HEIGHT = ["box.height", "joint.width", "box.inside_height"]; // each gives the same size
const INSTEAD = { outside: { height: "the height of the boards" }, inside: { height: "the height above the bottom" } };
const NOT_IN_A_BOX = ["joint.width", "tail_board.length", "pin_board.length"]; // what the sizes of a box take the place of
export const OF_PLACES = /^box\.(joints\.(\w+)|front|back|left|right)\./;
const TALL = { plan: 0.56, section: 0.3 }; // of the window's height
const LEAST_NAMED = 34; // px of room that a corner's name needs

// The keys of a recipe that hold for all of a piece, but those that a box has in a place of their own or not at all.
export function ofWhole(asked, state) {
  if (state.piece !== "box") return asked;
  const sizes = SIZES.map(([key]) => key);
  return asked.filter(({ key }) => !OF_PLACES.test(key) && !sizes.includes(key) && (!NOT_IN_A_BOX.includes(key) || state.keys[key]?.value));
}

// A view in `parts.box`, `parts.corner` and `parts.cornerKeys`. `set(changes)` changes keys, `again()` shows the piece anew; the
// others are those of drawings. Gives `show(state, before)`, `shown(state)`: a state with the drawings and handles of the corner
// that is picked; and `goTo(key)` and `words(key)`.
export function boxView(parts, asked, { set, again, ...hands }) {
  const plan = el("div", { class: "drawings" }), section = el("div", { class: "drawings" }), rows = el("dl", { class: "figures" });
  const cut = el("section", { class: "cut", "aria-label": "The groove and the bottom" }, section, rows);
  const sizes = el("div", { class: "controls" }), turns = el("div", { class: "doing" });
  parts.box.append(plan, el("section", { class: "sizes", "aria-label": "Sizes" }, sizes, turns), cut);
  for (const host of [parts.box, parts.corner, parts.cornerKeys]) put(host, "hidden", false);
  parts.node.classList.add("of-a-box");

  const views = {
    plan: drawings(plan, { ...hands, tall: TALL.plan, drawn: (_, root, place) => drawCorners(root, place) }),
    section: drawings(section, { ...hands, tall: TALL.section }),
  };
  const sizeRows = controls(sizes, SIZES.map(([key, words]) => ({ ...asked.find((one) => one.key === key), words, table: "sizes", group: "Sizes", rare: false })), "box", (changes) => set(inPlaceOf(changes)));
  const places = placesOf(parts.cornerKeys, asked, set);
  const scope = scopeOf(parts.corner, (one) => { isAlone = one; again(); });
  let state = null, corner = null, isAlone = false;

  // --- the corner that is picked ---------------------------------------------------------------------

  const jointIn = (whole) => whole.joints?.find((one) => one.corners.includes(corner)) ?? whole.joints?.[0];

  function shown(whole) {
    const joint = jointIn(whole);
    if (!joint) return whole;
    const name = joint.corners.includes(corner) ? corner : joint.corners[0];
    const handles = joint.handles.map((one) => named(one, name, isAlone ? joint.alone[name] : null));
    return { ...whole, drawings: joint.drawings, handles: [...handles, ...whole.box.handles], bench: [...whole.bench, ...joint.bench] };
  }

  function pick(name) {
    corner = name;
    isAlone = false;
    again();
  }

  function show(next, before) {
    state = next;
    sizeRows.show(state, before);
    corner ??= state.joints?.[0].corners[0] ?? null;
    places.show(state, before, corner);
    const joint = jointIn(state);
    for (const part of [plan, turns, parts.corner]) put(part, "hidden", !joint);
    put(cut, "hidden", !state.box?.section);
    if (!joint) return;
    const { plan: above, section: through, handles, groove } = state.box;
    views.plan.show({ ...state, drawings: { plan: above }, handles }, { plan: before?.box?.plan });
    views.section.show({ ...state, drawings: { section: through }, handles }, { section: before?.box?.section });
    scope.show(corner, joint, isAlone);
    showTurns();
    figures(rows, groove, before?.box?.groove);
  }

  function drawCorners(root, place) {
    root.querySelector(".corners") ?? root.append(svg("g", { class: "corners" }));
    const layer = root.querySelector(".corners"), together = jointIn(state).together;
    for (const one of state.box.corners) {
      const node = [...layer.children].find((child) => child.dataset.corner === one.name) ?? layer.appendChild(cornerOf(one.name, pick));
      const [joint, room] = [one.joint, one.room].map((two) => two.map(place));
      put(node, "aria-pressed", String(one.name === corner));
      put(node, "class", `pick${together.includes(one.name) ? " alike" : ""}`);
      placeBox(node.querySelector(".at"), joint);
      placeBox(node.querySelector(".room"), room);
      placeName(node, room);
    }
  }

  // --- sizes and the groove ----------------------------------------------------------------------------

  // A size is given once: what the maker gave for it before goes.
  function inPlaceOf(changes) {
    const gone = {};
    for (const [key, value] of Object.entries(changes)) {
      const name = key.replace("inside_", ""), size = state.box?.sizes.find((one) => `box.${one.name}` === name);
      const same = name === "box.height" ? HEIGHT : [name, name.replace("box.", "box.inside_")];
      if (value === null || size?.given === "both") continue;
      for (const other of same) if (other !== key && state.keys[other].value) gone[other] = null;
    }
    return { ...gone, ...changes };
  }

  function showTurns() {
    const wanted = state.box.sizes.filter((size) => size.turn).map((size) => [size, size.given === "outside" ? "inside" : "outside"]);
    const does = document.activeElement?.dataset?.turns;
    turns.replaceChildren(...wanted.map(([size, to]) => el("button", { type: "button", class: "plain", "data-turns": size.name, on: { click: () => set(size.turn) } },
      `Give ${INSTEAD[to][size.name] ?? `the ${size.name} ${to}`} instead`)));
    turns.querySelector(`[data-turns="${does}"]`)?.focus();
  }

  function goTo(key) {
    if (sizeRows.goTo(key)) return true;
    const there = places.cornerWith(key, corner);
    if (there && there !== corner) pick(there);
    return places.goTo(key);
  }

  const words = (key) => SIZES.find(([one]) => one === key)?.[1].toLowerCase() ?? places.words(key);

  // Whether it is seen at a handle of the whole box.
  const refused = (...told) => Object.values(views).map((one) => one.refused(...told)).some(Boolean);

  return { show, shown, goTo, words, refused, free: () => Object.values(views).forEach((one) => one.free()) };
}

// A handle of a joint under the name of a corner; where that is changed alone, with the `keys` for it.
function named(handle, corner, keys) {
  const name = `${corner}${keys ? " alone" : ""}: ${handle.name.replace(/^.*: /, "")}`;
  return keys ? { ...handle, name, key: keys[handle.of], keys: [keys[handle.of]] } : { ...handle, name };
}

// --- a corner in the plan --------------------------------------------------------------------------------

function cornerOf(name, pick) {
  const on = {
    click: () => pick(name),
    keydown: (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      pick(name);
    },
  };
  const lines = name.split(" ").map((word) => svg("text", {}, `${word} `)); // read as one name, a word from the other
  return svg("g", { role: "button", tabindex: 0, "data-corner": name, "aria-label": `${name} corner`, on }, svg("rect", { class: "room", rx: 6 }), svg("rect", { class: "at" }), ...lines);
}

function placeBox(rect, [a, b]) {
  put(rect, "x", Math.min(a[0], b[0]).toFixed(1));
  put(rect, "y", Math.min(a[1], b[1]).toFixed(1));
  put(rect, "width", Math.abs(a[0] - b[0]).toFixed(1));
  put(rect, "height", Math.abs(a[1] - b[1]).toFixed(1));
}

// The name in the free room beside the corner, a word on each line.
function placeName(node, [a, b]) {
  const size = Math.min(16, Math.abs(a[0] - b[0]) / 3.2);
  node.querySelectorAll("text").forEach((line, i) => {
    put(line, "x", ((a[0] + b[0]) / 2).toFixed(1));
    put(line, "y", ((a[1] + b[1]) / 2 + (i - 0.5) * 1.2 * size).toFixed(1));
    put(line, "font-size", size.toFixed(1));
    put(line, "visibility", Math.abs(a[0] - b[0]) < LEAST_NAMED ? "hidden" : null);
  });
}

// --- what a change at the corner changes -----------------------------------------------------------------

function scopeOf(host, chosen) {
  const group = fresh("scope"), head = el("h2", { role: "status" });
  const [all, single] = [false, true].map((isAlone) => el("input", { type: "radio", name: group, on: { change: () => chosen(isAlone) } }));
  const [allWords, singleWords] = [el("span", {}), el("span", {})];
  const field = el("fieldset", { class: "scope" }, el("legend", {}, "A change here is made at"), el("label", {}, all, allWords), el("label", {}, single, singleWords));
  host.append(head, field);
  return {
    show(corner, joint, isAlone) {
      say(head, `The ${corner} corner`);
      say(allWords, joint.together.length > 1 ? joint.together_title : `the ${corner}, which is made like no other`);
      say(singleWords, `the ${corner} alone`);
      all.checked = !isAlone;
      single.checked = isAlone;
      put(field, "hidden", joint.together.length < 2 && !isAlone);
    },
  };
}

// --- the keys of single corners and boards ---------------------------------------------------------------

const titleOf = (place) => (/^joints\.\w+_/.test(place) ? `The ${place.slice(7).replace("_", " ")} corner alone` : place.startsWith("joints.") ? `Both corners at the ${place.slice(7)}` : `The ${place} board`);

// Whether a place under [box] is at a corner: "joints.front_left", "joints.front" and "front" are at "front left".
function isAt(place, corner) {
  const [end, hand] = corner.split(" ");
  return [`joints.${end}_${hand}`, `joints.${end}`, end, hand].includes(place);
}

function placesOf(host, asked, set) {
  const rare = new Map(asked.map((one) => [one.key, one.rare]));
  const there = new Map();
  for (const one of asked) {
    const found = OF_PLACES.exec(one.key);
    if (!found) continue;
    const place = found[2] ? `joints.${found[2]}` : found[1], own = one.key.slice(found[0].length);
    if (!there.has(place)) there.set(place, { keys: [], node: el("div", { class: "controls" }) });
    const isRare = found[2] ? rare.get(`joint.${own}`) ?? true : rare.get(`tail_board.${own}`) ?? true;
    const words = own.includes(".") ? `${one.words}, ${own.split(".")[0].replace("_", " ")}` : one.words;
    there.get(place).keys.push({ ...one, words, table: place, group: titleOf(place), rare: isRare });
  }
  const order = [...there].sort(([a], [b]) => b.includes("_") - a.includes("_"));
  const head = el("summary", {});
  for (const [, one] of order) one.rows = controls(one.node, one.keys, "box", set);
  host.append(el("details", { class: "fold" }, head, el("div", { class: "controls" }, order.map(([, one]) => one.node))));
  const holding = (key) => order.find(([, { keys }]) => keys.some((one) => one.key === key));
  return {
    show(state, before, corner) {
      say(head, corner ? `At the ${corner} corner, and its boards` : "Single corners and boards");
      for (const [place, one] of order) {
        one.rows.show(state, before);
        put(one.node, "hidden", !corner || !isAt(place, corner));
      }
    },
    // A corner at which a key is shown, rather the one that is picked.
    cornerWith(key, corner) {
      const found = holding(key);
      return found && [corner, "front left", "front right", "back left", "back right"].find((one) => one && isAt(found[0], one));
    },
    goTo: (key) => holding(key)?.[1].rows.goTo(key) ?? false,
    words: (key) => holding(key) && `${holding(key)[1].keys.find((one) => one.key === key).words.toLowerCase()}, ${titleOf(holding(key)[0]).toLowerCase()}`,
  };
}
