// The proof in one line that opens. It is of one version of the recipe: of any other it says nothing.

import { el, fresh, put, say } from "./dom.js";

const SIGNS = { pass: "\u2713", warning: "!", fail: "\u2715", note: "\u00b7", wait: "\u2026" };
const SAID = { pass: "Proved.", warning: "Proved.", fail: "Fails its proof. Do not cut it." };

export function proof(host) {
  const sign = el("span", { class: "sign", "aria-hidden": "true" }), line = el("span", { class: "line" });
  const list = el("ul", { id: fresh("findings"), class: "findings", hidden: true });
  const more = el("button", { type: "button", class: "plain", "aria-expanded": "false", "aria-controls": list.id, hidden: true, on: { click: turn } }, "What was checked");
  host.append(el("div", { class: "verdict" }, sign, el("p", { role: "status" }, line), more), list);
  let known = null, none = null;

  function turn() {
    const isOpen = more.getAttribute("aria-expanded") === "true";
    put(more, "aria-expanded", String(!isOpen));
    put(list, "hidden", isOpen);
  }

  // What may be said of a state: nothing good while it cannot be cut, or before its own proof has come.
  function state(now) {
    const held = known?.version === now.version ? known.proof : null;
    if (now.problems.length || !now.good) show("fail", "Not proved: this cannot be cut as it stands.", []);
    else if (held) show(held.severity, `${SAID[held.severity] ?? ""} ${held.line}`.trim(), held.findings ?? []);
    else if (none?.version === now.version) show("fail", `Not proved. ${none.words}`, []);
    else show("wait", "Being proved.", []);
  }

  function show(severity, words, findings) {
    put(host, "data-severity", severity);
    say(sign, SIGNS[severity] ?? "");
    say(line, words);
    put(more, "hidden", !findings.length);
    if (!findings.length) { put(list, "hidden", true); put(more, "aria-expanded", "false"); }
    list.replaceChildren(...findings.map((one) => el("li", { "data-severity": one.severity },
      el("strong", {}, { pass: "passes", warning: "warning", fail: "fails", note: "note" }[one.severity] ?? one.severity), " ", one.sentence,
      one.remedy ? el("span", { class: "remedy" }, ` ${one.remedy}`) : null)));
  }

  function came(news, now) {
    known = news;
    state(now);
  }

  // No proof of this version will come.
  function gaveUp(news, now) {
    none = news;
    state(now);
  }

  return { state, came, gaveUp, isOf: (now) => known?.version === now.version };
}
