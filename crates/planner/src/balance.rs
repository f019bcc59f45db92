//! Balance of the pair: how the two lenses differ to the wearer and to the eye of others, and what evening them out would
//! do and cost.
//!
//! Image sizes are those of a distant object at the entrance pupil, along the horizontal and the vertical meridian. What a
//! change of one lens would do is that lens made again, its power and vertex distance held.

use job::{Blank, BlankState, Eye, Finding, Order, PerEye, kinds};
use lens::{Cutting, Walls};
use optics::magnification::{
    BeyondSizeLens, PUPIL_BEHIND_CORNEA_MM, SIZE_LENS_LIMITS, Worn, beyond_size_lens, centre_for_shape_factor,
    difference_percent, front_for_shape_factor, magnification,
};
use optics::{SpheroCylinder, curves};
use outline::Point;
use units::maths::{abs, sqrt};
use units::{Angle, Dioptre, Mm, Working, step};

use crate::candidate::{lens_of, middle_in_lens};
use crate::doubt::{Inside, making, with_centre};
use crate::plan::{Bench, EyePlan, LensPlan};
use crate::said::{fixed, mm1, mm2, signed2};

/// Thickest edges that differ by less are not worth evening out, mm: common practice, no source.
const WORTH_EVENING_MM: f64 = 1.0;
/// A front curve within this of a wanted one is that curve, D on 1.530: makers' steps, common practice, no source.
const ONE_CURVE_D: f64 = 0.3;
/// A blank of the shelf within this of a wanted centre has it, mm: tolerance of uncut lenses, reference facts.
const CENTRE_AS_WANTED_MM: f64 = 0.3;
/// A centre that grows by more is nothing to recommend, mm: own choice.
pub const MOST_ADDED_MM: f64 = 3.0;
/// A centre that no one grinds, mm: own choice.
const MOST_CENTRE_MM: f64 = 15.0;
/// Edges are evened out to this, mm.
const EDGE_MET_MM: f64 = 1e-6;
/// Steps of the secant rule; the edge grows with the centre almost one for one, so that three do.
const MOST_STEPS: usize = 20;

/// How the two lenses stand to each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Thickness at the vertex, right less left.
    pub centre_difference: Mm,
    /// Sizes of the images.
    pub image_size: ImageSizes,
    /// What would even out what differs; empty where nothing is worth it.
    pub equalise: Vec<Equalise>,
}

/// Sizes of the two images.
#[derive(Debug, Clone, PartialEq)]
pub struct ImageSizes {
    /// Vertex distance that was taken: back of the lens to the cornea.
    pub vertex: Mm,
    /// Where it comes from.
    pub vertex_from: VertexFrom,
    /// Each eye's.
    pub eyes: PerEye<ImageSize>,
    /// By how much the right image is larger than the left one, horizontally, percent.
    pub horizontal_percent: f64,
    /// The same, vertically.
    pub vertical_percent: f64,
}

impl ImageSizes {
    /// The greater of the two differences, percent, + where the right image is the larger.
    #[must_use]
    pub fn most_percent(&self) -> f64 {
        let (horizontal, vertical) = (self.horizontal_percent, self.vertical_percent);
        if abs(vertical) > abs(horizontal) { vertical } else { horizontal }
    }
}

/// Size of one eye's image against that without a lens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImageSize {
    /// Along the horizontal meridian.
    pub horizontal: Size,
    /// Along the vertical meridian.
    pub vertical: Size,
}

/// A size along one meridian, ratios: 1 where nothing changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// What the front curve and the thickness do.
    pub shape_factor: f64,
    /// What the power at its distance does.
    pub power_factor: f64,
    /// Both together; where principal meridians lie between, not quite their product.
    pub magnification: f64,
}

/// Where a vertex distance comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VertexFrom {
    /// As worn.
    Worn,
    /// As refracted.
    Refraction,
    /// The rules' usual one: the order states none.
    Usual,
}

impl VertexFrom {
    /// Its stable word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Worn => "worn",
            Self::Refraction => "refraction",
            Self::Usual => "usual",
        }
    }
}

/// What is evened out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// The sizes of the images: their mean of both meridians.
    ImageSize,
    /// The thickest edges.
    Edge,
    /// The front curves.
    FrontCurve,
}

impl Aim {
    /// Its stable word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::ImageSize => "image-size",
            Self::Edge => "edge",
            Self::FrontCurve => "front-curve",
        }
    }
}

/// What is changed for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// Centre thickness, mm.
    Centre,
    /// Front curve, D on 1.530.
    FrontCurve,
}

impl By {
    /// Its stable word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Centre => "centre",
            Self::FrontCurve => "front-curve",
        }
    }
}

/// A change of one lens that evens the pair out, what it does and what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Equalise {
    /// What is evened out.
    pub aim: Aim,
    /// What is changed.
    pub by: By,
    /// The eye whose lens is changed.
    pub eye: Eye,
    /// From this, mm or D on 1.530.
    pub from: f64,
    /// To this.
    pub to: f64,
    /// Thickest edge then.
    pub thickest: Mm,
    /// Thinnest edge then.
    pub thinnest: Mm,
    /// Mass of that lens then, g: within a hundredth of one, since only the change is integrated, and from few places.
    pub mass_g: f64,
    /// Its cut-out margin then, in a blank of the same diameter.
    pub margin: Mm,
    /// Difference of the image sizes then, horizontally and vertically, right against left, percent.
    pub image_size_percent: [f64; 2],
    /// Limits of practice that the front curve goes beyond.
    pub beyond: Vec<BeyondSizeLens>,
    /// The blank on the shelf that has it; none = it must be surfaced.
    pub sku: Option<String>,
}

/// Figures the balance of two lenses, and says what the wearer would notice.
pub(crate) fn figure(
    w: &mut Working,
    order: &Order,
    bench: &Bench<'_>,
    (right, left): (&EyePlan, &EyePlan),
    found: &mut Vec<Finding>,
) -> Option<Balance> {
    let (r, l) = (right.lens.as_ref()?, left.lens.as_ref()?);
    w.figure("", "pair.balance.centre_difference_mm");
    let (right_centre, left_centre) = (r.thickness.vertex.mm(), l.thickness.vertex.mm());
    let centres = step!(w, difference = right_centre - left_centre; right_centre["mm"], left_centre["mm"]; "mm",
        "thickness at the vertex, right less left");
    let (vertex, vertex_from) = vertex(order, bench);
    let pair = Pair { order, bench, eyes: PerEye { right: (right, r), left: (left, l) }, vertex };
    let eyes = PerEye { right: pair.image_size(w, Eye::Right), left: pair.image_size(w, Eye::Left) };
    let mut apart = |name: &str, of: fn(&ImageSize) -> f64| {
        w.figure("", &format!("pair.balance.image_size.difference_{name}_percent"));
        for eye in Eye::BOTH {
            w.uses("", &format!("pair.balance.image_size.{}.{name}.magnification", eye.word()));
        }
        difference_percent(w, of(&eyes.right), of(&eyes.left))
    };
    let horizontal_percent = apart("horizontal", |s| s.horizontal.magnification);
    let vertical_percent = apart("vertical", |s| s.vertical.magnification);
    let image_size = ImageSizes { vertex, vertex_from, eyes, horizontal_percent, vertical_percent };
    let equalise = pair.equalise(w, &image_size);
    notice(bench, &image_size, &equalise, found);
    Some(Balance { centre_difference: Mm::new(centres), image_size, equalise })
}

/// The vertex distance as worn, else as refracted, else the rules'.
fn vertex(order: &Order, bench: &Bench<'_>) -> (Mm, VertexFrom) {
    match (order.wearer.worn_vertex, order.prescription.refraction_vertex) {
        (Some(worn), _) => (worn, VertexFrom::Worn),
        (None, Some(refracted)) => (refracted, VertexFrom::Refraction),
        (None, None) => (bench.rules.eye.vertex, VertexFrom::Usual),
    }
}

/// A difference that a wearer would notice.
fn notice(bench: &Bench<'_>, sizes: &ImageSizes, equalise: &[Equalise], found: &mut Vec<Finding>) {
    let (horizontal, vertical) = (sizes.horizontal_percent, sizes.vertical_percent);
    let most = sizes.most_percent();
    let limit = bench.rules.placement.image_size_percent;
    if abs(most) < limit {
        return;
    }
    let larger = if most > 0.0 { Eye::Right } else { Eye::Left };
    let ways: Vec<String> = equalise
        .iter()
        .filter(|e| e.aim == Aim::ImageSize && e.beyond.is_empty())
        .filter(|e| e.by == By::FrontCurve || e.to - e.from <= MOST_ADDED_MM)
        .map(|e| {
            let what = match e.by {
                By::Centre => format!("a centre of {} mm", mm1(e.to)),
                By::FrontCurve => format!("a front of {} D", signed2(e.to)),
            };
            let [across, up] = e.image_size_percent.map(|percent| fixed(abs(percent), 1));
            format!("{what} on the {} lens would leave {across} and {up}", e.eye)
        })
        .collect();
    let even = if ways.is_empty() { "no curve or thickness within practice helps".to_owned() } else { ways.join(", ") };
    found.push(
        Finding::new(&kinds::IMAGE_SIZES_APART, "pair.balance.image_size", fixed(most, 2))
            .limit(fixed(limit, 2))
            .unit("%")
            .weighs(abs(most) / 100.0)
            .says(
                format!(
                    "the {larger} lens shows the world larger than its fellow: {} percent across and {} up and down",
                    fixed(abs(horizontal), 1),
                    fixed(abs(vertical), 1)
                ),
                format!("ask whether the wearer is used to such a pair; {even}; contact lenses take most of it away"),
            ),
    );
}

/// Two planned lenses, ready to be measured and changed.
struct Pair<'a> {
    order: &'a Order,
    bench: &'a Bench<'a>,
    eyes: PerEye<(&'a EyePlan, &'a LensPlan)>,
    vertex: Mm,
}

const MERIDIANS: [(&str, Angle); 2] = [("horizontal", Angle::ZERO), ("vertical", Angle::from_deg(90.0))];

impl Pair<'_> {
    /// A lens before its eye.
    fn worn(&self, lens: &lens::Lens, plan: &LensPlan) -> Worn {
        Worn {
            front: lens.front_power(),
            bvp: plan.power.computed(),
            centre: lens.centre(),
            index: plan.index,
            to_eye: self.vertex + Mm::new(PUPIL_BEHIND_CORNEA_MM),
        }
    }

    fn image_size(&self, w: &mut Working, eye: Eye) -> ImageSize {
        let (_, lens) = self.eyes[eye];
        let worn = self.worn(lens.cutting.lens(), lens);
        let [horizontal, vertical] = MERIDIANS.map(|(name, meridian)| {
            let off = &mut Working::off();
            let shape_factor = magnification(off, Worn { bvp: SpheroCylinder::PLANO, ..worn }, meridian);
            let power_factor = magnification(off, Worn { front: SpheroCylinder::PLANO, ..worn }, meridian);
            w.figure("", &format!("pair.balance.image_size.{}.{name}.magnification", eye.word()));
            w.uses(eye.word(), "surfaces");
            w.say(|| {
                format!(
                    "At the entrance pupil, {} mm behind the cornea, which lies {} mm behind the lens.",
                    mm1(PUPIL_BEHIND_CORNEA_MM),
                    mm1(self.vertex.mm())
                )
            });
            Size { shape_factor, power_factor, magnification: magnification(w, worn, meridian) }
        });
        ImageSize { horizontal, vertical }
    }

    fn equalise(&self, w: &mut Working, sizes: &ImageSizes) -> Vec<Equalise> {
        let (r, l) = (self.eyes.right.1, self.eyes.left.1);
        let mut ways = Vec::new();
        let percent = (sizes.horizontal_percent + sizes.vertical_percent) / 2.0;
        if abs(sizes.most_percent()) >= self.bench.rules.placement.image_size_percent {
            let smaller = if percent > 0.0 { Eye::Left } else { Eye::Right };
            ways.extend(self.image_by_centre(w, sizes, smaller));
            ways.extend(self.image_by_front(w, sizes, smaller));
        }
        let edges = r.edge.thickest - l.edge.thickest;
        if edges.abs().mm() >= WORTH_EVENING_MM {
            let thinner = if edges > Mm::ZERO { Eye::Left } else { Eye::Right };
            ways.extend(self.edge_by_centre(w, thinner));
        }
        let curves = r.front_curve_1530 - l.front_curve_1530;
        if curves.abs().dioptres() > self.bench.rules.placement.curve_match_d {
            let flatter = if curves > Dioptre::ZERO { Eye::Left } else { Eye::Right };
            let to = self.eyes[flatter.other()].1.front_curve_1530.dioptres();
            ways.extend(self.changed(Aim::FrontCurve, By::FrontCurve, flatter, to));
        }
        ways
    }

    /// The shape factor with which the smaller image becomes as large as the other, means of both meridians.
    fn wanted_shape(&self, w: &mut Working, sizes: &ImageSizes, smaller: Eye) -> f64 {
        let mean = |size: &ImageSize| sqrt(size.horizontal.magnification * size.vertical.magnification);
        let (own, other) = (mean(&sizes.eyes[smaller]), mean(&sizes.eyes[smaller.other()]));
        let size = &sizes.eyes[smaller];
        let shape = sqrt(size.horizontal.shape_factor * size.vertical.shape_factor);
        step!(w, wanted_shape_factor = shape * other / own; shape[""], other[""], own[""]; "",
            "the power factor stays: geometric means of both meridians")
    }

    fn image_by_centre(&self, w: &mut Working, sizes: &ImageSizes, smaller: Eye) -> Option<Equalise> {
        let (_, lens) = self.eyes[smaller];
        w.figure("", "pair.balance.equalise.image-size.centre.to");
        let wanted = self.wanted_shape(w, sizes, smaller);
        let front = lens.cutting.lens().front_power().spherical_equivalent();
        let centre = centre_for_shape_factor(w, wanted, front, lens.index).ok()?;
        self.changed(Aim::ImageSize, By::Centre, smaller, centre.mm())
    }

    /// The front that evens the images and, where that goes beyond practice, the steepest within it.
    fn image_by_front(&self, w: &mut Working, sizes: &ImageSizes, smaller: Eye) -> Vec<Equalise> {
        let (_, lens) = self.eyes[smaller];
        w.figure("", "pair.balance.equalise.image-size.front-curve.to");
        let wanted = self.wanted_shape(w, sizes, smaller);
        let Ok(front) = front_for_shape_factor(w, wanted, lens.thickness.vertex, lens.index) else { return Vec::new() };
        // A toric front is stated by its flatter meridian, which keeps its distance from the mean of both.
        let own = lens.cutting.lens().front_power().spherical_equivalent();
        let front_curve = lens.front_curve_1530.dioptres();
        let steeper = curves::marked_curve_of_true(&mut Working::off(), front - own, lens.index).dioptres();
        let to =
            step!(w, front_curve_then = front_curve + steeper; front_curve["D"], steeper["D"]; "D", "on index 1.530");
        let even = self.changed(Aim::ImageSize, By::FrontCurve, smaller, to);
        if even.as_ref().is_some_and(|way| way.beyond.is_empty()) {
            return even.into_iter().collect();
        }
        let usual = curves::vogel(&mut Working::off(), lens.power.computed().spherical_equivalent());
        let other = self.eyes[smaller.other()].1.cutting.lens().front_power().spherical_equivalent();
        let steepest = (usual + SIZE_LENS_LIMITS.above_usual).min(other + SIZE_LENS_LIMITS.apart);
        // On the line, rounding must not put it beyond.
        let steepest = steepest - Dioptre::new(1e-9);
        let steeper = curves::marked_curve_of_true(&mut Working::off(), steepest - own, lens.index).dioptres();
        let within = (steeper > ONE_CURVE_D)
            .then(|| self.changed(Aim::ImageSize, By::FrontCurve, smaller, front_curve + steeper))
            .flatten();
        even.into_iter().chain(within).collect()
    }

    /// The centre at which the thinner of the two edges is as thick as the other.
    fn edge_by_centre(&self, w: &mut Working, thinner: Eye) -> Option<Equalise> {
        let wanted = self.eyes[thinner.other()].1.edge.thickest.mm();
        let own = self.eyes[thinner].1;
        let (mut centre, mut short) = (own.thickness.vertex.mm(), own.edge.thickest.mm() - wanted);
        let mut slope = 1.0;
        for steps in 1..=MOST_STEPS {
            let next = centre - short / slope;
            let held = self.held(thinner, By::Centre, next)?;
            let walls = Walls::of(&held, &own.cut).ok()?;
            let left = lens::edge_extremes(&held, &own.cut, &walls).thickest.thickness.mm() - wanted;
            if abs(left) <= EDGE_MET_MM {
                w.figure("", "pair.balance.equalise.edge.centre.to");
                w.say(|| {
                    format!("Centre {next:.6} mm found by the secant rule in {steps} steps: the thickest edges are alike to {:.1e} mm.", abs(left))
                });
                return self.changed(Aim::Edge, By::Centre, thinner, next);
            }
            let rise = (left - short) / (next - centre);
            slope = if rise > 0.1 { rise } else { 1.0 };
            (centre, short) = (next, left);
        }
        None
    }

    /// The lens of an eye with another centre or front curve, in the machine; none where there is no such lens.
    fn held(&self, eye: Eye, by: By, to: f64) -> Option<Cutting> {
        let (eye_plan, plan) = self.eyes[eye];
        let making = making(eye_plan, plan);
        let off = &mut Working::off();
        let lens = match by {
            By::FrontCurve => lens_of(off, &making, to, plan.thickness.vertex.mm()),
            By::Centre if to > MOST_CENTRE_MM => return None,
            By::Centre => {
                let blank = with_centre(&plan.blank, Mm::new(to) - plan.thickness.vertex);
                let making = crate::candidate::Making { blank: &blank, ..making };
                lens_of(off, &making, plan.front_curve_1530.dioptres(), to)
            }
        };
        let (x, y) = eye_plan.vertex?.xy(eye);
        Cutting::new(lens.ok()?, Point::new(x, y), &self.bench.rules.block).ok()
    }

    /// What a change of one lens does; none where there is no such lens.
    fn changed(&self, aim: Aim, by: By, eye: Eye, to: f64) -> Option<Equalise> {
        let (_, plan) = self.eyes[eye];
        let held = self.held(eye, by, to)?;
        let walls = Walls::of(&held, &plan.cut).ok()?;
        let edge = lens::edge_extremes(&held, &plan.cut, &walls);
        let middle = middle_in_lens(eye, &plan.blank, plan.turn_deg);
        let cover = &plan.coverage;
        let margin = lens::coverage(&held, &plan.cut, &walls, middle, cover.usable_radius, cover.allowance).margin;
        let added = Inside::of(self.eyes[eye].0, plan)?.added_mm3(&held)?;
        let mass_g = plan.mass_g + added * plan.density_g_cm3 / 1000.0;
        let sized = |e: Eye, meridian| {
            let (_, own) = self.eyes[e];
            let lens = if e == eye { held.lens() } else { own.cutting.lens() };
            magnification(&mut Working::off(), self.worn(lens, own), meridian)
        };
        let image_size_percent = MERIDIANS.map(|(_, meridian)| {
            difference_percent(&mut Working::off(), sized(Eye::Right, meridian), sized(Eye::Left, meridian))
        });
        let front = |lens: &lens::Lens| lens.front_power().spherical_equivalent();
        let usual = curves::vogel(&mut Working::off(), plan.power.computed().spherical_equivalent());
        let beyond = match by {
            By::Centre => Vec::new(),
            By::FrontCurve => beyond_size_lens(
                front(held.lens()),
                plan.power.computed().spherical_equivalent(),
                usual,
                front(self.eyes[eye.other()].1.cutting.lens()),
            ),
        };
        let from = match by {
            By::Centre => plan.thickness.vertex.mm(),
            By::FrontCurve => plan.front_curve_1530.dioptres(),
        };
        let sku = self.on_the_shelf(eye, by, to, margin);
        let (thickest, thinnest) = (edge.thickest.thickness, edge.thinnest.thickness);
        Some(Equalise { aim, by, eye, from, to, thickest, thinnest, mass_g, margin, image_size_percent, beyond, sku })
    }

    /// The first blank on the shelf that is as the planned one but for the change.
    fn on_the_shelf(&self, eye: Eye, by: By, to: f64, margin: Mm) -> Option<String> {
        let plan = self.eyes[eye].1;
        let shelf = self.bench.shelf?;
        let own = &plan.blank;
        let left = |row: usize| self.bench.left.map_or_else(|| shelf.row(row).quantity, |left| left[row]);
        let curve = |blank: &Blank| {
            let material = self.bench.rules.material(&blank.material)?;
            blank.front_curve.map(|_| {
                crate::assumed::figures(blank, material, self.bench.rules, plan.power).front_curve_1530_d.value
            })
        };
        let serves = |blank: &Blank| {
            let wider = (blank.nominal / 2.0 - blank.unusable_rim()) - plan.coverage.usable_radius;
            let (centre, front) = match by {
                By::Centre => (to, plan.front_curve_1530.dioptres()),
                By::FrontCurve => (plan.thickness.vertex.mm(), to),
            };
            blank.state == BlankState::Finished
                && blank.series == own.series
                && blank.form == own.form
                && blank.treatments == own.treatments
                && blank.torus == own.torus
                && blank.prism == own.prism
                && (blank.middle_in, blank.middle_up) == (own.middle_in, own.middle_up)
                && blank.fixed_axis == own.fixed_axis
                && blank.eye.is_none_or(|e| e == eye)
                && blank.for_order.as_ref().is_none_or(|number| *number == self.order.number)
                && blank.centre.is_some_and(|c| abs(c.mm() - centre) <= CENTRE_AS_WANTED_MM + 1e-9)
                && curve(blank).is_some_and(|c| abs(c - front) <= ONE_CURVE_D + 1e-9)
                && margin + wider >= Mm::ZERO
        };
        shelf
            .exactly(&own.material, own.kind, plan.power)
            .find(|&row| row != plan.row && left(row) > 0 && serves(shelf.row(row)))
            .map(|row| shelf.row(row).sku.clone())
    }
}

/// What a change costs against the plan, in the words of the bench: `+0.42 mm edge, +0.8 g`.
#[must_use]
pub fn cost_words(way: &Equalise, lens: &LensPlan) -> String {
    let more = |after: f64, before: f64, unit: &str, decimals: usize| {
        let by = fixed(after - before, decimals);
        let sign = if by.starts_with('-') { "" } else { "+" };
        format!("{sign}{by} {unit}")
    };
    format!(
        "thickest edge {} ({} mm), {}, margin {} mm",
        more(way.thickest.mm(), lens.edge.thickest.mm(), "mm", 2),
        mm2(way.thickest.mm()),
        more(way.mass_g, lens.mass_g, "g", 1),
        mm2(way.margin.mm())
    )
}
