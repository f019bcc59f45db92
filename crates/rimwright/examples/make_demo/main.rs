//! Writes the invented traces and the invented shelf of `demo/` anew: `cargo run -p rimwright --example make_demo`.
//!
//! The orders and the README there are written by hand. The same bytes come out every time, which a test holds.

use std::path::Path;
use std::{fs, process};

mod made;

fn main() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    for (name, bytes) in made::files() {
        if let Err(fault) = bytes.and_then(|bytes| fs::write(demo.join(&name), bytes).map_err(|e| e.to_string())) {
            eprintln!("demo/{name}: {fault}");
            process::exit(2);
        }
        println!("demo/{name}");
    }
}
