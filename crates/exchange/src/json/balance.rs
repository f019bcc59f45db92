//! Balance of the pair, as JSON.

use planner::balance::{Balance, Equalise, ImageSize, ImageSizes, Size};
use schemars::JsonSchema;
use serde::Serialize;

use super::figure::{Figure, Fine, Grams};

/// A ratio: six decimals, as a tenth of a thousandth of a percent.
type Ratio = Figure<6>;

/// How the two lenses stand to each other.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct BalanceJson {
    /// Thickest square edge, right less left, mm.
    edge_difference_mm: Fine,
    /// Thickness at the vertex, right less left, mm.
    centre_difference_mm: Fine,
    /// Front curve on index 1.530, right less left, D.
    front_curve_difference_d: Fine,
    /// Sizes of the two images.
    image_size: ImageSizesJson,
    /// What would even out what differs; empty where nothing is worth it.
    equalise: Vec<EqualiseJson>,
}

/// Sizes of the two images of a distant object at the entrance pupil, 3 mm behind the cornea.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct ImageSizesJson {
    /// Back of the lens to the cornea, mm.
    vertex_mm: Fine,
    /// Where that comes from: as worn, as refracted, or the rules' usual one.
    #[schemars(extend("enum" = ["worn", "refraction", "usual"]))]
    vertex_from: &'static str,
    /// The wearer's right eye.
    right: ImageSizeJson,
    /// The wearer's left eye.
    left: ImageSizeJson,
    /// By how much the right image is larger than the left one along the horizontal, percent.
    difference_horizontal_percent: Fine,
    /// The same along the vertical.
    difference_vertical_percent: Fine,
}

/// Size of one image against that without a lens.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct ImageSizeJson {
    horizontal: SizeJson,
    vertical: SizeJson,
}

/// A size along one meridian: ratios, 1 where nothing changes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct SizeJson {
    /// What the front curve and the thickness do.
    shape_factor: Ratio,
    /// What the power at its distance does.
    power_factor: Ratio,
    /// Both together; where principal meridians lie between, not quite their product.
    magnification: Ratio,
}

/// A change of one lens that evens the pair out, what it does and what it costs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct EqualiseJson {
    /// What is evened out.
    #[schemars(extend("enum" = ["image-size", "edge", "front-curve"]))]
    aim: &'static str,
    /// What is changed.
    #[schemars(extend("enum" = ["centre", "front-curve"]))]
    by: &'static str,
    /// The eye whose lens is changed.
    #[schemars(extend("enum" = ["right", "left"]))]
    eye: &'static str,
    /// Centre thickness from and to, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    centre_from_mm: Option<Fine>,
    #[serde(skip_serializing_if = "Option::is_none")]
    centre_to_mm: Option<Fine>,
    /// Front curve from and to, D on index 1.530.
    #[serde(skip_serializing_if = "Option::is_none")]
    front_curve_from_d: Option<Fine>,
    #[serde(skip_serializing_if = "Option::is_none")]
    front_curve_to_d: Option<Fine>,
    /// That lens's thickest square edge then, mm.
    edge_thickest_mm: Fine,
    /// Its thinnest square edge then, mm.
    edge_thinnest_mm: Fine,
    /// Its mass then, g, within a hundredth of one.
    mass_g: Grams,
    /// Its cut-out margin then, in a blank of the same diameter, mm.
    margin_mm: Fine,
    /// What is left between the images, right against left, along the horizontal, percent.
    difference_horizontal_percent: Fine,
    /// The same along the vertical.
    difference_vertical_percent: Fine,
    /// Limits of practice that the front curve goes beyond.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    beyond: Vec<&'static str>,
    /// The blank on the shelf that has it; absent where the lens must be surfaced.
    #[serde(skip_serializing_if = "Option::is_none")]
    sku: Option<String>,
    /// Whether the lens must be surfaced for it.
    surfaced: bool,
}

impl BalanceJson {
    pub(super) fn new(balance: &Balance, edges: units::Mm, curves: units::Dioptre) -> Self {
        Self {
            edge_difference_mm: edges.into(),
            centre_difference_mm: balance.centre_difference.into(),
            front_curve_difference_d: curves.into(),
            image_size: ImageSizesJson::from(&balance.image_size),
            equalise: balance.equalise.iter().map(EqualiseJson::from).collect(),
        }
    }
}

impl From<&ImageSizes> for ImageSizesJson {
    fn from(sizes: &ImageSizes) -> Self {
        Self {
            vertex_mm: sizes.vertex.into(),
            vertex_from: sizes.vertex_from.word(),
            right: ImageSizeJson::from(&sizes.eyes.right),
            left: ImageSizeJson::from(&sizes.eyes.left),
            difference_horizontal_percent: Fine::new(sizes.horizontal_percent),
            difference_vertical_percent: Fine::new(sizes.vertical_percent),
        }
    }
}

impl From<&ImageSize> for ImageSizeJson {
    fn from(size: &ImageSize) -> Self {
        Self { horizontal: SizeJson::from(&size.horizontal), vertical: SizeJson::from(&size.vertical) }
    }
}

impl From<&Size> for SizeJson {
    fn from(size: &Size) -> Self {
        Self {
            shape_factor: Ratio::new(size.shape_factor),
            power_factor: Ratio::new(size.power_factor),
            magnification: Ratio::new(size.magnification),
        }
    }
}

impl From<&Equalise> for EqualiseJson {
    fn from(way: &Equalise) -> Self {
        let of = |by, value| (way.by == by).then(|| Fine::new(value));
        let [horizontal, vertical] = way.image_size_percent.map(Fine::new);
        use planner::balance::By;
        Self {
            aim: way.aim.word(),
            by: way.by.word(),
            eye: way.eye.word(),
            centre_from_mm: of(By::Centre, way.from),
            centre_to_mm: of(By::Centre, way.to),
            front_curve_from_d: of(By::FrontCurve, way.from),
            front_curve_to_d: of(By::FrontCurve, way.to),
            edge_thickest_mm: way.thickest.into(),
            edge_thinnest_mm: way.thinnest.into(),
            mass_g: Grams::new(way.mass_g),
            margin_mm: way.margin.into(),
            difference_horizontal_percent: horizontal,
            difference_vertical_percent: vertical,
            beyond: way.beyond.iter().map(|limit| limit.says()).collect(),
            sku: way.sku.clone(),
            surfaced: way.sku.is_none(),
        }
    }
}
