// A piece at the bench, on whatever screen lies there: what is set, in large figures; the drawings; and the order of work, to
// tick off. Ticks are kept by the server, for every page and after a restart.

import { cornerChoice } from "./corners.js";
import { el, fresh, put, say } from "./dom.js";
import { drawings } from "./drawing.js";
import { notice, tried } from "./notices.js";
import { ask, Lost, when } from "./wire.js";

let open = null; // fetches the piece that is shown
const HEARD = ["state", "proof", "ticked"];
when("news", (news) => { if (HEARD.includes(news.event) && news.name === open?.name) open.look(); });
when("hears", () => open?.look());
when("back", () => open?.back());

const STAYS_ON = "The screen stays on while this page is open.";

// The view; `more(name)` gives buttons for the head of the page.
export const atBenchView = (more) => async function shown(place, name, called) {
  const path = `api/bench/${encodeURIComponent(name)}`;
  const first = await tried(() => ask(path));
  if (!place.isConnected) return undefined; // it was left before this came
  if (!first) {
    place.append(el("h1", { tabindex: -1 }, "This piece cannot be shown"), el("p", {}, el("a", { href: "#/" }, "Back to the shelf")));
    called("");
    return undefined;
  }
  const parts = skeleton(place, more(name));
  const corners = cornerChoice(() => render());
  parts.set.prepend(corners.node);
  const drawn = drawings(parts.drawings, { moved() {}, picked() {}, typed() {} });
  const waiting = new Map(); // ticks that the server has not answered yet, by their steps
  let state = first, sending = false, laid = null, turn = 0;

  function render() {
    const { work } = state;
    called(state.title);
    say(parts.title, state.title);
    problems(parts.problems, state);
    put(parts.good, "hidden", state.good || !work);
    put(parts.fails, "hidden", !work?.fails);
    say(parts.fails, work?.fails ?? "");
    for (const part of [parts.body, parts.next]) put(part, "hidden", !work);
    if (!work) return;
    const title = corners.show(work.joints.map((each) => each.title)), one = work.joints.find((each) => each.title === title);
    drawn.show({ drawings: one.drawings, handles: [] }, null);
    // Nothing in a drawing takes the focus here, and one of a wide board scrolls.
    for (const view of parts.drawings.children) for (const [key, value] of [["tabindex", 0], ["role", "region"], ["aria-label", view.firstChild.textContent]]) put(view, key, value);
    figures(parts.figures, [...one.figures, ...work.figures]);
    say(parts.time, work.time);
    stages(work);
    lists(work);
    tally(work);
  }

  // Steps are laid out anew only where one says something else, so that nothing jumps under a finger.
  function stages(work) {
    const said = JSON.stringify([work.stages.map(({ title, steps }) => [title, steps.map(({ step, how, said: before }) => [step, how, before])]), work.waits]);
    if (said !== laid) {
      const at = document.activeElement?.dataset?.step;
      parts.stages.replaceChildren(...work.stages.map(({ title, steps }) => {
        const head = fresh("stage");
        return el("section", { "aria-labelledby": head }, el("h3", { id: head }, title), el("ol", {}, steps.map((one) => row(one, tick))));
      }), ...(work.waits ? [el("p", { class: "waits" }, work.waits)] : []));
      if (at) boxOf(at)?.focus({ preventScroll: true });
      laid = said;
    }
    for (const { step, ticked } of work.stages.flatMap((one) => one.steps)) boxOf(step).checked = waiting.get(step)?.done ?? ticked;
  }

  const boxOf = (step) => [...parts.stages.querySelectorAll("input")].find((one) => one.dataset.step === step);

  function tally(work) {
    const all = work.stages.flatMap((one) => one.steps), done = all.filter((one) => waiting.get(one.step)?.done ?? one.ticked).length;
    const changed = all.filter((one) => one.said).length;
    say(parts.tally, [`${done} of ${all.length} steps ticked.`, changed ? `${changed} ${changed === 1 ? "step has" : "steps have"} changed since you ticked ${changed === 1 ? "it" : "them"}.` : ""].join(" "));
    put(parts.next, "hidden", done === all.length);
    put(parts.again, "hidden", !done && !changed && !state.gone.length);
    put(parts.back, "hidden", !state.can_go_back);
    put(parts.gone, "hidden", !state.gone.length);
    parts.gone.replaceChildren(el("p", {}, "You ticked these steps, which are not in the order of work any more:"), el("ul", {}, state.gone.map((one) => el("li", {}, one))));
  }

  function lists(work) {
    put(parts.cutList, "hidden", !work.cut_list);
    parts.cuts.replaceChildren(...(work.cut_list ? [table(work.cut_list)] : []));
    put(parts.watch, "hidden", !work.watch.length);
    parts.watch.replaceChildren(el("h2", {}, "Watch"), ...work.watch.map((words) => el("p", {}, words)));
    if (parts.cautions.childElementCount) return;
    parts.cautions.append(el("h2", {}, "Cautions"), ...work.cautions.map(({ topic, text }) => el("p", {}, el("strong", {}, `${topic}.`), ` ${text}`)));
  }

  function tick(one, done) {
    waiting.set(one.step, { step: one.step, words: one.how, done });
    tally(state.work);
    send();
  }

  // One tick after another; what could not be sent waits until the bench is back.
  async function send() {
    if (sending || !waiting.size) return;
    sending = true;
    const [[step, said]] = waiting;
    try {
      arrived(await ask(`${path}/tick`, said));
      if (waiting.get(step) === said) waiting.delete(step);
    } catch (error) {
      if (error instanceof Lost) {
        sending = false;
        return;
      }
      waiting.delete(step);
      notice(error.message, true);
      await here.look();
    }
    sending = false;
    if (open === here) render();
    send();
  }

  function arrived(next) {
    turn += 1;
    state = next;
  }

  async function act(what) {
    const next = await tried(() => ask(`${path}/${what}`, {}));
    if (!next) return;
    arrived(next);
    render();
    (what === "again" ? parts.back : parts.again).focus();
  }

  const here = {
    name,
    async look() {
      const asked = turn;
      const next = await tried(() => ask(path));
      // What was answered meanwhile is newer than this.
      if (!next || asked !== turn || open !== here) return;
      arrived(next);
      render();
    },
    back() {
      if (waiting.size) send();
      else here.look();
    },
  };

  open = here;
  parts.next.addEventListener("click", () => {
    const next = parts.stages.querySelector("input:not(:checked)");
    next?.closest("li").scrollIntoView({ block: "center" });
    next?.focus({ preventScroll: true });
  });
  parts.again.addEventListener("click", () => act("again"));
  parts.back.addEventListener("click", () => act("back"));
  const dark = awake(() => say(parts.awake, STAYS_ON));
  render();
  return () => {
    if (open === here) open = null;
    dark();
  };
};

function skeleton(place, buttons) {
  const parts = {
    title: el("h1", { tabindex: -1 }),
    problems: el("section", { class: "problems", "aria-label": "What cannot be cut", hidden: true }),
    fails: el("p", { class: "band bad", role: "alert", hidden: true }),
    good: el("p", { class: "last-good", hidden: true }, "The last good joint"),
    figures: el("dl", { class: "large" }),
    drawings: el("div", { class: "drawings" }),
    cuts: el("div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "Cut list" }),
    time: el("p", { class: "quiet" }),
    next: el("button", { type: "button", class: "main" }, "Next step"),
    tally: el("p", { class: "tally", role: "status" }),
    again: el("button", { type: "button", hidden: true }, "Begin again"),
    back: el("button", { type: "button", hidden: true }, "Bring the ticks back"),
    gone: el("div", { class: "changed", hidden: true }),
    stages: el("div", { class: "stages" }),
    watch: el("section", { class: "card watch", hidden: true }),
    cautions: el("section", { class: "card cautions" }),
    awake: el("p", { class: "quiet" }),
  };
  parts.cutList = el("section", { class: "card", hidden: true }, el("h2", {}, "Cut list"), parts.cuts);
  parts.set = el("div", { class: "set", tabindex: 0, role: "region", "aria-label": "Drawings and figures" },
    el("section", { class: "card", "aria-label": "Drawings" }, parts.drawings),
    el("section", { class: "card", "aria-label": "What to set" }, parts.figures),
    parts.cutList);
  parts.body = el("div", { class: "spread" }, parts.set,
    el("section", { class: "card order", "aria-labelledby": "order-head" },
      el("h2", { id: "order-head" }, "Order of work"), parts.time,
      el("div", { class: "head" }, parts.tally, el("div", { class: "doing" }, parts.again, parts.back)), parts.gone, parts.stages),
    parts.watch, parts.cautions);
  place.append(el("article", { class: "at-bench" },
    el("header", { class: "head" }, parts.title, el("div", { class: "doing" }, buttons, parts.next)),
    parts.fails, parts.problems, parts.good, parts.body, parts.awake));
  return parts;
}

function problems(host, state) {
  put(host, "hidden", !state.problems.length);
  host.replaceChildren(el("h2", {}, "This cannot be cut yet"), el("ul", {}, state.problems.map((one) => el("li", {},
    el("p", {}, one.wrong), one.accepted ? el("p", { class: "accepted" }, one.accepted) : null))));
}

const table = ({ heads, rows }) => el("table", { class: "cut-list" },
  el("thead", {}, el("tr", {}, heads.map((head) => el("th", { scope: "col" }, head)))),
  el("tbody", {}, rows.map(([first, ...rest]) => el("tr", {}, el("th", { scope: "row" }, first), rest.map((cell) => el("td", {}, cell))))));

const figures = (host, rows) =>
  host.replaceChildren(...rows.map(({ words, value }) => el("div", {}, el("dt", {}, words), el("dd", {}, value))));

function row(one, tick) {
  const box = el("input", { type: "checkbox", "data-step": one.step, on: { change: () => tick(one, box.checked) } });
  return el("li", {}, el("label", { class: one.said ? "todo changed" : "todo" }, box,
    el("span", {}, one.what ? el("strong", {}, `${one.what}. `) : null, one.how,
      one.said ? el("span", { class: "said" }, `Changed since you ticked it. It said: ${one.said}`) : null)));
}

// Keeps the screen on while the page is in sight, where the browser lets a page do so (Screen Wake Lock API, W3C); `on` is
// called once it does. Gives a function that ends it.
function awake(on) {
  let lock = null, ended = false;
  async function hold() {
    if (document.visibilityState !== "visible" || !navigator.wakeLock) return;
    try {
      const got = await navigator.wakeLock.request("screen");
      if (ended) return void got.release();
      lock = got;
      on();
    } catch {
      // The system saves its battery.
    }
  }
  document.addEventListener("visibilitychange", hold);
  hold();
  return () => {
    ended = true;
    document.removeEventListener("visibilitychange", hold);
    lock?.release();
  };
}
