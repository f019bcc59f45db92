//! The rules in force as a file: the built-in one, with a shop's own values in their places and marked as such.

use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

/// Writes the built-in text with the shop's values in their places. `shop` has been read as rules before.
pub(super) fn overlay(built_in: &str, shop: &DeTable<'_>) -> String {
    let mut out = String::new();
    // The shop's table that belongs to the lines being copied, and the keys of it that were written.
    let mut own: Option<&DeTable<'_>> = None;
    let mut written: Vec<&str> = Vec::new();
    let mut met: Vec<&str> = Vec::new();
    for line in built_in.lines() {
        if let Some(section) = header(line) {
            rest(&mut out, own, &written);
            own = shop.get(section).and_then(|v| v.get_ref().as_table());
            written.clear();
        }
        let Some((key, value, comment)) = entry(line) else {
            out.push_str(line);
            out.push('\n');
            continue;
        };
        if key == "id" {
            let id = value.trim_matches('"');
            met.push(id);
            own = materials(shop).find(|m| text(m, "id") == Some(id));
        }
        match own.and_then(|table| table.get(key)).filter(|_| key != "id") {
            Some(own) if literal(own.get_ref()) != value || line.starts_with('#') => {
                let told =
                    if line.starts_with('#') { "built in: none".to_owned() } else { format!("built in: {value}") };
                let gap = if comment.is_empty() { "" } else { "; " };
                out.push_str(&format!("{key} = {}   # this shop's; {told}{gap}{comment}", literal(own.get_ref())));
            }
            _ => out.push_str(line),
        }
        written.push(key);
        out.push('\n');
    }
    rest(&mut out, own, &written);
    for material in materials(shop).filter(|m| text(m, "id").is_none_or(|id| !met.contains(&id))) {
        out.push_str("\n[[material]]   # this shop's\n");
        for (key, value) in in_order(material) {
            out.push_str(&format!("{} = {}\n", key.get_ref(), literal(value.get_ref())));
        }
    }
    out
}

/// What the shop's table has beyond the built-in lines.
fn rest(out: &mut String, own: Option<&DeTable<'_>>, written: &[&str]) {
    let blank = out.ends_with("\n\n");
    let mut added = false;
    for (key, value) in own.into_iter().flat_map(in_order).filter(|(key, _)| !written.contains(&key.get_ref().as_ref()))
    {
        if blank && !added {
            out.pop();
        }
        added = true;
        out.push_str(&format!("{} = {}   # this shop's\n", key.get_ref(), literal(value.get_ref())));
    }
    if blank && added {
        out.push('\n');
    }
}

fn materials<'s, 't>(shop: &'s DeTable<'t>) -> impl Iterator<Item = &'s DeTable<'t>> {
    let list = shop.get("material").and_then(|v| v.get_ref().as_array());
    list.into_iter().flat_map(|list| list.iter().filter_map(|m| m.get_ref().as_table()))
}

fn text<'s>(table: &'s DeTable<'_>, key: &str) -> Option<&'s str> {
    table.get(key)?.get_ref().as_str()
}

/// The name of a section at its head line; a material is known by its id only.
fn header(line: &str) -> Option<&str> {
    let inner = line.strip_prefix('[')?;
    inner.split(']').next()
}

/// Key, value and comment of a line of the built-in file; the one rule without a default stands there as a comment.
fn entry(line: &str) -> Option<(&str, &str, &str)> {
    let (key, behind) =
        line.strip_prefix("# noise_mm").map_or(line.split_once(" = "), |rest| Some(("noise_mm", rest)))?;
    if key.starts_with('#') {
        return None;
    }
    let (value, comment) = behind.split_once("   #").or_else(|| behind.split_once("  #")).unwrap_or((behind, ""));
    Some((key.trim(), value.trim(), comment.trim()))
}

/// A value on one line.
fn literal(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => quoted(text),
        DeValue::Integer(number) => number.to_string(),
        DeValue::Float(number) => number.as_str().to_owned(),
        DeValue::Boolean(b) => b.to_string(),
        DeValue::Datetime(date) => date.to_string(),
        DeValue::Array(items) => {
            format!("[{}]", items.iter().map(|item| literal(item.get_ref())).collect::<Vec<_>>().join(", "))
        }
        DeValue::Table(table) => {
            let entry = |(key, value): Entry<'_, '_>| {
                format!("{} = {}", bare_or_quoted(key.get_ref()), literal(value.get_ref()))
            };
            format!("{{ {} }}", in_order(table).map(entry).collect::<Vec<_>>().join(", "))
        }
    }
}

type Entry<'s, 't> = (&'s Spanned<DeString<'t>>, &'s Spanned<DeValue<'t>>);

/// Keys and values in the order of the file; the parser sorts them by name.
fn in_order<'s, 't>(table: &'s DeTable<'t>) -> impl Iterator<Item = Entry<'s, 't>> {
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    entries.into_iter()
}

fn bare_or_quoted(key: &str) -> String {
    let bare = !key.is_empty() && key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_' || b == b'-');
    if bare { key.to_owned() } else { quoted(key) }
}

fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
