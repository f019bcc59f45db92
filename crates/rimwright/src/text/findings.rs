//! Findings as a colleague says them, the block that answers them, and the verdict they come to.

use job::{Eye, Finding, Severity};
use planner::Plan;

use super::page::{Page, Weight};
use super::words::{count, sentence};

/// How many findings of a severity still stand in the way.
pub(super) fn open(plan: &Plan, severity: Severity) -> usize {
    plan.findings.iter().filter(|f| f.kind.severity == severity && f.is_open()).count()
}

const fn shape(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "[X]",
        Severity::Ask => "[?]",
        Severity::Warn => "/!\\",
        Severity::Note => "(i)",
    }
}

const fn weight(finding: &Finding) -> Weight {
    match finding.kind.severity {
        Severity::Stop => Weight::Stop,
        Severity::Ask if finding.is_open() => Weight::Ask,
        Severity::Warn => Weight::Warn,
        Severity::Ask | Severity::Note => Weight::Quiet,
    }
}

/// Every finding, gravest first; what is said alike of both eyes is said once.
pub(super) fn show(page: &mut Page, findings: &[Finding]) {
    let alike = |a: &Finding, b: &Finding| a.kind == b.kind && a.sentence == b.sentence && a.answered == b.answered;
    for (i, finding) in findings.iter().enumerate() {
        if findings[..i].iter().any(|before| alike(before, finding)) {
            continue;
        }
        let mut eyes: Vec<Eye> = findings[i..].iter().filter(|f| alike(f, finding)).filter_map(|f| f.eye).collect();
        eyes.sort_unstable();
        let eyes: Vec<&str> = eyes.into_iter().map(Eye::letter).collect();
        let word = if finding.answered.is_some() { "answered" } else { finding.kind.severity.word() };
        let head = format!("{} {word:<8} {:<3}  ", shape(finding.kind.severity), eyes.join(" "));
        page.wrapped_under(weight(finding), &head, &sentence(&finding.sentence));
        let under = " ".repeat(head.chars().count() - 2);
        match &finding.answered {
            Some(answer) => page.wrapped(&format!("{under}  "), &format!("{}: {}", answer.who, answer.reason)),
            None if finding.mend.is_empty() || finding.kind.severity == Severity::Note => {}
            None => page.wrapped(&format!("{under}> "), &sentence(&finding.mend)),
        }
    }
    page.gap();
}

/// The blocks that answer what was asked, ready to paste into the order.
pub(super) fn answers(page: &mut Page, findings: &[Finding]) {
    let asks: Vec<&Finding> = findings.iter().filter(|f| f.kind.severity == Severity::Ask && f.is_open()).collect();
    if asks.is_empty() {
        return;
    }
    page.line("To answer, put right what is wrong, or paste this into the order and fill it in:");
    let mut told: Vec<&str> = Vec::new();
    for ask in &asks {
        let code = ask.kind.code;
        if told.contains(&code) {
            continue;
        }
        told.push(code);
        let alike: Vec<&&Finding> = asks.iter().filter(|a| a.kind.code == code).collect();
        let head = if alike.len() > 1 { format!("[[answers.{code}]]") } else { format!("[answers.{code}]") };
        for each in &alike {
            page.gap();
            page.line(&head);
            if let Some(eye) = each.eye {
                page.line(&format!("eye = \"{eye}\""));
            }
            page.line(&format!("figure = {}", quoted(&each.value)));
            page.line("reason = \"\"");
            page.line("who = \"\"");
        }
    }
    page.gap();
}

/// A text as TOML quotes it.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => quoted.extend(['\\', letter]),
            letter if letter.is_control() => quoted.push_str(&format!("\\u{:04X}", u32::from(letter))),
            letter => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

/// What all of it comes down to.
pub(super) fn verdict(page: &mut Page, plan: &Plan) {
    let (stops, asks) = (open(plan, Severity::Stop), open(plan, Severity::Ask));
    let (stops_in, asks_in) = (count(stops, "stop", "stops"), count(asks, "question", "questions"));
    let text = match (stops, asks) {
        (0, 0) if plan.planned().all(|e| e.lens.is_some()) => "MAKE IT from these blanks.".to_owned(),
        (0, 0) => "NOTHING AGAINST IT so far; no blank was chosen.".to_owned(),
        (0, _) => format!("DO NOT CUT YET: {asks_in} to answer."),
        (_, 0) => format!("DO NOT CUT: {stops_in}."),
        (_, _) => format!("DO NOT CUT: {stops_in}, and {asks_in} to answer."),
    };
    page.weighty(if stops > 0 { Weight::Stop } else { Weight::Verdict }, &text);
}

#[cfg(test)]
mod tests {
    use super::*;
    use job::kinds;

    #[test]
    fn what_is_alike_in_both_eyes_is_said_once() {
        let note = |eye, words: &str| Finding::new(&kinds::DEPTH_FROM_CURVE, "x", "1").of(eye).says(words, "");
        let mut page = Page::new(false);
        show(&mut page, &[note(Eye::Left, "no heights"), note(Eye::Right, "no heights"), note(Eye::Left, "other")]);
        assert_eq!(page.text(), "(i) note     R L  No heights\n(i) note     L    Other\n\n");
    }

    #[test]
    fn quotes_survive_a_toml_parser() {
        for text in ["170/120", "a \"quoted\" one", "back\\slash", "tab\there", "\u{2212}4.25"] {
            let table: toml::Table = format!("figure = {}", quoted(text)).parse().unwrap();
            assert_eq!(table["figure"].as_str(), Some(text));
        }
    }
}
