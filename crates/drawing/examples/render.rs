//! Renders drawings to PNG, in colour and in grey, to be looked at: `cargo run -p drawing --example render FOLDER [NAME]`
//! every view of the test plans, `... render FILE.svg ...` the files, beside them.

#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a developer's tool that reads arguments and writes files"
)]

#[path = "../tests/plans/mod.rs"]
mod plans;

use std::path::Path;

use resvg::{tiny_skia, usvg};

const FACES: [&[u8]; 3] = [
    include_bytes!("../../../assets/fonts/RimwrightCondensed-Regular.ttf"),
    include_bytes!("../../../assets/fonts/RimwrightCondensed-Medium.ttf"),
    include_bytes!("../../../assets/fonts/RimwrightCondensed-SemiBold.ttf"),
];

fn main() {
    let mut options = usvg::Options::default();
    for face in FACES {
        options.fontdb_mut().load_font_data(face.to_vec());
    }
    let (files, names): (Vec<String>, Vec<String>) = std::env::args().skip(1).partition(|a| a.ends_with(".svg"));
    for file in &files {
        render(&std::fs::read_to_string(file).unwrap(), &options, &Path::new(file).with_extension(""));
    }
    let Some((folder, only)) = names.split_first() else { return };
    std::fs::create_dir_all(folder).unwrap();
    for job in plans::jobs() {
        if !only.is_empty() && !only.iter().any(|o| o == job.name) {
            continue;
        }
        let mut scenes = job.drawn(&[]);
        scenes.push(("outline".to_owned(), drawing::outline(&job.frame())));
        if matches!(job.name, "plain" | "wide" | "high-minus") {
            let compared = plans::beside(&job, 3).into_iter().chain(plans::beside(&job, 12)).enumerate();
            scenes.extend(compared.map(|(i, scene)| (format!("{}-{i}", scene.name), scene)));
            let measured = drawing::measured(&job.measured(plans::READINGS));
            scenes.extend(measured.map(|scene| (scene.name.clone(), scene)));
        }
        for (stem, scene) in scenes {
            let svg = drawing::svg(&scene);
            let path = Path::new(folder).join(format!("{}-{stem}", job.name));
            std::fs::write(path.with_extension("svg"), &svg).unwrap();
            render(&svg, &options, &path);
        }
    }
}

/// 1216 pixels wide, as a bench page shows it.
fn render(svg: &str, options: &usvg::Options<'_>, path: &Path) {
    let tree = usvg::Tree::from_str(svg, options).unwrap();
    let scale = 1216.0 / tree.size().width();
    let height = (tree.size().height() * scale).ceil() as u32;
    let mut pixels = tiny_skia::Pixmap::new(1216, height).unwrap();
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.save_png(path.with_extension("png")).unwrap();
    for pixel in pixels.pixels_mut() {
        let grey = 0.299 * f32::from(pixel.red()) + 0.587 * f32::from(pixel.green()) + 0.114 * f32::from(pixel.blue());
        let grey = grey as u8;
        *pixel = tiny_skia::PremultipliedColorU8::from_rgba(grey, grey, grey, 255).unwrap();
    }
    let name = format!("{}-grey.png", path.file_name().unwrap().to_string_lossy());
    pixels.save_png(path.with_file_name(name)).unwrap();
}
