// Which view is shown, by the address behind #.

import { say } from "./dom.js";
import { forget, notice } from "./notices.js";
import { listen, when } from "./wire.js";

// The view and the recipe that the address names.
function there() {
  const [, view = "", name = ""] = location.hash.split("/");
  try {
    return [view, decodeURIComponent(name)];
  } catch {
    return ["", ""]; // an address that was typed wrong
  }
}

// Begins to show `views` by their names; the first is shown where a name is not known. `page` is what the page is called, and
// `away` what is said to who looks at a recipe that was put away. Gives a function that ends it.
export function begin(views, page, away) {
  const main = document.getElementById("view");
  const [first] = Object.values(views);
  let leave = null, turn = 0; // what ends the view that is shown; null where it could not be shown

  async function go() {
    const [view, name] = there();
    const now = (turn += 1);
    leave?.();
    leave = null;
    forget();
    const place = document.createElement("div");
    main.replaceChildren(place);
    // A view that was left before it came names nothing any more.
    const left = await (views[view] ?? first)(place, name, (...words) => { if (now === turn) called(...words); });
    if (now !== turn) return left?.();
    leave = left ?? null;
    if (now > 1 && !place.contains(document.activeElement)) place.querySelector("h1")?.focus();
  }

  // What the view is called, in the window's title and in the line on top, where no link there says so already.
  function called(words, where = words) {
    document.title = words ? `${words} - ${page.toLowerCase()}` : page;
    say(document.getElementById("where"), where);
  }

  document.querySelector(".skip").addEventListener("click", (event) => {
    event.preventDefault();
    main.focus();
  });
  addEventListener("hashchange", go);
  when("back", () => leave ?? go());
  // A recipe that is shown here got another name, or was put away, in another window.
  when("news", (news) => {
    const [view, name] = there();
    if (!view || news.name !== name) return;
    if (news.event === "renamed") location.replace(`#/${view}/${encodeURIComponent(news.to)}`);
    if (news.event === "away") {
      addEventListener("hashchange", () => notice(`${name} was put away in another window. ${away}`), { once: true });
      location.replace("#/");
    }
  });
  listen();
  go();
  return () => {
    turn += 1;
    removeEventListener("hashchange", go);
    leave?.();
  };
}
