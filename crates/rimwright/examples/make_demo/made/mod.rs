//! What the demo's generator makes: every file by name, from nothing but what stands here.

mod blank;
mod chance;
mod frames;
mod rim;
mod stock;
mod trace;

/// Each file's name in `demo/` and its bytes, or why it cannot be made.
pub(crate) fn files() -> Vec<(String, Result<Vec<u8>, String>)> {
    let mut files: Vec<_> = frames::ALL.iter().map(|f| (format!("{}.txt", f.name), trace::records(f))).collect();
    files.push(("shelf.csv".to_owned(), stock::shelf().map(String::into_bytes)));
    files
}
