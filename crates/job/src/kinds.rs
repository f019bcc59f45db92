//! Every kind of finding, in one table: stable code, weight, meaning, where the limit comes from.

use crate::finding::{Kind, Severity};

macro_rules! kinds {
    ($($name:ident = $severity:ident $code:literal, $meaning:literal, $source:literal;)+) => {
        $(
            #[doc = $meaning]
            pub static $name: Kind = Kind { code: $code, severity: Severity::$severity, meaning: $meaning, source: $source };
        )+

        /// All of them, in the order of the work.
        pub static ALL: &[&Kind] = &[$(&$name),+];
    };
}

kinds! {
    // Intake: what only the order can tell.
    CYLINDER_NOT_GIVEN = Ask "cylinder-not-given", "The cylinder box is empty: nobody wrote `none`.", "common practice, no source";
    OPPOSITE_SIGNS = Ask "opposite-signs", "Right and left sphere have opposite signs and stand far apart.", "common practice, no source";
    POWERS_FAR_APART = Ask "powers-far-apart", "Right and left differ by more than most pairs do.", "common practice, no source";
    MIXED_CYLINDER_SIGNS = Ask "mixed-cylinder-signs", "One cylinder is written plus, the other minus.", "common practice, no source";
    AXIS_NOT_MIRRORED = Ask "axis-not-mirrored", "The axes of the two eyes are far from mirror images.", "Ophthalmic Physiol Opt 2016/17, PubMed 27921328; limit common practice";
    AXIS_HALF_DEGREE = Ask "axis-half-degree", "An axis is written in half degrees.", "common practice, no source";
    POWER_STEP = Ask "power-step", "A power is no multiple of 0.25 D.", "common practice, no source";
    POWER_UNUSUAL = Ask "power-unusual", "A power is so high that a decimal point may have slipped.", "common practice, no source";
    ADD_ON_SINGLE_VISION = Ask "add-on-single-vision", "An addition is written, but the lenses are single vision.", "common practice, no source";
    ADD_MISSING = Ask "add-missing", "The lenses have a near zone, but no addition is written.", "common practice, no source";
    ADD_UNUSUAL = Ask "add-unusual", "An addition outside the usual range.", "from memory";
    ADDS_DIFFER = Ask "adds-differ", "The two additions differ.", "common practice, no source";
    PD_MONOCULAR = Ask "pd-monocular", "A monocular pupillary distance that no face has: a slipped decimal, or a binocular figure.", "Dodgson 2004, Proc SPIE 5291; limits common practice";
    PD_BINOCULAR = Ask "pd-binocular", "A binocular pupillary distance outside nearly all faces.", "Dodgson 2004, Proc SPIE 5291";
    PD_UNEVEN = Ask "pd-uneven", "The two monocular distances are further apart than faces are.", "common practice, no source";
    NEAR_PD_NOT_LESS = Ask "near-pd-not-less", "The near pupillary distance is not less than the far one.", "common practice, no source";
    NO_FAR_PD = Ask "no-far-pd", "A distance pair without a far pupillary distance.", "common practice, no source";
    NO_NEAR_PD = Ask "no-near-pd", "A near pair without a near pupillary distance or a task distance.", "common practice, no source";
    HEIGHTS_UNEVEN = Ask "heights-uneven", "The heights of the two eyes are far apart.", "common practice, no source";
    HEIGHT_OUTSIDE = Ask "height-outside", "A height that lies outside the lens or at its rim.", "common practice, no source";
    PRISM_LARGE = Ask "prism-large", "The prism of the pair is larger than most.", "common practice, no source";
    PRISM_BASES = Ask "prism-bases", "Vertical prism with its base the same way in both eyes: it cancels.", "common practice, no source";
    VERTEX_NOT_GIVEN = Ask "vertex-not-given", "A power over 4 D without the vertex distance it was found at.", "open exam study guide 2026, in the reference facts";
    PRESCRIPTION_OLD = Ask "prescription-old", "The prescription is older than the rule allows.", "Sale of Optical Appliances Order 1984 (UK) in summary; elsewhere the local code";
    PRESCRIPTION_AFTER = Ask "prescription-after", "The prescription is dated after the order.", "common practice, no source";
    CHILD = Ask "child", "The wearer is a child: who may supply, and in which material, is a matter of local code.", "Sale of Optical Appliances Order 1984 (UK) in summary; elsewhere the local code";
    NOT_PRESCRIBED = Stop "not-prescribed", "An eye is to be made that has no prescription.", "by definition";
    BOXED_CENTRES_WITH_POWER = Stop "boxed-centres-with-power", "Optical centres at the boxed centres are for plano pairs only.", "common practice, no source";
    LAYOUT_NOT_FIGURED = Stop "layout-not-figured", "Multifocal and progressive-power layout is not figured by this program yet.", "by definition";

    // Frame and outline.
    FRAME_SIZE = Ask "frame-size", "A box size or bridge outside what frames have.", "common practice, no source";
    NO_DISTANCE_BETWEEN_LENSES = Stop "no-distance-between-lenses", "Neither records nor order have the distance between lenses.", "by definition";
    BETWEEN_LENSES_DIFFER = Ask "between-lenses-differ", "Records and order differ in the distance between lenses.", "common practice, no source";
    FRAME_CURVES_DIFFER = Ask "frame-curves-differ", "Records and order differ in the frame curve.", "common practice, no source";
    OUTLINE_NOISY = Ask "outline-noisy", "The trace is noisier than a good tracer gives.", "common practice, no source";
    OUTLINE_MIRRORED = Note "outline-mirrored", "Only one eye was traced; the other is its mirror image.", "common practice, no source";
    OUTLINE_ALLOWANCE = Ask "outline-allowance", "A demonstration or cut lens was traced: how much larger must the lens be?", "common practice, no source";
    OUTLINE_NOT_OF_MOUNTING = Note "outline-not-of-mounting", "A rim groove is said to be traced, but the mounting has none all round.", "by definition";
    OUTLINE_INHERITED = Note "outline-inherited", "The outline is not of this frame; fit is not promised.", "common practice, no source";
    OUTLINE_SWAPPED = Ask "outline-swapped", "The right outline fits the mirrored left badly: eyes swapped, or one not mirrored.", "common practice, no source";
    CIRCUMFERENCES_DIFFER = Note "circumferences-differ", "The two rims differ in circumference: each lens gets its own shape.", "common practice, no source";
    RETRACE = Ask "retrace", "The two rims differ so much that the frame should be trued and traced again.", "common practice, no source";
    BOX_DIFFERS = Note "box-differs", "The box of the points is not the box that the records state.", "common practice, no source";
    CIRCUMFERENCE_DIFFERS = Note "circumference-differs", "The circumference of the points is not the one that the records state.", "common practice, no source";
    TRACE_STEP = Ask "trace-step", "Two neighbouring points of the trace are too far apart: a bad point or a wrong unit.", "common practice, no source";
    TRACE_RADIUS = Ask "trace-radius", "A traced radius no spectacle frame has.", "common practice, no source";
    RECORD_READ_LOOSELY = Note "record-read-loosely", "A record was not written as the standard asks, and was read all the same.", "common practice, no source";
    TRACE_GAP = Note "trace-gap", "Part of the outline was not traced and is bridged by the curve.", "common practice, no source";
    RIM_TURNED_FLAT = Note "rim-turned-flat", "The rim leaned in its trace; the outline is taken square to its own plane.", "by definition";
    DEPTH_TURNED = Note "depth-turned", "The heights of the trace were taken with the opposite sign, so that the rim curves towards the face.", "common practice, no source";
    DEPTH_UNDECIDED = Ask "depth-undecided", "The rim is so flat that the sign of its heights cannot be told.", "common practice, no source";
    DEPTH_FROM_CURVE = Note "depth-from-curve", "No heights in the trace: the rim is taken to lie on the sphere of the frame curve.", "common practice, no source";
    NO_DEPTH = Note "no-depth", "Neither heights nor a frame curve: no figure in space.", "by definition";

    // Placing.
    PD_HALVED = Note "pd-halved", "A binocular pupillary distance was halved: faces are seldom even.", "common practice, no source";
    NEAR_PD_FIGURED = Note "near-pd-figured", "The near pupillary distance was figured from the far one and the task distance.", "geometry; 27 mm to the centre of rotation";
    HEIGHT_NOT_GIVEN = Note "height-not-given", "No height was measured: the optical centre stands on the horizontal centreline.", "common practice, no source";
    HEIGHT_NEEDED = Ask "height-needed", "Aspheric lenses and lenses with a near zone need a measured height.", "common practice, no source";
    LOWERING_ADVISED = Note "lowering-advised", "Tilt would ask for a lower optical centre; the rules leave spheric lenses as measured.", "Atchison and Tame 1993, Ophthalmic Physiol Opt; 27 mm x sin(tilt)";
    FORM_UNKNOWN = Note "form-unknown", "The shelf does not say whether the blank is aspheric; it counts as spheric.", "common practice, no source";
    VERTEX_ADVICE = Note "vertex-advice", "Worn at another vertex distance than refracted, the power acts otherwise; powers are made as ordered.", "F/(1 - dF)";
    TILT_ADVICE = Note "tilt-advice", "Tilt and face form change the power as worn; powers are made as ordered.", "thin-lens formulas (Martin; Keating), a check only";
    PRISM_REFUSED = Stop "prism-refused", "The power cannot give the prescribed prism by decentration.", "inverse of the power matrix";
    PD_NOT_GOOD_ENOUGH = Ask "pd-not-good-enough", "The way the pupillary distance was measured is too coarse for this power.", "McMahon, Irving and Lee 2012; 0.67 cm/m from ISO 21987 and ANSI Z80.1 in summary";

    SIZE_REFUSED = Stop "size-refused", "The traced outline has no parallel curve of the size asked for.", "geometry";

    NOT_SEATED = Warn "not-seated", "The search for the seat of the lens in its rim did not come to rest.", "by definition";
    SEAT_LEANS = Warn "seat-leans", "The rim would lie far askew on the lens.", "own choice";
    SHOULDERS_SHORT = Note "shoulders-short", "The edge is thinner somewhere than both least shoulders of the bevel.", "geometry; least shoulders common practice";
    GROOVE_WALLS_THIN = Warn "groove-walls-thin", "The edge has no room for the groove and its least walls.", "geometry; least walls common practice";
    EDGE_LINE_REFUSED = Stop "edge-line-refused", "The line on the edge was to run on a curve that ends within the shape.", "geometry";
    EDGE_LINE_HELD = Ask "edge-line-held", "The line on the edge was to run where the edge has no room, and is held within it.", "geometry; limit own choice";
    BACK_EDGE_TOUCHES = Ask "back-edge-touches", "The back edge takes more room than a part of the frame leaves.", "geometry and the frame's own measure";
    EDGE_LINE_IDLE = Note "edge-line-idle", "The order says how a line runs on an edge that has none, or beside a rim that is not there.", "by definition";
    BEVEL_SHORT = Warn "bevel-short-of-groove", "The bevel does not go down to the bottom of the rim's groove.", "plane geometry; limit own choice";
    BEVEL_STANDS_OFF = Note "bevel-stands-off", "The bevel is higher than the rim's groove is deep.", "plane geometry; limit own choice";
    RIM_TO_FORM = Warn "rim-to-form", "The bevel leaves the rim by more than it gives by itself: the rim has to be formed.", "geometry; limit own choice";

    // Blanks.
    NO_SHELF = Note "no-shelf", "No shelf was given: the plan stops at the reference point.", "by definition";
    NO_BLANK = Stop "no-blank", "No blank on the shelf can make this lens.", "geometry and the shelf";
    UNKNOWN_BLANK = Stop "unknown-blank", "A blank was asked for by name that is not on the shelf.", "by definition";
    BLANK_UNFIT = Stop "blank-unfit", "The blank that was asked for cannot make this lens.", "by definition";
    BLANK_TOO_SMALL = Stop "blank-too-small", "The blank does not cover the shape.", "geometry";
    COVER_TIGHT = Warn "cover-tight", "The blank covers the shape, but only just.", "common practice, no source";
    STOCK_GIVEN = Note "stock-given", "The best blank went to an order with a lower number.", "by definition";
    FRONT_CURVES_APART = Note "front-curves-apart", "The front curves of the pair differ more than the rules like.", "from memory";
    LOTS_DIFFER = Note "lots-differ", "Right and left come from different lots.", "trade press on ordering single lenses";
    EXTRA_TREATMENT = Note "extra-treatment", "The blank has a coat that was not ordered.", "by definition";
    USABLE_ASSUMED = Note "usable-assumed", "The shelf does not state the usable diameter.", "common practice, no source";
    CURVE_ASSUMED = Note "curve-assumed", "The shelf does not state the front curve; a usual one was taken.", "Vogel's rule in trade press";
    CENTRE_ASSUMED = Note "centre-assumed", "The shelf does not state the centre thickness; a usual one was taken.", "common practice, no source";
    UNCUT_SWAPPED = Stop "uncut-swapped", "What was read on the uncut lenses fits the other eye's order.", "readings against both orders: chi-square";
    UNCUT_OUTSIDE = Stop "uncut-outside", "A reading of an uncut lens does not meet the order.", "tolerance standard in force, quoted from public summaries";
    UNCUT_UNLIKE_LABEL = Ask "uncut-unlike-label", "A reading of an uncut lens is so far from its label that a slip of the pen is likelier.", "common practice, no source";
    UNCUT_MARGINAL = Warn "uncut-marginal", "A reading of an uncut lens meets the order by one reading of the standard and not by another.", "tolerance standard in force, quoted from public summaries";
    BACK_BULGES = Warn "back-bulges", "The front is flatter than the power: the back would bulge towards the eye.", "surface powers; stock backs are hollow or plane: common practice, no source";
    ASPHERIC_INTERPOLATED = Note "aspheric-interpolated", "A blank of unknown form is figured through its measured check thickness: exact there, interpolated elsewhere.", "thickness correction c r^4; c r^2 and c r^6 bound it";
    CHECK_DISAGREES = Warn "check-thickness-disagrees", "The check thickness of a spheric blank is not what its curves and centre give.", "exact sagittas; 0.2 mm for two readings, common practice";
    ASPHERIC_AS_SPHERIC = Note "aspheric-as-spheric", "An aspheric blank is figured with spherical surfaces.", "by definition";
    EDGE_NOT_OF_MOUNTING = Ask "edge-not-of-mounting", "The kind of edge is not the one that the mounting takes.", "common practice, no source";
    MATE_MATERIAL = Ask "mate-material", "The fellow lens is of another material.", "common practice, no source";
    MATE_SERIES = Note "mate-series", "The blank is of another series than the fellow lens.", "common practice, no source";
    CURVE_NOT_AS_ORDERED = Ask "curve-not-as-ordered", "The blank's front curve is not the one ordered.", "by definition";
    MATE_CURVE = Note "mate-curve", "The front curve differs from the fellow lens.", "common practice, no source";
    CENTRE_NOT_AS_ORDERED = Ask "centre-not-as-ordered", "The blank's centre thickness is not the one ordered.", "by definition";
    EDGE_NOT_AS_ORDERED = Ask "edge-not-as-ordered", "The edge would be thinner than ordered.", "by definition";

    // Thickness and edge.
    RUNS_OUT = Stop "runs-out", "The lens runs out to nothing inside the shape.", "geometry";
    GROOVE_EDGE_STOP = Stop "groove-edge-too-thin", "The edge is too thin for a groove.", "trade magazine, Aug 1999, in the reference materials";
    GROOVE_EDGE_ASK = Ask "groove-edge-thin", "The edge is thin for a groove.", "0.6 wall + 0.6 groove + 0.6 wall + chamfers";
    BEVEL_EDGE_ASK = Ask "bevel-edge-thin", "The edge is thin for a bevel.", "common practice, no source";
    DRILLED_EDGE_STOP = Stop "drilled-edge-too-thin", "The edge is too thin to drill.", "trade magazine, Aug 1999, in the reference materials";
    DRILLED_EDGE_ASK = Ask "drilled-edge-thin", "The edge is thin for drilling this material.", "reference materials, from memory";
    HOLES_NOT_GIVEN = Note "holes-not-given", "A drilled lens whose holes the order does not state.", "by definition";
    HOLE_OUTSIDE = Stop "hole-outside-lens", "A hole breaks through the edge, or lies outside the lens.", "geometry";
    HOLE_NEAR_EDGE = Ask "hole-near-edge", "A hole stands near to the edge.", "common practice, no source";
    HOLE_TOO_THIN = Stop "hole-edge-too-thin", "The lens is too thin to drill where the hole is.", "trade magazine, Aug 1999, in the reference materials";
    HOLES_OVERLAP = Stop "holes-overlap", "Two holes of a lens run into one another.", "geometry";
    HOLE_IN_SIGHT = Ask "hole-in-sight", "A hole stands where the wearer looks through.", "common practice, no source";
    HOLES_NOT_OF_MOUNTING = Ask "holes-not-of-mounting", "The order states holes, but the mounting is not drilled.", "by definition";
    HOLE_THIN = Ask "hole-edge-thin", "The lens is thin where it is drilled.", "trade magazine, 2006, in the reference materials";
    HOLE_THICK = Warn "hole-edge-thick", "The lens is thick for the hardware where it is drilled.", "trade magazine, 2006, in the reference materials";
    LASHES_TOUCH = Warn "lashes-near", "The back of the lens comes so near that the lashes may touch it.", "geometry from the worn vertex distance; limit common practice";
    DRILLED_EDGE_THICK = Ask "drilled-edge-thick", "The edge may be too thick for the mounting's hardware.", "trade magazine, 2006, in the reference materials";
    WHEEL_CANNOT_REACH = Warn "wheel-cannot-reach", "The outline has a hollow that the finishing wheel is too large for: the lens stays fuller there.", "geometry: the closing of the outline by the wheel; limit own choice";
    BEVEL_THINNED = Note "bevel-thinned", "Where the bevel runs steeply round the edge the wheel's own groove cuts it lower.", "geometry: the wheel's groove against the apex line; limit own choice";
    CENTRE_THIN = Ask "centre-thin", "The centre is thinner than is usual for this material.", "reference materials, mostly from memory";
    EDGES_APART = Note "edges-apart", "The edges of the two eyes differ by more than the eye overlooks.", "common practice, no source";

    // The pair on the face.
    NEAR_IMBALANCE = Warn "near-imbalance", "Unequal vertical prism at the reading level: many wearers are troubled.", "trade press on vertical imbalance: easy to 0.5, slab-off from 1.5 cm/m";
    IMAGE_SIZES_APART = Note "image-sizes-apart", "The two lenses enlarge or reduce unequally, by more than wearers overlook.", "shape factor times power factor; limit common practice, no source";
    RESIDUAL_PRISM = Ask "residual-prism", "Prescribed and made prism differ.", "inverse of the power matrix";

    // Blocking.
    BLOCK_TOO_LARGE = Ask "block-too-large", "No block on this bench leaves enough lens around it.", "common practice, no source";
    SHAPE_NARROW = Warn "shape-narrow", "The shape is lower than the clamp likes: the lens may slip.", "trade magazine 2007/2008";
    SLIP_RISK = Note "slip-risk", "The lens may turn on its block: slippery coat, strong cylinder.", "trade magazines 2000 to 2008";
}

#[cfg(test)]
mod tests {
    use super::ALL;

    #[test]
    fn codes_are_unique_words() {
        for (i, kind) in ALL.iter().enumerate() {
            assert!(kind.code.bytes().all(|b| b.is_ascii_lowercase() || b == b'-'), "{}", kind.code);
            assert!(ALL[..i].iter().all(|k| k.code != kind.code), "{} twice", kind.code);
            assert!(kind.meaning.ends_with(['.', '?']), "{}", kind.code);
        }
    }
}
