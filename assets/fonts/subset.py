#!/usr/bin/env python3
"""Makes the drawing's typeface from IBM Plex Sans Condensed, and the table of its advance widths.

    npm install --ignore-scripts @ibm/plex-sans-condensed@2.0.0     # in an empty folder
    pip install fonttools brotli
    python3 subset.py FOLDER/node_modules/@ibm/plex-sans-condensed/fonts/complete/woff2

Writes beside this file RimwrightCondensed-*.ttf (for programs that draw text) and .woff2 (set into SVG files), and
crates/drawing/src/widths.rs. The glyphs are untouched; what is not printed is left out, and so are kerning and
ligatures, so that a text is exactly as wide as its letters. Plex is a reserved font name, and a subset is a modified
version under the Open Font License: therefore the family has a name of its own.
"""
import pathlib
import sys

from fontTools import subset
from fontTools.ttLib import TTFont

HERE = pathlib.Path(__file__).resolve().parent
TABLE = HERE.parent.parent / "crates" / "drawing" / "src" / "widths.rs"
FAMILY = "Rimwright Condensed"
WEIGHTS = [("Regular", 400), ("Medium", 500), ("SemiBold", 600)]
# ASCII, the letters of Latin-1, and the signs of the trade: minus, times, prism dioptre, dashes, quotes.
KEPT = [*range(0x20, 0x7F), 0xA0, 0xB0, 0xB1, 0xB2, 0xB3, 0xB7, *range(0xC0, 0x100), 0x0394, 0x2013, 0x2014, 0x2018,
        0x2019, 0x201C, 0x201D, 0x2026, 0x2190, 0x2191, 0x2192, 0x2193, 0x2212, 0x2264, 0x2265]


def named(font: TTFont, style: str) -> None:
    """Gives the font its own name; copyright and licence stay."""
    keep = [r for r in font["name"].names if r.nameID in (0, 13, 14)]
    font["name"].names = keep
    full = f"{FAMILY} {style}"
    for name_id, text in [(1, FAMILY if style == "Regular" else full), (2, "Regular"), (3, f"{full} subset"),
                          (4, full), (5, "Version 1.000"), (6, full.replace(" ", "") .replace("Condensed", "Condensed-")),
                          (16, FAMILY), (17, style)]:
        font["name"].setName(text, name_id, 3, 1, 0x409)


def main() -> None:
    source = pathlib.Path(sys.argv[1])
    columns = []
    for style, weight in WEIGHTS:
        options = subset.Options()
        options.layout_features = []
        options.drop_tables += ["GPOS", "GSUB", "GDEF", "kern", "DSIG", "meta"]
        options.hinting = False
        options.name_IDs = [0, 13, 14]
        options.notdef_outline = True
        options.recalc_timestamp = False
        font = subset.load_font(str(source / f"IBMPlexSansCondensed-{style}.woff2"), options)
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=KEPT)
        cutter.subset(font)
        named(font, style)
        font["OS/2"].usWeightClass = weight
        font.flavor = None
        font.save(HERE / f"RimwrightCondensed-{style}.ttf")
        font.flavor = "woff2"
        font.save(HERE / f"RimwrightCondensed-{style}.woff2")
        columns.append((font["head"].unitsPerEm, font["OS/2"].sCapHeight, font["hhea"].ascent, font["hhea"].descent,
                        {c: font["hmtx"][g][0] for c, g in font.getBestCmap().items()}))
    kept = sorted(set.intersection(*(set(c[4]) for c in columns)))
    assert len({c[0] for c in columns}) == 1 and columns[0][0] == 1000, "widths are in thousandths of the size"
    lines = [
        "//! Advance widths of the drawing's typeface in thousandths of its size. Made by `assets/fonts/subset.py`.",
        "",
        "/// Height of a capital or a figure, thousandths of the size.",
        f"pub(crate) const CAP_HEIGHT: u16 = {columns[0][1]};",
        "",
        "/// Character, then its width at weights 400, 500 and 600; by ascending character.",
        f"pub(crate) const WIDTHS: [(char, [u16; 3]); {len(kept)}] = [",
    ]
    for c in kept:
        widths = ", ".join(str(col[4][c]) for col in columns)
        lines.append(f"    ('\\u{{{c:x}}}', [{widths}]),")
    lines += ["];", ""]
    TABLE.write_text("\n".join(lines), encoding="utf-8")
    print([(c[1], c[2], c[3]) for c in columns], len(kept))


main()
