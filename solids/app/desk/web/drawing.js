// The drawings of a joint in true proportion, one scale for all, with handles that move by hand or by keys. Drawings are in
// mm, Y up; the screen is in px, Y down.

import { fresh, put, svg } from "./dom.js";
import { movement } from "./sending.js";

const MARGIN = { x: 30, y: 22 }; // px around a drawing, for handles and dimensions
const LEAST_HIGH = 56, MOST_WIDE = 6000; // px; a wide thin board is drawn larger than the page, and scrolls
const NEAR = 26; // px; how far from a handle a finger may land
const LETTERS = 17, LEAST_LETTERS = 10; // px
const REST = 400; // ms without a key until a move by keys has ended
const ON_EDGE = 0.02; // mm
const HAND = "hand", KEYS = "keys", LET_GO = "let go"; // what holds a handle; let go, it waits for its last answer

const axisOf = (handle) => (handle.along === "y" ? 1 : 0);

// How far one press of an arrow goes (mm), finer with Shift.
const stepOf = (handle, fine) => (fine ? handle.fine_mm : handle.step_mm);

// Whether a handle is drawn to be dragged; how many tails there are is changed by buttons.
export const isCount = (handle) => /(^|: )tails$/.test(handle.name);

// A view of drawings in `host`. `moved(going, to, live)` is told how far a movement has come, `picked(handle)` which handle is
// in hand, and `typed()` that its number is to be written.
export function drawings(host, { moved, picked, typed }) {
  const charts = new Map();
  let state = null, ghosts = {}, held = null, waiting = false, scale = 1, resting = 0;

  // --- from the server ------------------------------------------------------------------------------

  // Shows a state's `drawings` and `handles`; `before` are drawings to compare with, or null.
  function show(next, before) {
    const there = Object.entries(next.drawings).filter(([, drawing]) => drawing);
    state = { ...next, drawings: Object.fromEntries(there), handles: next.handles.filter((one) => !isCount(one)) };
    ghosts = before ?? {};
    const names = Object.keys(state.drawings);
    for (const [name, chart] of charts) if (!names.includes(name)) { chart.scroll.remove(); charts.delete(name); }
    for (const name of names) if (!charts.has(name)) charts.set(name, chart(name));
    if (held && (!handle(held.name) || (held.by === LET_GO && held.going.ended))) held = null;
    soon();
  }

  const handle = (name) => state?.handles.find((one) => one.name === name);

  function chart(name) {
    const layers = Object.fromEntries(["shapes", "ghost", "guide", "handles"].map((layer) => [layer, svg("g", { class: layer })]));
    const hatch = fresh("hatch");
    put(layers.shapes, "role", "img");
    put(layers.ghost, "aria-hidden", "true");
    put(layers.guide, "aria-hidden", "true");
    const root = svg("svg", { class: "drawing", "data-drawing": name, role: "group", "aria-label": TITLES[name] ?? name },
      svg("defs", {}, svg("pattern", { id: hatch, width: 7, height: 7, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
        svg("rect", { width: 7, height: 7, class: "ground" }), svg("path", { d: "M0 0V7", class: "hatching" }))),
      ...Object.values(layers));
    root.style.setProperty("--hatch", `url(#${hatch})`);
    const scroll = document.createElement("div");
    scroll.className = "scroll";
    const caption = document.createElement("p");
    caption.className = "caption";
    caption.textContent = TITLES[name] ?? name;
    scroll.append(caption, root);
    host.append(scroll);
    root.addEventListener("pointerdown", (event) => take(event, name));
    root.addEventListener("pointermove", drag);
    root.addEventListener("pointerup", () => letGo());
    root.addEventListener("pointercancel", () => giveUp());
    return { root, scroll, grips: new Map(), ...layers };
  }

  // --- on the screen -----------------------------------------------------------------------------------

  function soon() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; if (state) draw(); });
  }

  const reach = (drawing, axis) => drawing.shapes.flatMap((shape) => shape.points.map((point) => point[axis]))
    .reduce(([low, high], x) => [Math.min(low, x), Math.max(high, x)], [0, axis ? drawing.height : drawing.width]);

  function draw() {
    const all = Object.entries(state.drawings);
    if (!all.length) return;
    const across = all.map(([, drawing]) => reach(drawing, 0));
    const left = Math.min(...across.map(([low]) => low)), right = Math.max(...across.map(([, high]) => high));
    const highest = Math.max(...all.map(([, drawing]) => { const [low, high] = reach(drawing, 1); return high - low; }));
    const wide = Math.max(host.clientWidth - 2 * MARGIN.x, 100);
    scale = Math.min(wide / (right - left), Math.max(0.29 * innerHeight, 160) / highest);
    scale = Math.min(Math.max(scale, LEAST_HIGH / highest), Math.max(scale, MOST_WIDE / (right - left)));
    for (const [name, drawing] of all) drawOne(name, drawing, left, right);
  }

  function drawOne(name, drawing, left, right) {
    const { root, ghost, shapes, guide, handles, grips } = charts.get(name);
    const [low, high] = reach(drawing, 1);
    const width = (right - left) * scale + 2 * MARGIN.x, height = (high - low) * scale + 2 * MARGIN.y;
    put(root, "width", width.toFixed(1));
    put(root, "height", height.toFixed(1));
    const place = ([x, y]) => [MARGIN.x + (x - left) * scale, MARGIN.y + (high - y) * scale];
    const pulled = held ? handle(held.name) : null;
    const shift = pulled?.drawing === name ? ahead() : 0;
    const now = shift ? drawing.shapes.map((shape) => nudged(shape, pulled, shift)) : drawing.shapes;
    put(shapes, "aria-label", `${TITLES[name] ?? name}: ${spoken(drawing)}`);
    shapes.replaceChildren(...drawnShapes(now, place));
    ghost.replaceChildren(...drawnGhost(ghosts[name], drawing, place));
    guide.replaceChildren(...(pulled?.drawing === name && held.by !== LET_GO ? [drawnGuide(pulled, place(gone(pulled)), width, height)] : []));
    const wanted = state.handles.filter((one) => one.drawing === name);
    for (const [key, grip] of grips) if (!wanted.some((one) => one.name === key)) { grip.remove(); grips.delete(key); }
    const size = Math.min(8, Math.max(4, closest(wanted) * scale * 0.45));
    for (const one of wanted) placeGrip(one, grips, handles, place, size);
  }

  // How far the hand is ahead of what the server has answered (mm).
  const ahead = () => held.to - held.going.done;

  function gone(one) {
    const at = [...one.at];
    if (held?.name === one.name) at[axisOf(one)] += ahead();
    return at;
  }

  function placeGrip(one, grips, layer, place, size) {
    if (!grips.has(one.name)) grips.set(one.name, grip(one.name));
    const node = grips.get(one.name), [x, y] = place(gone(one));
    put(node, "transform", `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
    put(node, "aria-label", one.words);
    put(node, "aria-valuenow", one.value_mm.toFixed(3));
    put(node, "aria-valuemin", Math.min(0, one.value_mm).toFixed(3));
    put(node, "aria-valuemax", Math.max(state.drawings[one.drawing].width, one.value_mm).toFixed(3));
    put(node, "aria-valuetext", one.shown);
    put(node, "aria-orientation", one.along === "y" ? "vertical" : "horizontal");
    put(node, "class", `handle ${one.along === "y" ? "down" : "across"}${held?.name === one.name ? " held" : ""}`);
    put(node.querySelector(".knob"), "d", knob(size, one.along === "y"));
    // The order of the handles is that of Tab; a node that stays where it is keeps its focus.
    if (node.parentNode !== layer) layer.append(node);
  }

  function grip(name) {
    return svg("g", {
      role: "slider", tabindex: 0, "data-handle": name,
      on: {
        focus: () => picked(handle(name)), keydown: (event) => key(event, name), keyup: rest, blur: rest,
      },
    }, svg("circle", { class: "reach", r: 18 }), svg("path", { class: "knob" }));
  }

  // --- by hand ---------------------------------------------------------------------------------------

  // Handles may lie close together: the nearest is meant.
  function take(event, name) {
    if (event.button || !event.target.closest(".handle")) return;
    const { grips, root } = charts.get(name);
    const away = (node) => {
      const box = node.querySelector(".knob").getBoundingClientRect();
      return Math.hypot(event.clientX - box.x - box.width / 2, event.clientY - box.y - box.height / 2);
    };
    const [[found, node]] = [...grips].sort((a, b) => away(a[1]) - away(b[1]));
    if (away(node) > NEAR) return;
    event.preventDefault();
    rest();
    root.setPointerCapture(event.pointerId);
    held = { name: found, going: movement(found), to: 0, start: [event.clientX, event.clientY], by: HAND };
    node.focus({ preventScroll: true });
    picked(handle(found));
    soon();
  }

  function drag(event) {
    if (held?.by !== HAND) return;
    const one = handle(held.name);
    const pixels = one.along === "y" ? held.start[1] - event.clientY : event.clientX - held.start[0];
    const step = stepOf(one, event.shiftKey);
    goTo(Math.round(pixels / scale / step) * step);
  }

  function goTo(to) {
    if (to === held.to) return;
    Object.assign(held, { to, touched: true });
    moved(held.going, to, true);
    soon();
  }

  function letGo() {
    if (!held || held.by === LET_GO) return;
    const { going, to, touched } = held;
    if (touched) held.by = LET_GO;
    else held = null;
    if (touched) moved(going, to, false);
    soon();
  }

  // Back to where it was taken.
  function giveUp() {
    if (held && held.by !== LET_GO) held.to = 0;
    letGo();
  }

  // --- by keys -----------------------------------------------------------------------------------------

  function key(event, name) {
    const one = handle(name);
    const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (event.key === "Escape") return giveUp();
    if (event.key === "Enter") { event.preventDefault(); return typed(); }
    if (!way || !one || event.ctrlKey || event.metaKey || event.altKey) return undefined;
    event.preventDefault();
    if (held?.by === HAND) return undefined;
    if (held?.name !== name || held.by !== KEYS) held = { name, going: movement(name), to: 0, by: KEYS };
    clearTimeout(resting);
    resting = setTimeout(rest, REST);
    return goTo(held.to + way * stepOf(one, event.shiftKey));
  }

  function rest() {
    clearTimeout(resting);
    if (held?.by === KEYS) letGo();
  }

  new ResizeObserver(soon).observe(host);
  return { show };
}

const TITLES = { face: "From the face", end: "From the end" };

const spoken = (drawing) =>
  [...new Set(drawing.shapes.filter((shape) => shape.kind !== "number").map((shape) => shape.words).filter(Boolean))].join(", ") || "a drawing";

// --- what is drawn -------------------------------------------------------------------------------------

function drawnShapes(shapes, place) {
  const letters = lettersOf(shapes, place);
  return shapes.flatMap((shape) => {
    const points = shape.points.map(place);
    if (shape.kind === "number") return letters ? [label(shape.words, points[0], letters, "count")] : [];
    const line = outline(points, shape.closed, shape.kind === "wood" ? `wood ${shape.words.replaceAll(" ", "-")}` : shape.kind);
    if (shape.kind !== "dimension") return [line];
    const middle = [0, 1].map((axis) => (points[0][axis] + points.at(-1)[axis]) / 2);
    return [line, ...points.map((point) => svg("circle", { class: "tick", cx: point[0], cy: point[1], r: 2.5 })), label(shape.words, middle, 15, "measure")];
  });
}

const pathOf = (points, closed) => `M${points.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`).join("L")}${closed ? "Z" : ""}`;
const outline = (points, closed, kind) => svg("path", { class: kind, d: pathOf(points, closed) });
const label = (words, [x, y], size, kind) => svg("text", { class: kind, x: x.toFixed(1), y: y.toFixed(1), "font-size": size.toFixed(1) }, words);

// Numbers stand close where tails are many: then they are smaller, and in the end left to the tables (0).
function lettersOf(shapes, place) {
  const at = shapes.filter((shape) => shape.kind === "number").map((shape) => place(shape.points[0])[0]).sort((a, b) => a - b);
  const room = Math.min(...at.slice(1).map((x, i) => x - at[i]).filter((gap) => gap > 0.5), Infinity);
  const size = Math.min(LETTERS, room / 1.3);
  return size < LEAST_LETTERS ? 0 : size;
}

// Where wood was before the last change, where that is not where it is now.
function drawnGhost(before, now, place) {
  if (!before) return [];
  const outlines = (drawing) => drawing.shapes.filter((shape) => shape.kind === "wood" || shape.kind === "waste").map((shape) => JSON.stringify(shape.points));
  const here = new Set(outlines(now));
  return outlines(before).filter((points) => !here.has(points)).map((points) => outline(JSON.parse(points).map(place), true, "was"));
}

function drawnGuide(one, [x, y], width, height) {
  return svg("path", { class: "rule", d: one.along === "y" ? `M0 ${y}H${width}` : `M${x} 0V${height}` });
}

// How a shape will lie once the handle has gone its way: each of its edges that passes through the handle goes with it. The
// server's own answer follows within a few frames.
function nudged(shape, one, shift) {
  if (shape.kind === "number" || shape.kind === "dimension") return shape;
  const axis = axisOf(one), { points } = shape, going = new Set();
  points.forEach((point, i) => {
    const next = (i + 1) % points.length;
    if ((next || shape.closed) && passes(point, points[next], one.at)) going.add(i).add(next);
  });
  if (!going.size) return shape;
  return { ...shape, points: points.map((point, i) => (going.has(i) ? point.map((x, n) => (n === axis ? x + shift : x)) : point)) };
}

function passes(a, b, at) {
  const along = b.map((x, n) => x - a[n]), to = at.map((x, n) => x - a[n]);
  const length = Math.hypot(...along);
  if (!length) return false;
  const share = (along[0] * to[0] + along[1] * to[1]) / length ** 2;
  return share >= -1e-6 && share <= 1 + 1e-6 && Math.abs(along[0] * to[1] - along[1] * to[0]) / length < ON_EDGE;
}

// The least distance of two handles (mm).
function closest(handles) {
  const away = handles.flatMap((one, i) => handles.slice(i + 1).map((other) => Math.hypot(one.at[0] - other.at[0], one.at[1] - other.at[1])));
  return Math.min(...away.filter((gap) => gap > 0.01), 50);
}

// Two points away from the middle, the way the handle goes.
function knob(size, down) {
  const long = size * 1.5;
  return down ? `M0 ${-long}L${size} 0L0 ${long}L${-size} 0Z` : `M${-long} 0L0 ${-size}L${long} 0L0 ${size}Z`;
}
