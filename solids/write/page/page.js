// The piece to turn, to take apart and to cut open. Lengths in mm, in the frame of the piece, Z up.
"use strict";
(() => {
  const at = (id) => document.getElementById(id);
  const canvas = at("view");
  const data = () => JSON.parse(at("scene").textContent);
  // The front looks toward +Y at 0, and toward -Y at pi. At home the eye stands to its right in both.
  const facing = data().facing;
  const HOME = { turn: facing + 0.52 * Math.cos(facing), tilt: 0.56, zoom: 1 };
  const FRONT = { turn: facing, tilt: 0, zoom: 1 };
  const ABOVE = { turn: facing, tilt: Math.PI / 2, zoom: 1 };
  const STEP = Math.PI / 36;
  const look = { ...HOME };
  let scene, camera, renderer, boards, shown, waiting = false, resting = 0, drawn = 0;

  function start() {
    try {
      renderer = new THREE.WebGLRenderer({ canvas, antialias: true, preserveDrawingBuffer: true });
    } catch (error) {
      canvas.hidden = true;
      at("no-view").hidden = false;
      return;
    }
    renderer.localClippingEnabled = true;
    camera = new THREE.OrthographicCamera(-1, 1, 1, -1, -1e5, 1e5);
    camera.up.set(0, 0, 1);
    read();
    new ResizeObserver(draw).observe(canvas);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
    canvas.addEventListener("webglcontextrestored", draw);
    listen();
  }

  // --- the model --------------------------------------------------------------------------------

  function read() {
    shown = data();
    if (scene) scene.traverse((item) => { item.geometry?.dispose(); item.material?.dispose(); });
    scene = new THREE.Scene();
    scene.add(new THREE.AmbientLight(0xffffff, 0.62));
    const lamp = new THREE.DirectionalLight(0xffffff, 0.5);
    lamp.position.set(0.35, 0.55, 1);
    scene.add(lamp);
    boards = {};
    for (const [state, pair] of Object.entries(shown.states)) boards[state] = pair.map(board);
    show();
  }

  function board(record) {
    const corners = record.triangles.flatMap((i) => record.points.slice(3 * i, 3 * i + 3));
    const shape = new THREE.BufferGeometry();
    shape.setAttribute("position", new THREE.Float32BufferAttribute(corners, 3));
    shape.computeVertexNormals();
    const wood = new THREE.Color(record.colour);
    const paints = record.gaps.map((gap) => (gap ? new THREE.Color(shown.gaps[gap]) : wood.clone().lerp(new THREE.Color("#999"), 0.65)));
    const plain = new THREE.Float32BufferAttribute(record.gaps.flatMap(() => [wood, wood, wood].flatMap((c) => c.toArray())), 3);
    const met = new THREE.Float32BufferAttribute(paints.flatMap((c) => [c, c, c].flatMap((x) => x.toArray())), 3);
    const outside = new THREE.MeshLambertMaterial({ vertexColors: true, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
    // A closed body that is cut open shows the inside of its far faces: one flat colour there looks like the cut itself.
    const inside = new THREE.MeshBasicMaterial({ color: wood.clone().lerp(new THREE.Color("#fff"), 0.35), side: THREE.BackSide,
      polygonOffset: true, polygonOffsetFactor: -2, polygonOffsetUnits: -2 });
    const lines = new THREE.BufferGeometry();
    lines.setAttribute("position", new THREE.Float32BufferAttribute(record.edges, 3));
    const ink = new THREE.LineBasicMaterial({ color: "#2b2119" });
    const group = new THREE.Group();
    const cut = new THREE.Mesh(shape, inside);
    group.add(new THREE.Mesh(shape, outside), cut, new THREE.LineSegments(lines, ink));
    group.visible = false;
    scene.add(group);
    return { group, cut, shape, plain, met, materials: [outside, inside, ink], away: record.away };
  }

  // --- what is asked for ------------------------------------------------------------------------

  const chosen = (name) => document.querySelector(`input[name=${name}]:checked`).value;

  function show() {
    const share = at("apart").value / 100;
    const far = share * shown.apart;
    const [before, after] = shown.moved;
    const spoken = (id, words) => {
      at(`${id}-out`).textContent = words;
      at(id).setAttribute("aria-valuetext", words);
    };
    spoken("apart", far ? `${before}${far.toFixed(1)} mm${after}` : "seated");
    const gaps = at("gaps")?.checked, section = chosen("section");
    if (at("legend")) at("legend").hidden = !gaps;
    at("depth").disabled = section === "";
    const planes = [];
    spoken("depth", "whole");
    if (section !== "") {
      const axis = Number(section);
      const [low, high] = shown.reach.map((corner) => corner[axis]);
      const where = low + (high - low) * at("depth").value / 1000;
      const away = new THREE.Vector3();
      away.setComponent(axis, -1);
      planes.push(new THREE.Plane(away, where));
      spoken("depth", `${where.toFixed(1)} mm ${shown.axes[axis]}`);
    }
    for (const [state, pair] of Object.entries(boards)) {
      pair.forEach(({ group, cut, shape, plain, met, materials, away }) => {
        group.visible = state === chosen("state");
        group.position.fromArray(away).multiplyScalar(share);
        cut.visible = planes.length > 0;
        shape.setAttribute("color", gaps ? met : plain);
        for (const material of materials) material.clippingPlanes = planes;
      });
    }
    draw();
  }

  // --- drawing, only when something has changed -------------------------------------------------

  function draw() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; paint(); });
  }

  const onScreen = () => [
    Math.min(devicePixelRatio, 2), getComputedStyle(document.documentElement).getPropertyValue("--stage").trim(),
  ];

  function paint() {
    const width = canvas.clientWidth, height = canvas.clientHeight;
    if (!width || !height) return;
    render(width, height, ...onScreen());
    drawn += 1;
    canvas.dataset.drawn = drawn;
    canvas.dataset.triangles = renderer.info.render.triangles;
    clearTimeout(resting);
    if (drawn === 1) portray();
    else resting = setTimeout(portray, 300);
  }

  // A browser prints a canvas as it last showed it, in another shape and on its own ground. So the picture for paper is
  // made beforehand, whenever the view has come to rest.
  function portray() {
    render(1600, 800, 1, "#ffffff");
    at("on-paper").src = canvas.toDataURL();
    const width = canvas.clientWidth, height = canvas.clientHeight;
    if (width && height) render(width, height, ...onScreen());
  }

  function render(width, height, sharpness, ground) {
    renderer.setPixelRatio(sharpness);
    renderer.setSize(width, height, false);
    renderer.setClearColor(ground);
    const cosine = Math.cos(look.tilt), toward = new THREE.Vector3(
      Math.sin(look.turn) * cosine, Math.cos(look.turn) * cosine, Math.sin(look.tilt));
    const [low, high] = shown.frame.map((corner) => new THREE.Vector3(...corner));
    const middle = low.clone().add(high).multiplyScalar(0.5), reach = 0.56 * low.distanceTo(high) / look.zoom;
    const share = Math.min(width, height);
    camera.right = reach * width / share;
    camera.top = reach * height / share;
    camera.left = -camera.right;
    camera.bottom = -camera.top;
    camera.up.set(-Math.sin(look.turn) * Math.sin(look.tilt), -Math.cos(look.turn) * Math.sin(look.tilt), cosine);
    camera.position.copy(middle).add(toward);
    camera.lookAt(middle);
    camera.updateProjectionMatrix();
    renderer.render(scene, camera);
  }

  // --- hands and keys ---------------------------------------------------------------------------

  function turn(by, up) {
    look.turn += by;
    look.tilt = Math.max(-Math.PI / 2, Math.min(Math.PI / 2, look.tilt + up));
    draw();
  }

  function closer(factor) {
    look.zoom = Math.max(0.3, Math.min(20, look.zoom * factor));
    draw();
  }

  function listen() {
    at("controls").addEventListener("input", show);
    at("controls").addEventListener("submit", (event) => event.preventDefault());
    for (const [id, view] of [["home", HOME], ["front", FRONT], ["above", ABOVE]]) {
      at(id).addEventListener("click", () => { Object.assign(look, view); draw(); });
    }
    const keys = {
      ArrowLeft: () => turn(STEP, 0), ArrowRight: () => turn(-STEP, 0), ArrowUp: () => turn(0, STEP),
      ArrowDown: () => turn(0, -STEP), "+": () => closer(1.15), "=": () => closer(1.15), "-": () => closer(1 / 1.15),
      "0": () => { Object.assign(look, HOME); draw(); },
    };
    canvas.addEventListener("keydown", (event) => {
      if (!keys[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      keys[event.key]();
    });
    const fingers = new Map();
    const spread = () => { const [a, b] = [...fingers.values()]; return Math.hypot(a.x - b.x, a.y - b.y); };
    canvas.addEventListener("pointerdown", (event) => {
      canvas.setPointerCapture(event.pointerId);
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    });
    canvas.addEventListener("pointermove", (event) => {
      const before = fingers.get(event.pointerId);
      if (!before) return;
      const was = fingers.size === 2 ? spread() : 0;
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      if (fingers.size === 1) turn(-(event.clientX - before.x) / 150, (event.clientY - before.y) / 150);
      else if (was) closer(spread() / was);
    });
    for (const end of ["pointerup", "pointercancel"]) {
      canvas.addEventListener(end, (event) => fingers.delete(event.pointerId));
    }
    // The page scrolls past the model until somebody has clicked on it. A pinch on a touchpad comes as Ctrl and wheel.
    canvas.addEventListener("wheel", (event) => {
      if (document.activeElement !== canvas && !event.ctrlKey) return;
      event.preventDefault();
      closer(Math.exp(-event.deltaY / 600));
    }, { passive: false });
  }

  // --- a page that is served while the recipe is worked on --------------------------------------

  let asked = 0, cut_off = false;

  async function follow(event) {
    const { version, trouble } = JSON.parse(event.data);
    const turn = ++asked;
    at("trouble").textContent = trouble;
    at("trouble").hidden = !trouble;
    // After a break another run may answer, which counts its versions from 1 again.
    if (trouble || (!cut_off && String(version) === document.documentElement.dataset.live)) return;
    const fresh = new DOMParser().parseFromString(await (await fetch(location.href)).text(), "text/html");
    if (turn !== asked) return; // a later answer is on its way, or there already
    // Other pieces have other controls and another front: when one turns into another, the view begins anew.
    if (fresh.getElementById("model-head").textContent !== at("model-head").textContent) return location.reload();
    cut_off = false;
    // A region that is read aloud when it changes must stay the same element.
    at("verdict").className = fresh.getElementById("verdict").className;
    at("verdict").textContent = fresh.getElementById("verdict").textContent;
    for (const id of ["title", "headline", "woods", "layout", "proof", "scene"]) {
      at(id).replaceWith(document.importNode(fresh.getElementById(id), true));
    }
    document.title = fresh.title;
    document.documentElement.dataset.live = fresh.documentElement.dataset.live;
    if (renderer) read();
  }

  start();
  if ("live" in document.documentElement.dataset) {
    const events = new EventSource("events");
    events.onmessage = follow;
    events.onerror = () => { cut_off = true; };
  }
})();
