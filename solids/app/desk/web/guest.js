// The beginning of the page for others in the local network: pieces at the bench, to see and to tick.

import { atBenchView } from "./at-bench.js";
import { begin } from "./going.js";
import { pickView } from "./pick.js";

begin({ "": pickView, bench: atBenchView(() => []) }, "At the bench", "The machine with the bench can bring it back.");
