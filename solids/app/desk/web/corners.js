// Which of a box's corners is shown, where only their kinds matter: one choice for each kind, called by its corners. Where a
// corner itself is meant, it is picked in the plan of the box.

import { el, fresh, put } from "./dom.js";

// A choice in `node`; `picked()` is told when it changes. `show(titles)` offers these and gives the one that is chosen: what was
// chosen before stays, if it is still there.
export function cornerChoice(picked) {
  const node = el("fieldset", { class: "joints", hidden: true }), group = fresh("corner");
  let offered = [], chosen = "";

  function choose(title) {
    chosen = title;
    picked();
  }

  function show(titles) {
    if (!titles.includes(chosen)) chosen = titles[0] ?? "";
    put(node, "hidden", titles.length < 2);
    if (titles.join("\n") !== offered.join("\n")) {
      offered = titles;
      node.replaceChildren(el("legend", {}, "Corner"), ...titles.map((title) => el("label", {},
        el("input", { type: "radio", name: group, value: title, on: { change: () => choose(title) } }), ` ${title}`)));
    }
    for (const each of node.querySelectorAll("input")) each.checked = each.value === chosen;
    return chosen;
  }

  return { node, show };
}
