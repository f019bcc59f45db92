//! The columns of a shelf.

/// Every column, in the order in which a shelf is written.
pub const COLUMNS: [&str; 37] = [
    "sku",
    "material",
    "series",
    "lot",
    "type",
    "form",
    "sphere_d",
    "cylinder_d",
    "axis_deg",
    "add_d",
    "base_in_cm_per_m",
    "base_up_cm_per_m",
    "eye",
    "nominal_mm",
    "usable_mm",
    "middle_in_mm",
    "middle_up_mm",
    "centre_mm",
    "check_mm",
    "check_radius_mm",
    "check_deg",
    "front_curve_d",
    "front_curve_index",
    "index",
    "index_line",
    "treatments",
    "polarised_deg",
    "for_order",
    "received",
    "quantity",
    "unit_cost_minor",
    "currency",
    "place",
    "state",
    "torus",
    "front_conic",
    "back_conic",
];

/// Where a column stands in [`COLUMNS`], found when the program is compiled.
const fn column(name: &str) -> usize {
    let name = name.as_bytes();
    let mut i = 0;
    while i < COLUMNS.len() {
        let known = COLUMNS[i].as_bytes();
        let mut k = 0;
        while k < name.len() && k < known.len() && name[k] == known[k] {
            k += 1;
        }
        if k == name.len() && k == known.len() {
            return i;
        }
        i += 1;
    }
    panic!("no such column")
}

pub(super) const SKU: usize = column("sku");
pub(super) const MATERIAL: usize = column("material");
pub(super) const SERIES: usize = column("series");
pub(super) const LOT: usize = column("lot");
pub(super) const TYPE: usize = column("type");
pub(super) const FORM: usize = column("form");
pub(super) const SPHERE: usize = column("sphere_d");
pub(super) const CYLINDER: usize = column("cylinder_d");
pub(super) const AXIS: usize = column("axis_deg");
pub(super) const ADD: usize = column("add_d");
pub(super) const BASE_IN: usize = column("base_in_cm_per_m");
pub(super) const BASE_UP: usize = column("base_up_cm_per_m");
pub(super) const EYE: usize = column("eye");
pub(super) const NOMINAL: usize = column("nominal_mm");
pub(super) const USABLE: usize = column("usable_mm");
pub(super) const MIDDLE_IN: usize = column("middle_in_mm");
pub(super) const MIDDLE_UP: usize = column("middle_up_mm");
pub(super) const CENTRE: usize = column("centre_mm");
pub(super) const CHECK: usize = column("check_mm");
pub(super) const CHECK_RADIUS: usize = column("check_radius_mm");
pub(super) const CHECK_DEG: usize = column("check_deg");
pub(super) const FRONT_CURVE: usize = column("front_curve_d");
pub(super) const FRONT_CURVE_INDEX: usize = column("front_curve_index");
pub(super) const INDEX: usize = column("index");
pub(super) const INDEX_LINE: usize = column("index_line");
pub(super) const TREATMENTS: usize = column("treatments");
pub(super) const POLARISED: usize = column("polarised_deg");
pub(super) const FOR_ORDER: usize = column("for_order");
pub(super) const RECEIVED: usize = column("received");
pub(super) const QUANTITY: usize = column("quantity");
pub(super) const UNIT_COST: usize = column("unit_cost_minor");
pub(super) const CURRENCY: usize = column("currency");
pub(super) const PLACE: usize = column("place");
pub(super) const STATE: usize = column("state");
pub(super) const TORUS: usize = column("torus");
pub(super) const FRONT_CONIC: usize = column("front_conic");
pub(super) const BACK_CONIC: usize = column("back_conic");

/// Columns that every shelf has, and cells that every row has.
pub(super) const REQUIRED: [usize; 4] = [SKU, MATERIAL, SPHERE, NOMINAL];
