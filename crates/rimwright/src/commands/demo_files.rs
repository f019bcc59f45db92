//! The files of `demo/`, carried inside the program.

macro_rules! demo {
    ($($name:literal)+) => {
        &[$(($name, include_bytes!(concat!("../../../../demo/", $name)))),+]
    };
}

/// Name and bytes of each.
pub(super) const DEMO: &[(&str, &[u8])] = demo! {
    "0140.toml" "0141.toml" "0142.toml" "0143.toml" "0144.toml" "0145.toml" "0146.toml"
    "0147.toml" "0148.toml" "0149.toml" "0150.toml" "0151.toml" "0152.toml" "0153.toml"
    "0154.toml" "0155.toml" "0156.toml" "0157.toml" "0158.toml" "0159.toml" "0160.toml"
    "0161.toml" "0162.toml"
    "curlew-48.txt" "dunlin-46.txt" "fulmar-58.txt" "godwit-51.txt" "kestrel-50.txt" "osprey-57.txt"
    "plover-43.txt" "sanderling-52.txt" "teal-54.txt" "wren-42.txt"
    "shelf.csv"
    "frames/plover-43.toml" "frames/sanderling-52.toml"
    "uncut/0146.toml"
    "README.md"
};
