//! `comparison/1`: an order side by side with its alternatives, as JSON.

use job::{Eye, PerEye};
use planner::compare::{Becomes, Blur, Candidate, Cannot, Comparison, LittleChange};
use schemars::JsonSchema;
use serde::Serialize;

use super::ENGINE;
use super::figure::{Coarse, Direction, Fine, Grams};
use super::finding::FindingJson;
use super::plan::Inputs;

/// An order in every material and series of blanks that can make it, in other frames, and a little changed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(title = "comparison/1")]
pub struct ComparisonJson {
    /// Always `comparison/1`.
    #[schemars(extend("const" = "comparison/1"))]
    schema: &'static str,
    /// The program and its version.
    engine: &'static str,
    /// What it was made from.
    inputs: Inputs,
    /// The order's number.
    number: String,
    /// The order as it stands.
    ordered: CandidateJson,
    /// What else the shelf can make of it.
    others: Vec<CandidateJson>,
    /// Materials of the shelf that cannot make it.
    cannot: Vec<CannotJson>,
    /// The order in other frames.
    frames: Vec<CandidateJson>,
    /// What a little more or less would do.
    little_changes: Vec<LittleChangeJson>,
}

/// One way to make the order.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct CandidateJson {
    /// File of the other frame.
    #[serde(skip_serializing_if = "Option::is_none")]
    frame: Option<String>,
    /// Lens material.
    material: String,
    /// Whether every lens that the order makes has its blank.
    made: bool,
    /// Whether its blanks are figured as a supplier would send them: the shelf has none.
    to_order: bool,
    /// Stops and questions that it would leave open, gravest first.
    open: Vec<FindingJson>,
    /// The right lens.
    #[serde(skip_serializing_if = "Option::is_none")]
    right: Option<LensJson>,
    /// The left lens.
    #[serde(skip_serializing_if = "Option::is_none")]
    left: Option<LensJson>,
    /// Both lenses, square edges, g.
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_g: Option<Grams>,
    /// The blanks' cost in minor units.
    #[serde(skip_serializing_if = "Option::is_none")]
    cost_minor: Option<i64>,
    /// ISO 4217 code.
    #[serde(skip_serializing_if = "Option::is_none")]
    currency: Option<String>,
    /// Per cent by which the trade's rule on the index makes it thinner than in the order's material.
    #[serde(skip_serializing_if = "Option::is_none")]
    thinner_rule_percent: Option<Coarse>,
    /// Per cent by which the thickest place of this very pair is thinner.
    #[serde(skip_serializing_if = "Option::is_none")]
    thinner_here_percent: Option<Coarse>,
}

/// One lens of it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct LensJson {
    /// The blank.
    sku: String,
    #[serde(flatten)]
    becomes: BecomesJson,
    /// Chromatic blur at the edge of the field: greatest prism over the Abbe number, cm/m.
    #[serde(skip_serializing_if = "Option::is_none")]
    blur_cm_per_m: Option<Fine>,
    /// That prism, cm/m.
    #[serde(skip_serializing_if = "Option::is_none")]
    edge_prism_cm_per_m: Option<Fine>,
    /// Where it is met, about the boxed centre.
    #[serde(skip_serializing_if = "Option::is_none")]
    edge_prism_deg: Option<Direction>,
}

/// What a lens comes to.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct BecomesJson {
    /// Thinnest square edge, mm.
    thinnest_mm: Fine,
    /// Thickest square edge, mm.
    thickest_mm: Fine,
    /// Thickness at the vertex, mm.
    centre_mm: Fine,
    /// Mass, square edge, g.
    mass_g: Grams,
    /// Cut-out margin, mm.
    margin_mm: Fine,
}

/// A material that cannot make it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct CannotJson {
    /// The material.
    material: String,
    /// The eye that has no blank.
    #[serde(skip_serializing_if = "Option::is_none")]
    eye: Option<&'static str>,
    /// The blank that comes nearest.
    #[serde(skip_serializing_if = "Option::is_none")]
    nearest: Option<String>,
    /// Why it will not do.
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<&'static str>,
    /// By how much.
    #[serde(skip_serializing_if = "Option::is_none")]
    by: Option<Fine>,
}

/// A little more or less of something.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct LittleChangeJson {
    /// What is changed.
    #[schemars(extend("enum" = ["box", "diameter", "centre"]))]
    what: &'static str,
    /// By how much, mm.
    by_mm: Fine,
    /// The right lens then.
    #[serde(skip_serializing_if = "Option::is_none")]
    right: Option<BecomesJson>,
    /// The left lens then.
    #[serde(skip_serializing_if = "Option::is_none")]
    left: Option<BecomesJson>,
}

impl ComparisonJson {
    /// A comparison with what it was made from.
    #[must_use]
    pub fn new(comparison: &Comparison, inputs: Inputs) -> Self {
        Self {
            schema: "comparison/1",
            engine: ENGINE,
            inputs,
            number: comparison.ordered.plan.number.to_string(),
            ordered: (&comparison.ordered).into(),
            others: comparison.others.iter().map(CandidateJson::from).collect(),
            cannot: comparison.cannot.iter().map(CannotJson::from).collect(),
            frames: comparison.frames.iter().map(CandidateJson::from).collect(),
            little_changes: comparison.little_changes.iter().map(LittleChangeJson::from).collect(),
        }
    }
}

impl From<&Candidate> for CandidateJson {
    fn from(row: &Candidate) -> Self {
        let lens = |eye: Eye| {
            let lens = row.plan.eyes[eye].as_ref()?.lens.as_ref()?;
            let blur: Option<Blur> = row.blur[eye];
            Some(LensJson {
                sku: lens.blank.sku.clone(),
                becomes: (&Becomes::from(lens)).into(),
                blur_cm_per_m: blur.map(|b| Fine::new(b.blur_cm_per_m)),
                edge_prism_cm_per_m: blur.map(|b| Fine::new(b.prism_cm_per_m)),
                edge_prism_deg: blur.map(|b| Direction::new(b.deg)),
            })
        };
        Self {
            frame: row.frame.clone(),
            material: row.material.to_string(),
            made: row.made,
            to_order: row.to_order,
            open: row.plan.findings.iter().filter(|f| f.is_open()).map(FindingJson::from).collect(),
            right: lens(Eye::Right),
            left: lens(Eye::Left),
            mass_g: row.mass_g().map(Grams::new),
            cost_minor: row.cost.map(|c| c.minor),
            currency: row.cost.map(|c| String::from_utf8_lossy(&c.currency).into_owned()),
            thinner_rule_percent: row.thinner.map(|t| Coarse::new(100.0 * t.rule)),
            thinner_here_percent: row.thinner.map(|t| Coarse::new(100.0 * t.here)),
        }
    }
}

impl From<&Becomes> for BecomesJson {
    fn from(lens: &Becomes) -> Self {
        Self {
            thinnest_mm: lens.thinnest.into(),
            thickest_mm: lens.thickest.into(),
            centre_mm: lens.centre.into(),
            mass_g: Grams::new(lens.mass_g),
            margin_mm: lens.margin.into(),
        }
    }
}

impl From<&Cannot> for CannotJson {
    fn from(cannot: &Cannot) -> Self {
        let nearest = cannot.nearest.as_ref();
        Self {
            material: cannot.material.to_string(),
            eye: cannot.eye.map(Eye::word),
            nearest: nearest.map(|n| n.blank.sku.clone()),
            reason: nearest.map(|n| n.reason.word()),
            by: nearest.filter(|n| !n.reason.unit().is_empty()).map(|n| Fine::new(n.by)),
        }
    }
}

impl From<&LittleChange> for LittleChangeJson {
    fn from(change: &LittleChange) -> Self {
        let PerEye { right, left } = change.eyes;
        Self {
            what: change.what.word(),
            by_mm: change.by.into(),
            right: right.as_ref().map(BecomesJson::from),
            left: left.as_ref().map(BecomesJson::from),
        }
    }
}
