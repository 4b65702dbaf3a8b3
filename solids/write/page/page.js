// The page of a piece: what is asked for under the solid.
"use strict";
(() => {
  const at = (id) => document.getElementById(id);
  const shown = JSON.parse(at("scene").textContent);
  let view;

  function start() {
    try {
      view = solidView(at("view"), portray);
    } catch (error) {
      at("view").hidden = true;
      at("no-view").hidden = false;
      return;
    }
    for (const button of document.querySelectorAll("[data-corner]")) {
      button.onclick = () => view.closeTo(shown.corners[Number(button.dataset.corner)]);
    }
    view.read(shown);
    at("controls").addEventListener("input", show);
    at("controls").addEventListener("submit", (event) => event.preventDefault());
    for (const from of ["home", "front", "above"]) at(from).addEventListener("click", () => view.see(from));
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
    spoken("apart", far ? `${before}${lengthTold(far, shown.units)}${after}` : "seated");
    const gaps = at("gaps")?.checked, section = chosen("section");
    if (at("legend")) at("legend").hidden = !gaps;
    at("depth").disabled = section === "";
    let cut = null;
    spoken("depth", "whole");
    if (section !== "") {
      const axis = Number(section);
      const [low, high] = shown.reach.map((corner) => corner[axis]);
      cut = { axis, where: low + (high - low) * at("depth").value / 1000 };
      spoken("depth", `${lengthTold(cut.where, shown.units)} ${shown.axes[axis]}`);
    }
    view.set({ state: chosen("state"), share, gaps, section: cut });
  }

  start();
})();
