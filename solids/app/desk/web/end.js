// The way out: a button on every view ends the bench, and what all pages show then.

import { el } from "./dom.js";
import { forget, saved, tried } from "./notices.js";
import { ask, finish, when } from "./wire.js";

const at = (id) => document.getElementById(id);

// `leave` is called before the view gives way.
export function ending(leave) {
  const button = at("end");
  button.addEventListener("click", async () => {
    button.disabled = true;
    const done = await tried(() => ask("api/end", {}));
    button.disabled = false;
    if (done) ended();
  });
  when("news", (news) => {
    if (news.event === "ended") ended();
  });

  // The answer and the news both say so; whichever comes first is enough.
  function ended() {
    if (!button.isConnected) return;
    button.remove();
    finish();
    leave();
    forget();
    saved("");
    for (const one of document.querySelectorAll(".top a")) one.remove();
    const head = el("h1", { tabindex: -1 }, "The bench has ended");
    at("view").replaceChildren(el("div", { class: "card ended" }, head,
      el("p", {}, "Every change is on disk. You may close this page."),
      el("p", {}, "To go on, start the bench again as you did before.")));
    document.title = "The bench has ended";
    head.focus();
  }
}
