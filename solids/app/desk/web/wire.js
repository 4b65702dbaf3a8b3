// The one way to the server: questions, answers, and what it tells by itself. Addresses are relative, so each carries the key
// of the sitting.

import { hearing } from "./news.js";

// The server has said no, in words for the maker.
export class Trouble extends Error {}
// The server cannot be reached.
export class Lost extends Error {}

const ENDED = "This page belongs to a sitting that has ended. The bench was started anew, and opened a page of its own: go on there, and close this one. Open the address that the terminal shows now where no page opened.";
const AWAY = "The bench does not answer. What you change is kept here, and sent when it comes back. If it was ended, start it anew: it opens a page of its own, with all that was saved.";
const AGAIN = 1500; // ms until the server is tried again

const listeners = { lost: [], back: [], hears: [], news: [] };
let lost = false, ended = false, finished = false, hears = null;

// `what` is "lost", "back", "hears" (from now on nothing that is told is missed) or "news", which is called with what the
// server told.
export function when(what, call) {
  listeners[what].push(call);
}

const tell = (what, news) => listeners[what].forEach((call) => call(news));

// What the server answers: to a GET, or to a POST where there is a `body`. Trouble or Lost where it does not.
export async function ask(path, body) {
  let answer, found;
  try {
    answer = await fetch(path, body === undefined ? {} : {
      method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
    });
    found = await answer.text();
  } catch {
    gone();
    throw new Lost("The bench does not answer.");
  }
  // The key of the sitting is another one: the whole page is out of date.
  if (answer.status === 403) {
    ended = true;
    gone();
    throw new Lost(ENDED);
  }
  const said = read(found);
  if (!answer.ok) throw new Trouble(said?.trouble || "The bench could not do that, and did not say why.");
  return said;
}

function read(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

// Why nothing goes through, or "" where all is well.
export const silence = () => (ended ? ENDED : lost ? AWAY : "");

// Whether the server that answers is another one, which takes nothing from this page.
export const isOver = () => ended;

// The bench has ended, as it was asked to: nothing is missed from now on.
export function finish() {
  finished = true;
  hears?.end();
}

function gone() {
  if (finished) return;
  if (!lost) setTimeout(knock, AGAIN);
  lost = true;
  tell("lost");
}

async function knock() {
  if (!lost || finished) return;
  try {
    const answer = await fetch("./");
    ended = answer.status === 403;
    if (answer.ok) {
      lost = false;
      tell("back");
      listen();
      return;
    }
    tell("lost");
  } catch {
    // Still away.
  }
  setTimeout(knock, AGAIN);
}

// Hears what the server tells by itself; called again, it begins anew.
export function listen() {
  if (hears) return hears.begin();
  hears = hearing({
    hears: () => tell("hears"),
    news: (text) => {
      const news = read(text);
      if (news) tell("news", news);
    },
    lost: gone,
  });
  return undefined;
}
