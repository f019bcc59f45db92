//! A scene as SVG. This file knows nothing of lenses, and numbers are rounded here and nowhere else.

use core::fmt::Write;

use crate::palette::{self, Ground};
use crate::scene::{Anchor, Circle, Ink, Item, Path, Scene, Spot, Stroke, Text, Weight};
use crate::typeface;

/// Halo round a text, as a share of its size.
const HALO: f64 = 0.34;

/// Writes a scene as one SVG file that looks right by itself: size in mm, colours for light, dark and paper, the typeface
/// set in.
#[must_use]
pub fn svg(scene: &Scene) -> String {
    let mut out = String::new();
    let (width, height) = (number(scene.width.mm()), number(scene.height.mm()));
    let id = &scene.name;
    out.push_str("<svg xmlns=\"http://www.w3.org/2000/svg\"");
    put(&mut out, format_args!(" class=\"rimwright\" width=\"{width}mm\" height=\"{height}mm\""));
    put(&mut out, format_args!(" viewBox=\"0 0 {width} {height}\" role=\"img\""));
    put(&mut out, format_args!(" aria-labelledby=\"{0}-title {0}-desc\"", escaped(id)));
    put(&mut out, format_args!(" font-family=\"{}\">\n", typeface::FAMILY));
    put(&mut out, format_args!("<title id=\"{}-title\">{}</title>\n", escaped(id), escaped(&scene.title)));
    put(&mut out, format_args!("<desc id=\"{}-desc\">{}</desc>\n", escaped(id), escaped(&scene.description)));
    style(&mut out, scene);
    put(&mut out, format_args!("<rect width=\"{width}\" height=\"{height}\""));
    fill(&mut out, Some(Ink::Paper));
    out.push_str("/>\n");
    let mut clips = 0;
    for item in &scene.items {
        write_item(&mut out, item, id, &mut clips);
    }
    out.push_str("</svg>\n");
    out
}

/// Writing to a `String` cannot fail.
fn put(out: &mut String, what: core::fmt::Arguments<'_>) {
    let _ = out.write_fmt(what);
}

/// Thousandths of a millimetre: finer than any printer, and the same digits on every machine.
fn number(value: f64) -> String {
    let mut text = format!("{value:.3}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".to_owned() } else { text }
}

/// Text as XML has it; what XML cannot hold at all becomes a question mark.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c < ' ' || matches!(c, '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}') => out.push('?'),
            c => out.push(c),
        }
    }
    out
}

fn style(out: &mut String, scene: &Scene) {
    out.push_str("<style>\n");
    for weight in [Weight::Regular, Weight::Medium, Weight::SemiBold] {
        if scene.texts().any(|t| t.parts.iter().any(|(w, _)| *w == weight)) {
            let (number, bytes) = typeface::face(weight);
            put(out, format_args!("@font-face{{font-family:'Rimwright Condensed';font-weight:{number};"));
            put(out, format_args!("src:url(data:font/woff2;base64,{}) format('woff2')}}\n", base64(bytes)));
        }
    }
    for (before, ground, after) in [
        ("", Ground::Light, ""),
        ("@media screen and (prefers-color-scheme:dark){", Ground::Dark, "}"),
        ("@media print{", Ground::Print, "}"),
    ] {
        put(out, format_args!("{before}svg.rimwright{{"));
        for ink in palette::ALL {
            put(out, format_args!("--{}:{};", palette::token(ink), palette::colour(ink, ground)));
        }
        put(out, format_args!("}}{after}\n"));
    }
    // Where custom properties are unknown, the colours written at each item stand.
    out.push_str("@supports (color:var(--ink)){");
    for ink in palette::ALL {
        let token = palette::token(ink);
        put(out, format_args!(".f-{token}{{fill:var(--{token})}}.s-{token}{{stroke:var(--{token})}}"));
    }
    out.push_str("}\n</style>\n");
}

fn fill(out: &mut String, ink: Option<Ink>) {
    paint(out, ink, None);
}

/// Classes and colours of an area and its line.
fn paint(out: &mut String, area: Option<Ink>, line: Option<Ink>) {
    let classes: Vec<String> = area
        .map(|i| format!("f-{}", palette::token(i)))
        .into_iter()
        .chain(line.map(|i| format!("s-{}", palette::token(i))))
        .collect();
    if !classes.is_empty() {
        put(out, format_args!(" class=\"{}\"", classes.join(" ")));
    }
    put(out, format_args!(" fill=\"{}\"", area.map_or("none", |i| palette::colour(i, Ground::Light))));
    if let Some(line) = line {
        put(out, format_args!(" stroke=\"{}\"", palette::colour(line, Ground::Light)));
    }
}

fn stroke(out: &mut String, stroke: Option<Stroke>) {
    let Some(stroke) = stroke else { return };
    put(out, format_args!(" stroke-width=\"{}\"", number(stroke.width)));
    if !stroke.dashes.is_empty() {
        let dashes: Vec<String> = stroke.dashes.iter().map(|d| number(*d)).collect();
        put(out, format_args!(" stroke-dasharray=\"{}\"", dashes.join(" ")));
    }
}

fn write_item(out: &mut String, item: &Item, id: &str, clips: &mut usize) {
    match item {
        Item::Path(path) => write_path(out, path),
        Item::Circle(circle) => write_circle(out, circle),
        Item::Text(text) => write_text(out, text),
        Item::Inside { centre, radius, items } => {
            *clips += 1;
            let name = format!("{}-inside-{clips}", escaped(id));
            let (x, y, r) = (number(centre.x), number(centre.y), number(*radius));
            put(out, format_args!("<clipPath id=\"{name}\"><circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/></clipPath>\n"));
            put(out, format_args!("<g clip-path=\"url(#{name})\">\n"));
            for item in items {
                write_item(out, item, id, clips);
            }
            out.push_str("</g>\n");
        }
    }
}

fn write_path(out: &mut String, path: &Path) {
    out.push_str("<path d=\"");
    for run in &path.runs {
        let mut before: Option<(String, String)> = None;
        for Spot { x, y } in &run.spots {
            let here = (number(*x), number(*y));
            match &before {
                None => put(out, format_args!("M{} {}", here.0, here.1)),
                // Places that round to one place would only make the file longer.
                Some(b) if *b == here && run.spots.len() > 2 => continue,
                Some(_) => put(out, format_args!("L{} {}", here.0, here.1)),
            }
            before = Some(here);
        }
        if run.closed {
            out.push('Z');
        }
    }
    out.push('"');
    paint(out, path.fill, path.stroke.map(|s| s.ink));
    if path.runs.len() > 1 && path.fill.is_some() {
        out.push_str(" fill-rule=\"evenodd\"");
    }
    stroke(out, path.stroke);
    if path.stroke.is_some() {
        out.push_str(" stroke-linejoin=\"round\"");
    }
    out.push_str("/>\n");
}

fn write_circle(out: &mut String, circle: &Circle) {
    let (x, y, r) = (number(circle.centre.x), number(circle.centre.y), number(circle.radius));
    put(out, format_args!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\""));
    paint(out, circle.fill, circle.stroke.map(|s| s.ink));
    stroke(out, circle.stroke);
    out.push_str("/>\n");
}

fn write_text(out: &mut String, text: &Text) {
    let (x, y) = (number(text.at.x), number(text.at.y));
    put(out, format_args!("<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"", number(text.size)));
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
        Anchor::End => out.push_str(" text-anchor=\"end\""),
    }
    if text.upwards {
        put(out, format_args!(" transform=\"rotate(-90 {x} {y})\""));
    }
    paint(out, Some(text.ink), text.halo);
    if text.halo.is_some() {
        let width = number(HALO * text.size);
        put(out, format_args!(" stroke-width=\"{width}\" stroke-linejoin=\"round\" paint-order=\"stroke\""));
    }
    let one = text.parts.len() == 1;
    if let (true, Some((weight, _))) = (one, text.parts.first()) {
        put(out, format_args!(" font-weight=\"{}\"", typeface::face(*weight).0));
    }
    if !one {
        // Some renderers drop the space at the end of a part.
        out.push_str(" xml:space=\"preserve\"");
    }
    out.push('>');
    for (weight, words) in &text.parts {
        if one {
            out.push_str(&escaped(words));
        } else {
            let weight = typeface::face(*weight).0;
            put(out, format_args!("<tspan font-weight=\"{weight}\">{}</tspan>", escaped(words)));
        }
    }
    out.push_str("</text>\n");
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |i: usize| three.get(i).map_or(0, |&b| u32::from(b));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for i in 0..4 {
            let six = (bits >> (18 - 6 * i)) & 63;
            out.push(if i <= three.len() { char::from(LETTERS[six as usize]) } else { '=' });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_is_that_of_the_standard() {
        // RFC 4648, section 10.
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn numbers_are_short_and_never_minus_nought() {
        for (value, text) in
            [(0.0, "0"), (-0.0004, "0"), (50.0, "50"), (1.23456, "1.235"), (-2.5, "-2.5"), (100.0, "100")]
        {
            assert_eq!(number(value), text);
        }
    }

    #[test]
    fn texts_cannot_break_the_file() {
        assert_eq!(escaped("a<b>&\"\u{1}"), "a&lt;b&gt;&amp;&quot;?");
    }
}
