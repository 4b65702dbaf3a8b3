"""Every tolerance and limit, each with the reason for its value. Lengths in mm, volumes in mm3.

"Common practice" marks a fact of the trade that has no published source.
"""

from __future__ import annotations

# --- what the kernel's proof must reach -------------------------------------------------------

VOLUME_RELATIVE = 1e-9
"""Solid against closed form. Double precision leaves about 1e-13 on a board; 0.001 mm on one flank changes 1e-6."""

MODELLED_RELATIVE = 1e-6
"""The volume of a board that somebody else modelled, before and after a cut: the kernel measures curved faces to about
this share, plane ones far better."""

OVERLAP_ABSOLUTE = 1e-6
OVERLAP_RELATIVE = 1e-7
"""Three ways to an overlap agree within the larger of these (mm3, or a share of the overlap).

A flank that is wrong by 0.001 mm makes about 0.1 mm3, a hundred thousand times the first figure. What double
precision does to a mesh of a board under a metre long stays a hundred times below it."""

MESH_DEVIATION = 0.01
"""Largest distance between a solid and its mesh. Faces are plane, so the true figure is rounding only."""

MESH_VOLUME_RELATIVE = 1e-6
"""STL against its solid: an STL holds single precision, about 1e-7 of the largest coordinate."""

READ_BACK_RELATIVE = 1e-9
READ_BACK_CENTROID = 1e-6
"""A STEP file read back: volume and area as a share, centroid in mm. Open CASCADE writes 13 digits."""

# --- what a recipe may ask for -------------------------------------------------------------------

LARGEST_LENGTH = 10_000.0
"""Ten metres: longer than any board in a furniture shop, and far from the kernel's limits."""

LEAST_THICKNESS = 1.0
"""A board thinner than 1 mm is veneer; it takes no dovetail."""

LEAST_WIDTH = 3.0
"""A corner narrower than this has no room for one tail and two half pins."""

LEAST_FEATURE = 0.05
"""A pin, neck or gap thinner than a fine knife line counts as vanished. The kernel merges points closer than
1e-7 mm, so this keeps every edge far above what it can tell apart."""

LEAST_STEP = 0.01
"""Proud ends, chamfers and planing: zero switches them off, otherwise at least this much can be seen or set."""

MOST_PRINT_CLEARANCE = 1.0
"""A printed fit that is looser than 1 mm on each side holds nothing; 0.2 to 0.5 is usual. Common practice. It also
catches a bare 0.1 in a recipe in inches, which would be 2.54 mm."""

THICKEST_MARKED, LONGEST_LEG = 60.0, 90.0
"""The thickest board that a marking template is made for, and its longest leg: what a hand still holds against a board.
Common practice: benches are dovetailed of boards up to some 50 mm."""

LEAST_HANG_HOLE, WIDEST_HANG_HOLE = 2.0, 8.0
"""A hole to hang a tool by: from a thread to a thick hook, with wood all round in any body. Our own choice."""

WIDEST_NOZZLE = 5.0
"""Nozzles of 0.2 to 1 mm are common, and none for a bench printer is wider than this. Common practice. A bare 0.4 in a
recipe in inches would be 10 mm."""

UNEVEN_SLIP, UNEVEN_SLIP_SHARE = 0.5, 0.1
"""A thickness this far from the median of the other places (mm, and as a share of the larger) is a slip of the rule, or
a board that nobody lays out before it is planed. Our own choice."""

LEAST_GAP = 0.0005
"""A flank gap is zero or at least this: half of the 0.001 mm that the proof must tell from zero."""

LARGEST_GAP = 1.0
"""A gap of 1 mm on each flank is no joint any more."""

MOST_DIVIDERS = 40
"""In one box. With more, the wood between the housings is crumbs."""

MOST_TAILS = 100
STEEPEST_RATIO = 2.0
FLATTEST_RATIO = 30.0
"""Slopes from 1:2 (26.6 degrees) to 1:30 (1.9 degrees). Outside, short grain breaks or nothing is held."""

USUAL_RATIO_STEEP = 5.0
USUAL_RATIO_FLAT = 8.0
"""Inside 1:5 to 1:8 no remark is made. Common practice."""

HALF_PIN_LEAST = 5.0
"""The least that a half pin measures where it is narrowest, else it may split off. Common practice."""

PIN_USUAL = 3.0
"""A pin at its narrowest: wide enough for a marking knife. Common practice."""

CHISEL_NARROWEST, CHISEL_USUAL = 1.5, 3.0
"""The narrowest chisel that can be had, 1/16 in or 1.5 mm, which a socket must let in or no hand cuts it; and the
narrowest of a usual set, 3 mm or 1/8 in. Common practice; W. Noyes (Handwork in Wood, 1910) lists 1/8 in as the
least."""

FINEST_SCALE, COARSEST_SCALE = 0.1, 25.4 / 4
"""Between which the lines of a rule lie apart: a diagonal scale, and quarters of an inch. Common practice."""

BLADE_THICKNESS = 3.0
"""How thick a chisel's blade is taken to be where it stands in a socket at the baseline. Common practice."""

SAW_THINNEST = 0.3
"""The thinnest kerf of a fine pull saw. A gap or pin thinner than that can be cut by no hand. Common practice."""

KNIFE_THIN = 0.5
"""What the thinnest marking knives need to mark the pins through the gaps of the tails. Common practice."""

SLENDER_HARD, SLENDER_SOFT = 1 / 6, 1 / 4
"""A neck thinner than this share of the joint's depth, or a pin than this share of the tail board's thickness, may snap
when it is pared or driven: a soft wood needs more. Common practice."""


def slender_share(*, soft: bool) -> float:
    """The least width of a neck or pin, as a share of its depth or height."""
    return SLENDER_SOFT if soft else SLENDER_HARD


PROUD_USUAL = 0.5
"""How far ends are left standing for planing flush. Common practice."""

TAIL_WIDEST = 44.45
"""1 3/4 in. Source: W. Noyes, Handwork in Wood, 1910, pp. 164-165 (No. 48)."""

TAIL_WIDEST_TO_THICKNESS = 1.25
"""Planks take wider tails than that, up to this many times the thinner board. Common practice."""


def widest_tail(thinner: float) -> float:
    """The widest that a tail is usually made, in boards of which the thinner one is so thick."""
    return max(TAIL_WIDEST, TAIL_WIDEST_TO_THICKNESS * thinner)


LARGEST_SEED = 999_999
"""Of tails that are drawn by eye: more joints than anybody looks at."""

LAP_SHARE = 0.25
"""Lap as a share of a drawer front's thickness: 3/16 in of 3/4 in. Common practice."""

LAP_THIN = 3 / 32 * 25.4
"""A lap under 3/32 in can be weak and may break. Common practice."""

ROUNDING = 1e-9
"""What arithmetic in double precision may lose on a length of some metres; no maker's number is this fine."""

SUM_SLACK = 0.005
"""A list of tail widths, pins and half pins may miss the width by the rounding of two decimals."""

REBATE_SHARE = 0.25
"""The deepest rebate that registers the tails, as a share of the tail board's thickness. Common practice: more weakens
the tails, and 1 to 3 mm is enough to feel."""

REBATE_STEP = 1.0
"""How much deeper than the rebate a groove must be where it goes on through a tail: no plough cuts a shallower one
clean, and the tail would tear out. Common practice."""

TITLE_LONGEST = 80
"""Longer titles make folder names that some file systems refuse."""

RECIPE_LARGEST_BYTES = 262_144
"""A recipe is a page of text. A quarter of a megabyte is the wrong file."""

THINNEST_CUTTER = 0.5
THICKEST_CUTTER = 50.0
"""Straight router cutters for wood are sold from about 0.5 to 50 mm. Common practice."""
REPORT_LARGEST_BYTES = 5_000_000
"""A report of a hundred tails is a tenth of this."""

# --- what wood forgives --------------------------------------------------------------------------

TIGHT_HARD = 0.05
TIGHT_SOFT = 0.10
"""How tight a flank may be and still be driven home: two hard woods, or one soft wood in the pair. Common practice. C.
Schwarz leaves white pine fatter than cherry, and oak or maple hardly fat at all (Dovetails in the Real World, Lost Art
Press blog, 1 March 2013)."""

SOFT_ACROSS_MPA = 4.5
"""A wood that gives way across the grain at less than this is soft: it lies between sweetgum and chestnut (620 psi) and
cherry (690 psi). The figures are from the Wood Handbook, FPL-GTR-282 (2021), Table 5-3b; the line is ours."""

SOFT_DENSITY = 500.0
"""The density (kg/m3) of woods that give way at that, for woods of which no more is known: fitted to that table."""


def tight_limit(*, soft: bool) -> float:
    """The tightest flank (mm, as a positive number) that a pair of woods forgives; `soft` where either is."""
    return TIGHT_SOFT if soft else TIGHT_HARD


SPLITS_AT = 4.0
"""A half pin that is tighter than this many times what the wood forgives splits at the first try, before it shines.
Common practice."""


GLUE_GAP = 0.15
"""The widest gap at which PVA glue is at its strongest: surfaces 0.002 to 0.006 in apart. Common practice."""

GAP_SHOWS = 0.1
"""A gap at a flank that the eye finds. Common practice."""

HAND_SIGMA = 0.05
"""Standard deviation of a flank cut to a knifed line by a practised hand, normal to the flank. Common practice."""

FAT_STEP = 0.01
"""Nobody saws a flank fat by finer steps (mm). Common practice."""

FAT_WORTH = 0.005
"""A fatter flank is more to pare: it must bring one joint more in two hundred. Our own choice."""

LETS_GO_SHARE = 0.9
"""A loose joint that plays over so much of the depth of its tails before it locks hangs by a corner of each flank, and
counts as one that lets go. Common practice."""

STEP_FELT = 0.02
"""The least step between end grain and face that a finger feels on planed wood: 0.02 to 0.03 mm, common practice; the
safe end is taken. On smooth hard plates it is far less: raised edges of 0.85 micrometre are felt (R. Johansson and
R. LaMotte, Tactile detection thresholds for a single asperity, Somatosensory Research 1, 1983)."""

MISMATCH_SHARE = 0.005
"""How far two boards may move apart, as a share of their width: half of the one part in a hundred at which wood takes a
lasting set across the grain. From memory."""

UNEVEN_MOST = 0.5
"""A board that is more uneven than ends usually stand proud is planed to one thickness before it is laid out. Common
practice."""

CUP_RESTS, CUP_HOLDS = 0.2, 0.45
"""How far a hollow board may be strained when it is pressed flat, as shares of its tension strength across the grain. A
weak piece (one standard deviation, 25 %, below the mean) holds for years (60 % of a short test) 0.75 x 0.6 = 0.45 of
it: Wood Handbook, FPL-GTR-190 (2010), chapter 5, both from memory. Under a fifth it rests; that line is ours."""

HAND_PRESS, CLAMPS_PRESS, CLAMPS_MOST = 200.0, 3000.0, 10_000.0
"""A firm push with both hands, two ordinary clamps on a caul, and all the heavy clamps that there is room for beside a
joint (N). Common practice."""

FACE_DEPARTS = 0.0005
"""How far a face may lie from its place before it counts as wrong: half of the 0.001 mm that must be found."""

AREA_RELATIVE = 1e-6
AREA_ABSOLUTE = 1e-4
"""A shared area against its formula (share, mm2). Clipper2 works on a grid of a hundred-millionth of a millimetre."""

MOVE_STEP = 0.02
"""How finely moves are tried: nothing thinner than this is missed."""

ENTRY_OVERLAP = 1e-3
"""What a move may meet and still be free (mm3). A ridge 0.02 mm thick, 0.5 mm wide and 0.1 mm long is more."""

SLIDES = 1e-9
"""The least share of a move along a normal that closes a gap; below it the faces slide."""

UNDERCUT_SHARE = 0.1
"""The deepest hollow as a share of the thinner floor it lies in: a tenth weakens the root by no more than a bad knife
line does. Common practice."""

CHAMFER_SHARE = 0.25
"""The widest entry chamfer as a share of the tail board's thickness: beyond a quarter it takes glue area for nothing.
Common practice."""

GROOVE_DEEPEST = 2 / 3
"""A groove deeper than this share of a board leaves too little behind it. Common practice."""

PANEL_HELD = 1.0
"""How much of a bottom's edge must stay in its groove when it has shrunk (mm). Common practice."""

RING_CLOSED = 1e-9
"""How far the ring of a box's boards may be from closing: arithmetic, so rounding alone."""

FOOT_BEARS = 5.0
"""How much of a board's reference edge a foot must reach under, across the board (mm): room for glue. Common
practice."""
