// Figures in rows of words and values. One that the last change changed is marked, with what it was.

import { el, renew } from "./dom.js";

// `before` are the rows before that change; without them nothing is marked.
export function figures(host, rows, before) {
  const was = new Map((before ?? []).map(({ words, value }) => [words, value]));
  renew(host, rows.map(({ words, value }) => {
    const old = was.get(words), isNew = Boolean(before) && old !== value;
    return el("div", { class: isNew ? "changed" : null }, el("dt", {}, words), el("dd", {}, value,
      isNew ? el("span", { class: "was" }, old === undefined ? "new" : `was ${old}`) : null));
  }));
}
