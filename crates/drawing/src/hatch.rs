//! Hatching: parallel lines over an area, cut at its edges, so that every format can draw them.

use units::maths::{cos_deg, sin_deg};

use crate::scene::{Spot, spot};

/// Lines at an angle (degrees, y up) and a distance, mm, over the area between closed runs, by the even-odd rule.
pub(crate) fn hatch(runs: &[&[Spot]], deg: f64, apart: f64) -> Vec<Vec<Spot>> {
    // In turned coordinates the lines are level: u along them, v across.
    let (c, s) = (cos_deg(deg), sin_deg(deg));
    let turned = |p: &Spot| (p.x * c - p.y * s, p.x * s + p.y * c);
    let back = |u: f64, v: f64| spot(u * c + v * s, v * c - u * s);
    let runs: Vec<Vec<(f64, f64)>> = runs.iter().map(|run| run.iter().map(turned).collect()).collect();
    let (low, high) =
        runs.iter().flatten().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p.1), high.max(p.1)));
    let mut lines = Vec::new();
    if !low.is_finite() || !high.is_finite() || apart <= 0.0 {
        return lines;
    }
    let (first, last) = ((low / apart).ceil() as i64, (high / apart).floor() as i64);
    for i in first..=last {
        let v = i as f64 * apart;
        let mut cuts: Vec<f64> = runs
            .iter()
            .flat_map(|run| {
                run.iter()
                    .zip(run.iter().cycle().skip(1))
                    .filter(|(p, q)| (p.1 > v) != (q.1 > v))
                    .map(|(p, q)| p.0 + (v - p.1) / (q.1 - p.1) * (q.0 - p.0))
            })
            .collect();
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.chunks_exact(2).filter(|pair| pair[1] - pair[0] > 0.02) {
            lines.push(vec![back(pair[0], v), back(pair[1], v)]);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_times_their_distance_are_the_area() {
        // A ring of 10 and 8 mm: area pi (100 - 64).
        let outer = crate::sheet::ring(spot(20.0, 20.0), 10.0, 720);
        let inner = crate::sheet::ring(spot(20.0, 20.0), 8.0, 720);
        for deg in [0.0, 45.0, 135.0, 30.0] {
            let lines = hatch(&[&outer, &inner], deg, 0.05);
            let area: f64 = lines.iter().map(|l| l[0].to(l[1]) * 0.05).sum();
            assert!((area - core::f64::consts::PI * 36.0).abs() < 0.3, "{deg}: {area}");
        }
    }
}
