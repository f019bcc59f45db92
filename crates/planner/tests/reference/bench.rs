//! A bench for cases that need a whole plan: an order, a frame of exact shapes, rules and a shelf of one blank.

use std::sync::Arc;

use jiff::civil::date;
use job::process::{LensFamily, Minutes, Process};
use job::rules::{
    Bevel, Block, BlockAt, CuttingAxis, Doubt, EyeModel, Groove, Intake, Least, Lies, PdDoubt, Placement, Readings,
    RightLeft, Rules, Size, SizeUnit, Wheels,
};
use job::{
    Blank, BlankState, Cylinder, EdgeKind, EdgeRun, EyePrescription, Eyes, FarPd, Frame, FrontCurve, IndexLine,
    LensForm, LensOrder, LensType, LensUse, Material, MaterialId, Mounting, Order, OrderNumber, OutlineFrom, OutlineOf,
    PerEye, Prescription, TorusSide, TreatmentNames, Treatments, Wearer,
};
use optics::{OrderedPower, SpheroCylinder};
use outline::Outline;
use planner::{Bench, FrameShapes, Plan, Shape, Shelf};
use units::{Axis, Mm, Power, Working, WrittenPower};

use crate::case::ordered;

const MATERIAL: &str = "case-resin";

/// Everything that a plan is made from; a case changes what it is about.
pub(crate) struct OnTheBench {
    pub(crate) order: Order,
    pub(crate) rules: Rules,
    /// The right eye's shape; the left eye has its mirror image.
    pub(crate) shape: Outline,
    /// The one blank; none = no shelf.
    pub(crate) blank: Option<Blank>,
    /// Distance between lenses as the records state it.
    pub(crate) between_in_records: Option<Mm>,
}

impl OnTheBench {
    /// A plano pair for a shape, a distance between lenses and the rules of these cases; no shelf.
    pub(crate) fn new(shape: Outline, between_lenses: Mm) -> Self {
        Self { order: order(between_lenses), rules: rules(), shape, blank: None, between_in_records: None }
    }

    /// With these powers to make.
    pub(crate) fn powers(mut self, right: SpheroCylinder, left: SpheroCylinder) -> Self {
        self.order.prescription.eyes = PerEye { right: Some(written(right)), left: Some(written(left)) };
        self
    }

    /// With a far pupillary distance of the pair.
    pub(crate) fn pd(mut self, pd: Mm) -> Self {
        self.order.wearer.far_pd = Some(FarPd::Binocular(pd));
        self
    }

    /// With records that state a distance between lenses.
    pub(crate) fn records_say(mut self, between_lenses: Mm) -> Self {
        self.between_in_records = Some(between_lenses);
        self
    }

    /// The plan.
    pub(crate) fn plan(&self) -> Plan {
        let right = measured(&self.shape);
        let left = right.mirrored();
        let frame = FrameShapes {
            eyes: PerEye { right: Arc::new(right), left: Arc::new(left) },
            between_lenses: self.between_in_records,
            doubts: Vec::new(),
            difference: None,
        };
        let shelf = self.blank.as_ref().map(|blank| Shelf::new(vec![Arc::new(blank.clone())]));
        let bench = Bench { shelf: shelf.as_ref(), left: None, rules: &self.rules, uncut: job::PerEye::default() };
        planner::plan(&self.order, &frame, &bench, Working::off())
    }
}

/// An exact shape as a frame has it.
fn measured(outline: &Outline) -> Shape {
    Shape::exact(outline.clone())
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an axis of the file")]
fn written(power: SpheroCylinder) -> EyePrescription {
    let text = |power: Power| WrittenPower { power, written: power.to_string() };
    let cylinder = if power.cylinder.dioptres() == 0.0 {
        Cylinder::None
    } else {
        Cylinder::Given {
            power: text(ordered(power.cylinder.dioptres())),
            axis: Axis::from_half_degrees((2.0 * power.axis.deg()).round() as u16).expect("an axis"),
        }
    };
    EyePrescription { sphere: text(ordered(power.sphere.dioptres())), cylinder, prism: Vec::new(), add: None }
}

fn order(between_lenses: Mm) -> Order {
    Order {
        number: OrderNumber::new("1").expect("a number"),
        taken: date(2026, 3, 2),
        eyes: Eyes::Both,
        wearer: Wearer {
            born: None,
            far_pd: None,
            near_pd: PerEye::default(),
            pupil_height: PerEye::default(),
            optical_centre_height: PerEye::default(),
            segment_height: PerEye::default(),
            fitting_height: PerEye::default(),
            measured_by: None,
            worn_vertex: None,
        },
        prescription: Prescription {
            written: None,
            refraction_vertex: None,
            eyes: PerEye::from_fn(|_| Some(written(SpheroCylinder::PLANO))),
            compensated: PerEye::default(),
        },
        frame: Frame {
            outline: "exact".to_owned(),
            outline_of: Some(OutlineOf::LensEdge),
            outline_from: Some(OutlineFrom::ThisFrame),
            outline_allowance: Some(Mm::ZERO),
            mounting: Mounting::FullRim,
            material: None,
            owner: None,
            distance_between_lenses: Some(between_lenses),
            frame_curve_d: None,
            rim_groove: None,
            face_form_deg: None,
            pantoscopic_deg: None,
            holes: Vec::new(),
            clearance: Vec::new(),
        },
        lens: LensOrder {
            purpose: LensUse::Distance,
            task_distance: None,
            kind: LensType::SingleVision,
            material: MaterialId::new(MATERIAL),
            treatments: Treatments::NONE,
            edge: EdgeKind::Flat,
            bevel: None,
            edge_line: None,
            blank: PerEye::default(),
            centre: PerEye::default(),
            least_edge: PerEye::default(),
            front_curve_d: PerEye::default(),
            mate: None,
        },
        answers: Vec::new(),
    }
}

/// A blank without unusable rim, its front curve on its own index.
pub(crate) fn blank(power: SpheroCylinder, front_d: f64, index: f64, centre: Mm, nominal: Mm) -> Blank {
    assert_eq!(power.cylinder.dioptres(), 0.0, "these cases are about spheres");
    Blank {
        sku: "case".to_owned(),
        material: MaterialId::new(MATERIAL),
        series: None,
        lot: None,
        kind: LensType::SingleVision,
        form: LensForm::Spheric,
        power: OrderedPower::new(ordered(power.sphere.dioptres()), None),
        fixed_axis: None,
        add: None,
        prism: None,
        eye: None,
        nominal,
        usable: Some(nominal),
        middle_in: Mm::ZERO,
        middle_up: Mm::ZERO,
        centre: Some(centre),
        check: None,
        front_curve: Some(FrontCurve { curve_d: front_d, index }),
        index: Some(index),
        index_line: IndexLine::D,
        treatments: Treatments::NONE,
        polarised_deg: None,
        for_order: None,
        received: None,
        quantity: 2,
        unit_cost: None,
        place: None,
        state: BlankState::Finished,
        torus: TorusSide::Back,
        front_conic: None,
        back_conic: None,
    }
}

/// No step that takes time, no limit that speaks.
fn process() -> Process {
    let minutes = Minutes {
        mark: 0.0,
        block: 0.0,
        cut: Vec::new(),
        gentle_times: 1.0,
        groove: 0.0,
        safety: 0.0,
        hole: 0.0,
        toughen: 0.0,
        try_in: 0.0,
        mount: Vec::new(),
        strain: 0.0,
        true_up: 0.0,
        verify: 0.0,
        clean: 0.0,
    };
    Process {
        thin_centre: Mm::ZERO,
        decentration: Mm::new(100.0),
        thick_edge: Mm::new(100.0),
        stage: Mm::new(5.0),
        slip_deg: 1.0,
        drill_step: Mm::new(0.5),
        wrap_deg: 90.0,
        minutes,
    }
}

/// Rules in which no limit is in the way; the cutting axis lies along the lens axis, as the cases have it.
fn rules() -> Rules {
    let nil = Mm::ZERO;
    let wide = (nil, Mm::new(1000.0));
    Rules {
        edition: "none".to_owned(),
        blank_allowance: nil,
        least: Least {
            groove_stop: nil,
            groove_ask: nil,
            bevel_ask: nil,
            drilled_stop: nil,
            drilled_most_ask: Mm::new(1000.0),
            hole_wall_ask: nil,
            hole_edge_ask: nil,
            front_shoulder: nil,
            back_shoulder: nil,
        },
        size: Size { unit: SizeUnit::Radius, step: Mm::new(0.05), right_left: RightLeft::Own, longer_3d: Vec::new() },
        bevel: Bevel {
            angle_deg: 115.0,
            height: Mm::new(0.7),
            safety: nil,
            gap_given: Mm::new(0.03),
            small_height: None,
            step: nil,
            line: EdgeRun::RIM,
        },
        groove: Groove { width: Mm::new(0.6), depth: Mm::new(0.6), wall: Mm::new(0.5), line: EdgeRun::FRONT },
        wheel: Wheels { rough: Mm::new(100.0), bevel: Mm::new(100.0), left: nil, thinned: nil },
        process: process(),
        block: Block {
            axis: CuttingAxis::LensAxis,
            at: BlockAt::BoxedCentre,
            lies: Lies::FrontUp,
            diameters: vec![Mm::new(18.0)],
            clear_least: nil,
            clear_wanted: nil,
            clamp_least: nil,
        },
        placement: Placement {
            lower_aspheric: true,
            lower_spheric: false,
            curve_match_d: 1.0,
            pd_prism_cm_per_m: 0.67,
            image_size_percent: 100.0,
        },
        eye: EyeModel { rotation: Mm::new(27.0), near_down: Mm::new(10.0), vertex: Mm::new(13.0), lashes: nil },
        outline_noise: None,
        readings: Readings { power_d: 0.03, axis_deg: 0.86, place: Mm::new(0.3), prism_cm_per_m: 0.1 },
        pd_doubt: PdDoubt { own: nil, pupillometer: nil, rule_examiner: nil, rule_self: nil, app: nil, unknown: nil },
        doubt: Doubt {
            front_curve_d: 1.0,
            centre: Mm::new(0.3),
            plus_blank_edge: Mm::new(1.0),
            label_centre: Mm::new(0.3),
            label_curve_d: 0.75,
            read_centre: Mm::new(0.05),
            read_curve_d: 0.25,
        },
        intake: Intake {
            opposite_sign_d: 100.0,
            anisometropia_d: 100.0,
            mirror_cylinder_d: 100.0,
            mirror_deg: 100.0,
            vertex_d: 100.0,
            monocular_apart: Mm::new(100.0),
            monocular_most: Mm::new(100.0),
            monocular_least: nil,
            binocular_least: nil,
            binocular_most: Mm::new(200.0),
            height_apart: Mm::new(100.0),
            prism_pair_cm_per_m: 100.0,
            prescription_years: 100,
            child_years: 0,
            box_width: wide,
            box_height: wide,
            between_lenses: wide,
            add_d: (0.0, 100.0),
        },
        materials: vec![Material {
            id: MaterialId::new(MATERIAL),
            name: MATERIAL.to_owned(),
            n_d: 1.5,
            n_e: None,
            abbe: 50.0,
            density_g_cm3: 1.0,
            least_centre: None,
            least_edge_bevelled: None,
            least_edge_grooved: None,
            least_edge_drilled: None,
            edging: None,
            family: LensFamily::Unknown,
            rough: None,
            finish: None,
            sources: "none".to_owned(),
        }],
        treatments: TreatmentNames::with(&[]).expect("the trade's own"),
    }
}
