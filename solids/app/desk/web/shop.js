// My shop: what holds for every piece that does not say otherwise, a control for each setting.

import { controls } from "./controls.js";
import { el, fresh, put, say } from "./dom.js";
import { notice, saved, tried } from "./notices.js";
import { sending } from "./sending.js";
import { stepKeys } from "./steps.js";
import { ask, when } from "./wire.js";

const TITLES = {
  "": "You", kit: "Your tools", climate: "The air", "climate.home": "The air of the home, over the year", paper: "Paper and drawings",
  print: "Your printer", "print.magnet": "Your magnets", "aids.marker": "The marking template",
};
const ELSEWHERE = "My shop was changed in another window or program. You see it as it is now; Undo takes it back.";

let open = null; // what hears the server's news, while the shop is shown
when("news", (news) => {
  if (news.event !== "shop") return;
  broken(news.words);
  open?.news(news);
});
when("back", () => open?.back());

// Above every view: that the shop cannot be used as it stands.
function broken(words) {
  const band = document.getElementById("broken");
  put(band, "hidden", !words);
  if (band.dataset.words === words) return;
  band.dataset.words = words;
  band.replaceChildren(...(words ? [el("p", {}, words), el("a", { class: "button plain", href: "#/shop" }, "See what is wrong")] : []));
}

// Shows the shop in `place`, with the control of a `key` in hand where one is named. Gives a function that ends it.
export async function shopView(place, key, called) {
  const found = await tried(() => Promise.all([ask("api/shop"), ask("api/shop/controls")]));
  if (!place.isConnected) return undefined; // it was left before this came
  called("My shop", "");
  if (!found) {
    place.append(el("h1", { tabindex: -1 }, "My shop cannot be shown"), el("p", {}, el("a", { href: "#/" }, "Back to the shelf")));
    return undefined;
  }
  const [first, asked] = found;
  const parts = skeleton(place, key);
  let state = first, heard = 0;
  const sender = sending({ at: "api/shop", arrived, failed: (error) => notice(error.message, true), working });
  const wanted = (changes) => sender.set(changes);
  const rows = controls(parts.controls, asked.keys, "both", wanted, { titles: TITLES });
  const own = woods(parts, asked.wood, wanted);

  function arrived(next, job) {
    if (next.version < state.version && job.what !== "look") return;
    state = next;
    if (next.told) notice(next.told);
    render();
  }

  function render() {
    put(parts.undo, "disabled", !state.can_undo);
    put(parts.redo, "disabled", !state.can_redo);
    say(parts.note, state.note);
    put(parts.note, "hidden", !state.note);
    say(parts.file, state.is_there ? `Your shop is kept in ${state.file}.` : `Your shop will be kept in ${state.file}, from your first change on.`);
    for (const part of [parts.keys, parts.woods]) put(part, "hidden", !state.can_change);
    rows.show(state);
    own.show(state);
    const wrong = state.can_change || state.problems.length ? state.problems : [{ wrong: state.unsaved, accepted: "" }];
    put(parts.problems, "hidden", !wrong.length);
    parts.problems.replaceChildren(el("h2", {}, "This cannot be used as it stands"), el("ul", {}, wrong.map((one) => el("li", {},
      el("p", {}, one.wrong), one.accepted ? el("p", { class: "accepted" }, one.accepted) : null))));
    saved(sender.idle() ? "saved" : "saving", state.unsaved);
  }

  function working(how) {
    saved(how, state.unsaved);
    if (how === "saved" && heard > state.version) elsewhere();
  }

  async function elsewhere() {
    const was = state.version;
    heard = 0;
    await sender.fetchNow();
    if (state.version > was) notice(ELSEWHERE);
  }

  const here = {
    news({ version, words }) {
      heard = Math.max(heard, version);
      if (!sender.idle()) return;
      if (heard > state.version) elsewhere();
      else if (Boolean(words) === state.good) sender.fetchNow();
    },
    back() {
      heard = 0;
      sender.resume();
    },
  };

  open = here;
  parts.undo.addEventListener("click", () => sender.step("undo"));
  parts.redo.addEventListener("click", () => sender.step("redo"));
  const noKeys = stepKeys(place, (what) => { if (state[what === "undo" ? "can_undo" : "can_redo"]) sender.step(what); });
  const unsent = (event) => { if (!sender.idle()) event.preventDefault(); };
  addEventListener("beforeunload", unsent);
  render();
  if (key) rows.goTo(key) || own.goTo(key);
  return () => {
    if (open === here) open = null;
    saved("");
    noKeys();
    removeEventListener("beforeunload", unsent);
  };
}

function skeleton(place, key) {
  const [, , , from] = location.hash.split("/"); // the piece that led here
  const parts = {
    undo: el("button", { type: "button", title: "Ctrl+Z" }, "Undo"),
    redo: el("button", { type: "button", title: "Ctrl+Shift+Z" }, "Redo"),
    note: el("p", { class: "band", hidden: true }),
    problems: el("section", { class: "problems", "aria-label": "What is wrong", hidden: true }),
    controls: el("div", { class: "controls" }),
    list: el("div", { class: "controls" }),
    form: el("form", { class: "new-wood" }),
    file: el("p", { class: "quiet" }),
  };
  parts.keys = el("section", { class: "settings card", "aria-label": "Settings" }, parts.controls);
  parts.woods = el("section", { class: "settings card", "aria-labelledby": "woods-head" }, el("h2", { id: "woods-head" }, "Woods of your own"),
    el("p", { class: "about" }, "A wood that is not among those the tool knows. Give it a name here, and pieces can name it."), parts.list, parts.form);
  place.append(el("article", { class: "my-shop" },
    el("header", { class: "head" }, el("h1", { tabindex: -1 }, "My shop"), el("div", { class: "doing" }, parts.undo, parts.redo,
      from ? el("a", { class: "button", href: `#/piece/${from}/${encodeURIComponent(key)}` }, `Back to ${decodeURIComponent(from)}`) : null)),
    el("p", {}, "What you set here holds for every piece that does not say otherwise itself. What you leave out, the tool decides."),
    parts.note, parts.problems, parts.keys, parts.woods, parts.file));
  return parts;
}

// The maker's own woods, each with what is said of it, and a new one.
function woods(parts, asked, wanted) {
  const name = el("input", { id: fresh("name"), type: "text", autocomplete: "off", placeholder: "such as plum" });
  const kind = el("select", { id: fresh("kind") }, ["hardwood", "softwood"].map((one) => el("option", { value: one }, one)));
  const density = el("input", { id: fresh("density"), type: "text", autocomplete: "off", inputmode: "decimal", placeholder: "such as 750" });
  const line = (words, field) => el("div", { class: "ask" }, el("label", { for: field.id }, words), field);
  parts.form.append(line("Name of a new wood", name), line("Kind of tree", kind), line("Density, kg/m3 at 12 % moisture", density), el("button", { type: "submit" }, "Add this wood"));
  parts.form.addEventListener("submit", (event) => {
    event.preventDefault();
    const given = name.value.trim();
    const lacking = [name, density].find((field) => !field.value.trim());
    if (lacking) return lacking.focus();
    wanted({ [`woods.${given}`]: { kind: kind.value, density: density.value.trim() } });
    for (const field of [name, density]) field.value = "";
    return name.focus();
  });
  let names = "", rows = [];

  function made(wood) {
    const host = el("div", { class: "controls" }), table = `woods.${wood}`, problem = el("div", { class: "wrong", hidden: true });
    const keys = asked.map((one) => ({ ...one, key: `${table}.${one.key}`, table }));
    const away = el("button", { type: "button", class: "plain", on: { click: () => wanted({ [table]: null }) } }, `Take ${wood} away`);
    parts.list.append(el("div", { class: "wood" }, host, problem, away));
    return { table, problem, ...controls(host, keys, "both", wanted, { titles: { [table]: wood } }) };
  }

  function show(state) {
    if (state.woods.join("\n") !== names) {
      names = state.woods.join("\n");
      parts.list.replaceChildren();
      rows = state.woods.map(made);
    }
    for (const one of rows) {
      const told = state.keys[one.table]?.problem;
      one.show(state);
      put(one.problem, "hidden", !told);
      one.problem.replaceChildren(...(told ? [el("p", {}, told.wrong), el("p", { class: "accepted" }, told.accepted)] : []));
    }
  }

  return { show, goTo: (key) => rows.some((one) => one.goTo(key)) };
}
