// The page's beginning.

import { atBenchView } from "./at-bench.js";
import { besideView } from "./beside.js";
import { ending } from "./end.js";
import { begin } from "./going.js";
import { makeView } from "./make.js";
import { forTheMaker } from "./on-a-phone.js";
import { pieceView } from "./piece.js";
import { shelfView } from "./shelf.js";
import { shopView } from "./shop.js";

const VIEWS = { "": shelfView, piece: pieceView, make: makeView, beside: besideView, bench: atBenchView(forTheMaker), shop: shopView };
ending(begin(VIEWS, "The bench", "Bring it back from the end of the shelf."));
