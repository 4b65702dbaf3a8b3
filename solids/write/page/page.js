// The page of a piece: what is asked for under the solid, and a page that is served while the recipe is worked on.
"use strict";
(() => {
  const at = (id) => document.getElementById(id);
  const data = () => JSON.parse(at("scene").textContent);
  let view, shown;

  function start() {
    try {
      view = solidView(at("view"), portray);
    } catch (error) {
      at("view").hidden = true;
      at("no-view").hidden = false;
      return;
    }
    read();
    at("controls").addEventListener("input", show);
    at("controls").addEventListener("submit", (event) => event.preventDefault());
    for (const from of ["home", "front", "above"]) at(from).addEventListener("click", () => view.see(from));
  }

  function read() {
    shown = data();
    for (const button of document.querySelectorAll("[data-corner]")) {
      button.onclick = () => view.closeTo(shown.corners[Number(button.dataset.corner)]);
    }
    view.read(shown);
    show();
  }

  // A browser prints a canvas as it last showed it, in another shape and on its own ground. So the picture for paper is
  // made beforehand, whenever the view has come to rest.
  function portray() {
    at("on-paper").src = view.picture(1600, 800, "#ffffff");
  }

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
    let cut = null;
    spoken("depth", "whole");
    if (section !== "") {
      const axis = Number(section);
      const [low, high] = shown.reach.map((corner) => corner[axis]);
      cut = { axis, where: low + (high - low) * at("depth").value / 1000 };
      spoken("depth", `${cut.where.toFixed(1)} mm ${shown.axes[axis]}`);
    }
    view.set({ state: chosen("state"), share, gaps, section: cut });
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
    if (view) read();
  }

  start();
  if ("live" in document.documentElement.dataset) {
    const events = new EventSource("events");
    events.onmessage = follow;
    events.onerror = () => { cut_off = true; };
  }
})();
