// A piece as a solid, drawn by three.js on a canvas: to turn, to take apart and to cut open. Lengths in mm, in the frame of
// the piece, Z up. `solidView` is a function of the page, as this file is also written into a page that opens from disk.
"use strict";
// A length in the maker's units.
globalThis.lengthTold = (mm, units) => (units === "in" ? `${(mm / 25.4).toFixed(2)} in` : `${mm.toFixed(1)} mm`);

// Where WebGL is missing it throws. `rested` is called once the first picture is drawn, and when the view has come to rest.
globalThis.solidView = (canvas, rested = () => {}) => {
  const STEP = Math.PI / 36;
  const look = { turn: 0, tilt: 0, zoom: 1, corner: null };
  const asked = { state: "cut", share: 0, gaps: false, section: null };
  let scene, boards, places, shown, waiting = false, resting = 0, drawn = 0;
  const renderer = new THREE.WebGLRenderer({ canvas, antialias: true, preserveDrawingBuffer: true });
  const camera = new THREE.OrthographicCamera(-1, 1, 1, -1, -1e5, 1e5);
  renderer.localClippingEnabled = true;
  camera.up.set(0, 0, 1);

  // --- the model --------------------------------------------------------------------------------

  // Puts a piece on the canvas. The first is seen from home; after that the eye stays where it is.
  function read(record) {
    const first = !shown;
    shown = record;
    if (scene) scene.traverse((item) => { item.geometry?.dispose(); item.material?.dispose(); });
    scene = new THREE.Scene();
    boards = {};
    for (const [state, pair] of Object.entries(shown.states)) boards[state] = pair.map(board);
    // All that is ever in sight: every point of every part, in its place and taken apart.
    places = shown.states.cut.flatMap(({ points, away }) => points.flatMap((_, i) => (i % 3 ? [] :
      [0, 1].map((share) => new THREE.Vector3(...points.slice(i, i + 3)).addScaledVector(new THREE.Vector3(...away), share)))));
    if (first) see("home");
    show();
  }

  function board(record, order) {
    const corners = record.triangles.flatMap((i) => record.points.slice(3 * i, 3 * i + 3));
    const shape = new THREE.BufferGeometry();
    shape.setAttribute("position", new THREE.Float32BufferAttribute(corners, 3));
    const wood = new THREE.Color(record.colour);
    const grey = wood.clone().lerp(new THREE.Color("#999"), 0.65);
    // The light is worked out beforehand, as for the picture.
    const paint = (colour) => new THREE.Float32BufferAttribute(record.shades.flatMap((shade, i) => {
      const lit = colour(i).clone().multiplyScalar(shade).toArray();
      return [...lit, ...lit, ...lit];
    }), 3);
    const plain = paint(() => wood);
    const met = paint((i) => (record.gaps[i] ? new THREE.Color(shown.gaps[record.gaps[i]]) : grey));
    const outside = new THREE.MeshBasicMaterial({ vertexColors: true, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
    const lines = new THREE.BufferGeometry();
    lines.setAttribute("position", new THREE.Float32BufferAttribute(record.edges, 3));
    const ink = new THREE.LineBasicMaterial({ color: "#2b2119" });
    const group = new THREE.Group();
    const skin = new THREE.Mesh(shape, outside), rim = new THREE.LineSegments(new THREE.BufferGeometry(), ink.clone());
    const [counters, cut] = cap(shape, wood, order);
    skin.renderOrder = 1000;
    group.add(skin, ...counters, new THREE.LineSegments(lines, ink), rim);
    group.visible = cut.visible = false;
    scene.add(group, cut);
    const clipped = [outside, ink, ...counters.map((counter) => counter.material)];
    return { group, counters, cut, rim, corners, shape, plain, met, clipped, away: record.away };
  }

  // A closed body that is cut open has a back face without a front face before it just where the cut is solid. Counting
  // both in the stencil, body by body, leaves a mark there; a sheet in the plane of the cut is painted where the mark is.
  function cap(shape, wood, order) {
    const counters = [[THREE.BackSide, THREE.IncrementWrapStencilOp], [THREE.FrontSide, THREE.DecrementWrapStencilOp]].map(([side, count]) => {
      const counter = new THREE.Mesh(shape, new THREE.MeshBasicMaterial({ side, colorWrite: false, depthWrite: false, depthTest: false,
        stencilWrite: true, stencilFunc: THREE.AlwaysStencilFunc, stencilFail: count, stencilZFail: count, stencilZPass: count }));
      counter.renderOrder = 2 * order;
      return counter;
    });
    const sheet = new THREE.Mesh(new THREE.PlaneGeometry(1, 1), new THREE.MeshBasicMaterial({
      color: wood.clone().lerp(new THREE.Color("#fff"), 0.35), side: THREE.DoubleSide, polygonOffset: true, polygonOffsetFactor: 1,
      polygonOffsetUnits: 1, stencilWrite: true, stencilRef: 0, stencilFunc: THREE.NotEqualStencilFunc,
      stencilFail: THREE.ReplaceStencilOp, stencilZFail: THREE.ReplaceStencilOp, stencilZPass: THREE.ReplaceStencilOp }));
    sheet.renderOrder = 2 * order + 1;
    sheet.onAfterRender = () => renderer.clearStencil();
    return [counters, sheet];
  }

  // Lays a sheet across an axis, larger than all that is ever in sight.
  function lay(sheet, axis, where) {
    const [low, high] = shown.reach.map((corner) => new THREE.Vector3(...corner));
    const facing = new THREE.Vector3().setComponent(axis, 1);
    sheet.position.copy(low).add(high).multiplyScalar(0.5).setComponent(axis, where);
    sheet.quaternion.setFromUnitVectors(new THREE.Vector3(0, 0, 1), facing);
    sheet.scale.setScalar(2 * low.distanceTo(high));
  }

  // Where a plane across an axis cuts a body's triangles: the outline of the cut, as pairs of points.
  function outline(corners, axis, where) {
    const ends = [];
    for (let i = 0; i < corners.length; i += 9) {
      const crossed = [];
      for (let k = 0; k < 3; k += 1) {
        const a = corners.slice(i + 3 * k, i + 3 * k + 3), b = corners.slice(i + 3 * ((k + 1) % 3), i + 3 * ((k + 1) % 3) + 3);
        const from = a[axis] - where, to = b[axis] - where;
        if (from < 0 !== to < 0) crossed.push(a.map((x, n) => x + (b[n] - x) * (from / (from - to))));
      }
      if (crossed.length === 2) ends.push(...crossed[0], ...crossed[1]);
    }
    return ends;
  }

  // --- what is asked for ------------------------------------------------------------------------

  // Any of: the `state` ("cut" or "finished"), the `share` of the way apart, whether `gaps` are coloured, and the `section`,
  // an axis and where it is cut across, or null.
  function set(wanted) {
    Object.assign(asked, wanted);
    if (shown) show();
  }

  function show() {
    const { state, share, gaps, section } = asked;
    const planes = section ? [new THREE.Plane(new THREE.Vector3().setComponent(section.axis, -1), section.where)] : [];
    for (const [name, pair] of Object.entries(boards)) {
      pair.forEach(({ group, counters, cut, rim, corners, shape, plain, met, clipped, away }) => {
        group.visible = name === state;
        group.position.fromArray(away).multiplyScalar(share);
        shape.setAttribute("color", gaps ? met : plain);
        for (const material of clipped) material.clippingPlanes = planes;
        for (const part of [...counters, rim]) part.visible = !!section;
        cut.visible = !!section && group.visible;
        if (!cut.visible) return;
        const { axis, where } = section;
        rim.geometry.setAttribute("position", new THREE.Float32BufferAttribute(outline(corners, axis, where - away[axis] * share), 3));
        lay(cut, axis, where);
      });
    }
    draw();
  }

  // From "home", the "front" or "above". The front looks toward +Y where `facing` is 0, and toward -Y where it is pi. At home
  // the eye stands to its right in both.
  function see(from) {
    const { facing } = shown;
    const turn = { home: facing + 0.52 * Math.cos(facing), front: facing, above: facing }[from];
    Object.assign(look, { turn, tilt: { home: 0.56, front: 0, above: Math.PI / 2 }[from], zoom: 1, corner: null });
    draw();
  }

  function closeTo(corner) {
    Object.assign(look, { turn: corner.turn, tilt: 0.42, zoom: 1, corner });
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
    if (!scene || !width || !height) return;
    render(width, height, ...onScreen());
    drawn += 1;
    canvas.dataset.drawn = drawn;
    canvas.dataset.triangles = renderer.info.render.triangles;
    clearTimeout(resting);
    if (drawn === 1) rested();
    else resting = setTimeout(rested, 300);
  }

  // The view as a picture of another size and on another ground, as an address that holds its data.
  function picture(across, upward, ground) {
    render(across, upward, 1, ground);
    const found = canvas.toDataURL();
    const width = canvas.clientWidth, height = canvas.clientHeight;
    if (width && height) render(width, height, ...onScreen());
    return found;
  }

  function render(width, height, sharpness, ground) {
    renderer.setPixelRatio(sharpness);
    renderer.setSize(width, height, false);
    renderer.setClearColor(ground);
    const cosine = Math.cos(look.tilt), toward = new THREE.Vector3(
      Math.sin(look.turn) * cosine, Math.cos(look.turn) * cosine, Math.sin(look.tilt));
    const up = new THREE.Vector3(-Math.sin(look.turn) * Math.sin(look.tilt), -Math.cos(look.turn) * Math.sin(look.tilt), cosine);
    const { middle, across, upward } = look.corner ? closely(look.corner) : span(up.clone().cross(toward), up);
    // Whichever fills its way first, with some air.
    const scale = 0.53 * Math.max(across / width, upward / height) / look.zoom;
    camera.right = scale * width;
    camera.top = scale * height;
    camera.left = -camera.right;
    camera.bottom = -camera.top;
    camera.up.copy(up);
    camera.position.copy(middle).add(toward);
    camera.lookAt(middle);
    camera.updateProjectionMatrix();
    renderer.render(scene, camera);
  }

  // The middle of all that is ever in sight, and how far it reaches to the right and upward, as seen from here.
  function span(right, up) {
    const middle = new THREE.Vector3();
    const [across, upward] = [right, up].map((way) => {
      let low = Infinity, high = -Infinity;
      for (const place of places) {
        const at = place.dot(way);
        low = Math.min(low, at);
        high = Math.max(high, at);
      }
      middle.addScaledVector(way, (low + high) / 2);
      return high - low;
    });
    return { middle, across, upward };
  }

  const closely = ({ place, size }) => ({ middle: new THREE.Vector3(...place), across: size, upward: size });

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
    const keys = {
      ArrowLeft: () => turn(STEP, 0), ArrowRight: () => turn(-STEP, 0), ArrowUp: () => turn(0, STEP),
      ArrowDown: () => turn(0, -STEP), "+": () => closer(1.15), "=": () => closer(1.15), "-": () => closer(1 / 1.15),
      "0": () => see("home"),
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

  new ResizeObserver(draw).observe(canvas);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
  canvas.addEventListener("webglcontextrestored", draw);
  listen();
  return { read, set, see, closeTo, picture };
};
