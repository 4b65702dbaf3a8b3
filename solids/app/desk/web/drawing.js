// The drawings of a joint in true proportion, one scale for all, with handles that move by hand or by keys. Drawings are in
// mm, Y up; the screen is in px, Y down.

import { apart, countLabel, isCount, showCount } from "./count.js";
import { el, fresh, put, renew, say, svg } from "./dom.js";
import { isStopped, movement } from "./sending.js";

const MARGIN = { x: 30, y: 18 }; // px around a drawing, for handles and dimensions
const LEAST_HIGH = 56, MOST_WIDE = 6000; // px; a wide thin board is drawn larger than the page, and scrolls
const NEAR = 26; // px; how far from a handle a finger may land
const LETTERS = 17, LEAST_LETTERS = 10; // px
const REST = 400; // ms without a key until a move by keys has ended
const ON_EDGE = 0.02; // mm
const HAND = "hand", KEYS = "keys", LET_GO = "let go"; // what holds a handle; let go, it waits for its last answer

const axisOf = (handle) => (handle.along === "y" ? 1 : 0);

// How far one press of an arrow goes (mm), finer with Shift.
const stepOf = (handle, fine) => (fine ? handle.fine_mm : handle.step_mm);

// A view of drawings in `host`. `moved(going, to, live)` is told how far a movement has come, `picked(handle)` which handle is
// in hand, and `typed()` that its number is to be written. A drawing takes at most the share `tall` of the window's height;
// `drawn(name, svg, place)` is told where its mm are on the screen.
export function drawings(host, { moved, picked, typed, tall = 0.29, drawn = () => {} }) {
  const charts = new Map();
  const reason = el("p", { class: "reason", "aria-hidden": "true", hidden: true }); // read aloud by the hand, once
  let state = null, ghosts = {}, held = null, stopped = null, waiting = false, scale = 1, wide = 0, resting = 0;

  // --- from the server ------------------------------------------------------------------------------

  // Shows a state's `drawings` and `handles`; `before` are drawings to compare with, or null.
  function show(next, before) {
    const there = Object.entries(next.drawings).filter(([, drawing]) => drawing);
    state = { ...next, drawings: Object.fromEntries(there) };
    ghosts = before ?? {};
    const names = Object.keys(state.drawings);
    for (const [name, chart] of charts) if (!names.includes(name)) { chart.scroll.remove(); charts.delete(name); }
    if (names.join() !== [...charts.keys()].join()) wide = 0;
    for (const name of names) if (!charts.has(name)) charts.set(name, chart(name));
    if (held && (!handle(held.name) || (held.by === LET_GO && held.going.ended))) held = null;
    soon();
  }

  // A handle was refused a place: why, for as long as it is held there, or moved by keys, until it goes another way.
  // Gives whether that is seen here.
  function refused(going, words) {
    if (held?.going !== going || held.from === HAND) return false;
    stopped = { name: going.handle, words };
    soon();
    return true;
  }

  function free() {
    stopped = null;
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
    // The raw event, where the browser has it, comes before the next frame begins.
    for (const kind of ["pointerrawupdate", "pointermove"]) root.addEventListener(kind, drag);
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
    const [{ scroll }] = charts.values(); // drawings stand below each other, or side by side in columns that are alike
    wide ||= Math.max(scroll.clientWidth - 2 * MARGIN.x, 100); // to ask for it lays the page out
    scale = Math.min(wide / (right - left), Math.max(tall * innerHeight, 160) / highest);
    scale = Math.min(Math.max(scale, LEAST_HIGH / highest), Math.max(scale, MOST_WIDE / (right - left)));
    for (const [name, drawing] of all) drawOne(name, drawing, left, right);
    tell();
  }

  // Why a handle goes no further, below it.
  function tell() {
    const node = stopped && charts.get(handle(stopped.name)?.drawing)?.grips.get(stopped.name);
    put(reason, "hidden", !node);
    if (!node) return;
    say(reason, stopped.words);
    if (!reason.isConnected) host.append(reason);
    const [at, room] = [node.querySelector(".knob").getBoundingClientRect(), host.getBoundingClientRect()];
    const left = Math.min(Math.max(at.x + at.width / 2 - room.x - reason.offsetWidth / 2, 0), room.width - reason.offsetWidth);
    reason.style.translate = `${left.toFixed(1)}px ${(at.bottom - room.y + 8).toFixed(1)}px`;
  }

  function drawOne(name, drawing, left, right) {
    const { root, ghost, shapes, guide, handles, grips } = charts.get(name);
    const [low, high] = reach(drawing, 1);
    const width = (right - left) * scale + 2 * MARGIN.x, height = (high - low) * scale + 2 * MARGIN.y;
    put(root, "width", width.toFixed(1));
    put(root, "height", height.toFixed(1));
    const place = ([x, y]) => [MARGIN.x + (x - left) * scale, MARGIN.y + (high - y) * scale];
    const pulled = held ? handle(held.name) : null;
    const shift = pulled?.drawing === name && !isCount(pulled) ? ahead() : 0;
    const now = shift ? drawing.shapes.map((shape) => nudged(shape, pulled, shift)) : drawing.shapes;
    // Of several drawings a move mostly changes one.
    const told = JSON.stringify([now, ghosts[name], left, high, scale]);
    if (told !== charts.get(name).told) {
      charts.get(name).told = told;
      put(shapes, "aria-label", `${TITLES[name] ?? name}: ${spoken(drawing)}`);
      renew(shapes, drawnShapes(now, place));
      renew(ghost, drawnGhost(ghosts[name], drawing, place));
    }
    renew(guide, pulled?.drawing === name && held.by !== LET_GO && !isCount(pulled) ? [drawnGuide(pulled, place(gone(pulled)), width, height)] : []);
    const wanted = state.handles.filter((one) => one.drawing === name);
    for (const [key, grip] of grips) if (!wanted.some((one) => one.name === key)) { grip.remove(); grips.delete(key); }
    for (const one of wanted) placeGrip(one, grips, handles, place, Math.min(8, Math.max(4, room(one, wanted) * scale * 0.45)));
    drawn(name, root, place);
  }

  // How far the hand is ahead of what the server has answered (mm).
  const ahead = () => (isStopped(held) ? 0 : held.to - held.going.done);

  // How far the grip of a count is from its place: as far as the hand has pulled it, and no further than it goes (mm).
  const pulledBy = () => (held.by === HAND ? (isStopped(held) ? held.going.done : held.to) * held.apart : 0);

  function gone(one) {
    const at = [...one.at];
    if (held?.name === one.name) at[axisOf(one)] += isCount(one) ? pulledBy() : ahead();
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
    if (isCount(one)) showCount(node, one);
    else put(node.querySelector(".knob"), "d", knob(size, one.along === "y"));
    // The order of the handles is that of Tab; a node that stays where it is keeps its focus.
    if (node.parentNode !== layer) layer.append(node);
  }

  function grip(name) {
    return svg("g", {
      role: "slider", tabindex: 0, "data-handle": name,
      on: {
        focus: () => picked(handle(name)), keydown: (event) => key(event, name), keyup: rest, blur: () => { rest(); free(); },
      },
    }, svg("circle", { class: "reach", r: 18 }), svg("path", { class: "knob" }), isCount({ name }) && countLabel());
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
    const one = handle(found), going = movement(found, one.fine_mm);
    held = { name: found, going, to: 0, start: [event.clientX, event.clientY], by: HAND, apart: isCount(one) ? apart(one, state.drawings[name]) : 1 };
    node.focus({ preventScroll: true });
    picked(one);
    soon();
  }

  function drag(event) {
    if (held?.by !== HAND) return;
    const one = handle(held.name);
    const pixels = one.along === "y" ? held.start[1] - event.clientY : event.clientX - held.start[0];
    const step = stepOf(one, event.shiftKey);
    goTo(Math.round(pixels / scale / held.apart / step) * step);
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
    if (held.by === HAND) stopped = null;
    if (touched) Object.assign(held, { from: held.by, by: LET_GO });
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
    if (held?.name !== name || held.by !== KEYS) held = { name, going: movement(name, one.fine_mm), to: 0, by: KEYS };
    clearTimeout(resting);
    resting = setTimeout(rest, REST);
    return goTo((isStopped(held) ? held.going.done : held.to) + way * stepOf(one, event.shiftKey));
  }

  function rest() {
    clearTimeout(resting);
    if (held?.by === KEYS) letGo();
  }

  new ResizeObserver(() => { wide = 0; soon(); }).observe(host);
  return { show, refused, free };
}

const TITLES = { face: "From the face", end: "From the end", plan: "From above, and each side from outside", section: "Cut through the groove" };

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
    return [line, ...points.map((point) => svg("circle", { class: "tick", cx: point[0], cy: point[1], r: 2.5 })), label(shape.words, middle, 15, "measure", goesUp(points, shape.words))];
  });
}

const pathOf = (points, closed) => `M${points.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`).join("L")}${closed ? "Z" : ""}`;
const outline = (points, closed, kind) => svg("path", { class: kind, d: pathOf(points, closed) });
// Words stand along a line that goes up, to be read from the right, if it is as long as they are.
const goesUp = ([a, b], words) => a[0] === b[0] && Math.abs(a[1] - b[1]) > 9 * words.length;
const label = (words, [x, y], size, kind, isUp = false) => svg("text", {
  class: kind, x: x.toFixed(1), y: y.toFixed(1), "font-size": size.toFixed(1), transform: isUp ? `rotate(-90 ${x.toFixed(1)} ${y.toFixed(1)})` : null,
}, words);

// Numbers stand close where tails are many: then they are smaller, and in the end left to the tables (0).
function lettersOf(shapes, place) {
  const at = shapes.filter((shape) => shape.kind === "number").map((shape) => place(shape.points[0])[0]).sort((a, b) => a - b);
  const room = Math.min(...at.slice(1).map((x, i) => x - at[i]).filter((gap) => gap > 0.5), Infinity);
  const size = Math.min(LETTERS, room / 1.3);
  return size < LEAST_LETTERS ? 0 : size;
}

// The edges of the wood before the last change that are none now.
function drawnGhost(before, now, place) {
  if (!before) return [];
  const here = edgesOf(now);
  const gone = edgesOf(before).filter((edge) => !here.some(([a, b]) => edge.every((point) => passes(a, b, point))));
  return gone.map((edge) => outline(edge.map(place), false, "was"));
}

const edgesOf = (drawing) => drawing.shapes.filter((shape) => shape.kind === "wood" || shape.kind === "waste")
  .flatMap(({ points }) => points.map((point, i) => [point, points[(i + 1) % points.length]]));

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

function passes([ax, ay], [bx, by], [x, y]) {
  const dx = bx - ax, dy = by - ay, length = Math.hypot(dx, dy);
  if (!length) return false;
  const share = (dx * (x - ax) + dy * (y - ay)) / length ** 2;
  return share >= -1e-6 && share <= 1 + 1e-6 && Math.abs(dx * (y - ay) - dy * (x - ax)) / length < ON_EDGE;
}

// How far a handle is from the nearest other (mm).
function room(one, handles) {
  const away = handles.filter((other) => other !== one).map((other) => Math.hypot(one.at[0] - other.at[0], one.at[1] - other.at[1]));
  return Math.min(...away.filter((gap) => gap > 0.01), 50);
}

// Two points away from the middle, the way the handle goes.
function knob(size, down) {
  const long = size * 1.5;
  return down ? `M0 ${-long}L${size} 0L0 ${long}L${-size} 0Z` : `M${-long} 0L0 ${-size}L${long} 0L0 ${size}Z`;
}
