// What the server tells by itself (server-sent events). A browser opens about six connections to a server for all its
// windows together, and a stream takes one for good. So one window listens for all, and hands on what it hears; when it is
// closed, the next takes its place.

const NAME = `bench ${location.pathname}`; // the key of the sitting is in it

// `hears()` is called when nothing is missed from now on, `news(text)` with what is told, `lost()` when the stream ends.
// Gives what begins anew, as after the server was away, and what ends it for good.
export function hearing({ hears, news, lost }) {
  const others = new BroadcastChannel(NAME);
  const here = { hears, news, lost };
  let source = null; // of the window that listens

  function tell(what, text) {
    others.postMessage({ what, text });
    here[what](text);
  }

  function open() {
    source?.close();
    source = new EventSource("api/events");
    source.onopen = () => tell("hears");
    source.onmessage = (event) => tell("news", event.data);
    source.onerror = () => tell("lost");
  }

  function begin() {
    if (source) open();
    else others.postMessage({ what: "asks" });
  }

  others.onmessage = ({ data }) => {
    if (data.what !== "asks") here[data.what]?.(data.text);
    else if (source?.readyState === EventSource.OPEN) others.postMessage({ what: "hears" });
  };
  // Locks are there in secure contexts only, to which this machine's own address belongs.
  if (navigator.locks) {
    navigator.locks.request(NAME, () => new Promise(() => open()));
    begin();
  } else open();
  return { begin, end: () => { source?.close(); others.close(); } };
}
