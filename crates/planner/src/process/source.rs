//! Where a line of the process comes from, as a stranger could look it up.

/// Who says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// Title, author or publication, year; `n.d.` = without a date.
    pub full: &'static str,
    /// The same in a few words, for a sheet that lies beside the sink.
    pub short: &'static str,
}

impl Source {
    const fn new(full: &'static str, short: &'static str) -> Self {
        Self { full, short }
    }
}

/// Everybody does it and nobody was found who wrote it down.
pub const COMMON: Source = Source::new("common practice, no source", "common practice");
pub(super) const MEMORY: Source = Source::new("from memory, check before relying on it", "from memory");
pub(super) const BENCH: Source = Source::new("the rules of this bench", "this bench's rules");
pub(super) const GEOMETRY: Source = Source::new("crossed cylinders: 2 C sin of the turn, by calculation", "geometry");
pub(super) const OURS: Source = Source::new("own choice of this program", "own choice");

pub(super) const FIRST_STEPS: Source =
    Source::new("OpticianWorks, Finishing first steps, n.d.", "OpticianWorks, first steps");
pub(super) const POLY_TIPS: Source =
    Source::new("Polycarbonate edging tips, The Optical Vision Site, n.d.", "Polycarbonate edging tips");
pub(super) const POLY_URETHANE: Source = Source::new(
    "K. Cole McLean and S. Tarrant, Tips for edging poly and urethane, Eyecare Business, Oct 2004",
    "Eyecare Business 2004",
);
pub(super) const POLY_DRILL: Source =
    Source::new("Ask the labs, Eyecare Business, Mar 2004", "Eyecare Business, Mar 2004");
pub(super) const POLISH: Source =
    Source::new("Troubleshooting tips, Eyecare Business, Jan 2007", "Eyecare Business 2007");
pub(super) const SLIPPERY: Source =
    Source::new("Solving a slippery problem, 20/20 Magazine, n.d.", "20/20, slippery coats");
pub(super) const SLIPPERY_PADS: Source =
    Source::new("Eye on equipment, Eyecare Business, Oct 2000 and Jul 2001", "Eyecare Business 2000, 2001");
pub(super) const SLIPPAGE: Source =
    Source::new("Slip sliding away: lens slippage, fact or fiction?, ECP Magazine, 2007/2008", "ECP Magazine 2007");
pub(super) const LARGEST_BLOCK: Source =
    Source::new("Ask the labs, Eyecare Business, Oct 2013", "Eyecare Business 2013");
pub(super) const CLEAN_PADS: Source =
    Source::new("J. Bos, Bright ideas for avoiding consumable mistakes, LabTalk, n.d.", "LabTalk, Bos");
pub(super) const STAGES: Source = Source::new("Eye on equipment, Eyecare Business, Jul 2001", "Eyecare Business 2001");
pub(super) const RIMLESS_EIGHT: Source = Source::new(
    "L. Martinez DeFranco, Eight tips for processing rimless or semi-rimless eyewear, Eyecare Business, Aug 1999",
    "Eyecare Business 1999",
);
pub(super) const RIMLESS: Source =
    Source::new("Rimless, 20/20 Magazine, May 2006; Lens choice, Jun 2003", "20/20, rimless");
pub(super) const RIMLESS_NUTS: Source =
    Source::new("The nuts and bolts of rimless, part 2, 20/20 Magazine, Jun 2006", "20/20, nuts and bolts");
pub(super) const RIMLESS_TIGHT: Source =
    Source::new("Keeping the rimless lens tight, Eyecare Business, Aug 2000", "Eyecare Business, Aug 2000");
pub(super) const RIMLESS_WRAP: Source =
    Source::new("Rimless and wrap, 20/20 Magazine, n.d.", "20/20, rimless and wrap");
pub(super) const THREE_PIECE: Source =
    Source::new("Technical bulletin on three-piece eyewear, Aug 2004", "three-piece bulletin 2004");
pub(super) const WRAP: Source =
    Source::new("Lens tips, Eyecare Business, Apr 2012; wrap finishing, 20/20 Magazine, n.d.", "Eyecare Business 2012");
pub(super) const RIM_FORMING: Source =
    Source::new("Troubleshooting tips, Eyecare Business, Feb 2010", "Eyecare Business 2010");
pub(super) const FRAME_PLASTICS: Source =
    Source::new("Student cards on frame materials, n.d.", "cards on frame materials");
pub(super) const NITRATE: Source = Source::new("CET article 18, frame plastics, March 2002", "CET article 18, 2002");
pub(super) const STRAIN: Source =
    Source::new("Detectors for strain, glossary of Optometric Management, n.d.", "Optometric Management");
pub(super) const WARPAGE: Source =
    Source::new("Front-surface warpage of glasses is common, Ophthalmology Times, 2011", "Ophthalmology Times 2011");
pub(super) const WARPAGE_LIMIT: Source =
    Source::new("ANSI Z80.1, limit of warpage, from memory", "ANSI Z80.1 from memory");
pub(super) const ALIGNMENT: Source = Source::new(
    "Student cards on standard alignment, n.d.; Fix and fit, Eyecare Business, Oct 2010",
    "Eyecare Business, Oct 2010",
);
pub(super) const SOAP: Source = Source::new("Ask the labs, Eyecare Business, Feb 2014", "Eyecare Business 2014");
pub(super) const IMPACT: Source = Source::new(
    "Impact-resistant lenses: questions and answers, FDA guidance, 2 Sep 2010",
    "FDA guidance 2010; other codes differ",
);
pub(super) const POLY_CARE: Source =
    Source::new("Care sheet for polycarbonate eyewear, publisher withheld, n.d.", "polycarbonate care sheet");
pub(super) const DUST: Source = Source::new("Ask the labs, Eyecare Business, May 2002", "Eyecare Business 2002");
pub(super) const SLUDGE: Source =
    Source::new("Environmental concerns in the lab, Eyecare Business, Jul 2000", "Eyecare Business, Jul 2000");
pub(super) const SWARF: Source = Source::new("Finishing tech tips, 20/20 Magazine, n.d.", "20/20, tech tips");
pub(super) const FILM: Source = Source::new("Choosing the right polarised lenses, mivision, Jan 2010", "mivision 2010");
pub(super) const OWN_FRAME: Source =
    Source::new("N. Gailmard, Reusing a patient's frame, Optometric Management, 2002", "Optometric Management 2002");
