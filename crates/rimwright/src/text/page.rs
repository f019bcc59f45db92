//! Lines of 80 columns, and the two-sided rows whose labels stand in the middle.

/// Width of a line.
const WIDTH: usize = 80;
/// Width of an eye's column, of the label between the two, and of the space round it.
const SIDE: usize = 29;
const LABEL: usize = 18;

/// What a piece of text is, for the one that looks for it at a glance. Never said by colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Weight {
    /// Keeps the work from going on.
    Stop,
    /// Waits for a person.
    Ask,
    /// Look here.
    Warn,
    /// Quiet.
    Quiet,
    /// The sentence that all of it comes down to.
    Verdict,
}

/// A text that grows line by line.
#[derive(Debug)]
pub(crate) struct Page {
    text: String,
    colour: bool,
}

impl Page {
    /// An empty page, with colour only where a terminal shows it.
    pub(crate) const fn new(colour: bool) -> Self {
        Self { text: String::new(), colour }
    }

    /// What was written.
    pub(crate) fn text(&self) -> &str {
        &self.text
    }

    /// What was written, and no more to come.
    pub(crate) fn into_text(self) -> String {
        self.text
    }

    /// One line as it stands.
    pub(crate) fn line(&mut self, text: &str) {
        self.text.push_str(text.trim_end());
        self.text.push('\n');
    }

    /// One line that weighs something.
    pub(crate) fn weighty(&mut self, weight: Weight, text: &str) {
        let text = self.inked(weight, text);
        self.line(&text);
    }

    /// An empty line, unless there is one.
    pub(crate) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// A heading drawn across the page.
    pub(crate) fn rule(&mut self, title: &str) {
        let rest = WIDTH.saturating_sub(title.chars().count() + 4);
        let line = format!("== {title} {}", "=".repeat(rest));
        self.weighty(Weight::Verdict, &line);
    }

    /// A text under a hanging head, wrapped between words.
    pub(crate) fn wrapped(&mut self, head: &str, text: &str) {
        self.flow(head, head.chars().count(), text.split_whitespace());
    }

    /// As [`Page::wrapped`], with a head that weighs something.
    pub(crate) fn wrapped_under(&mut self, weight: Weight, head: &str, text: &str) {
        let inked = self.inked(weight, head);
        self.flow(&inked, head.chars().count(), text.split_whitespace());
    }

    /// Pieces under a hanging head, wrapped between pieces only.
    pub(crate) fn pieces(&mut self, head: &str, pieces: &[String]) {
        self.flow(head, head.chars().count(), pieces.iter().map(String::as_str));
    }

    fn flow<'a>(&mut self, head: &str, indent: usize, pieces: impl Iterator<Item = &'a str>) {
        let mut row = head.to_owned();
        let mut length = indent;
        for piece in pieces {
            let long = piece.chars().count();
            if length > indent && length + 1 + long > WIDTH {
                self.line(&row);
                row = " ".repeat(indent);
                length = indent;
            }
            if length > indent {
                row.push(' ');
                length += 1;
            }
            row.push_str(piece);
            length += long;
        }
        self.line(&row);
    }

    /// A figure of both eyes: the right one's at the left, its label in the middle. Nothing where neither eye has it.
    pub(crate) fn spine(&mut self, label: &str, right: Option<&str>, left: Option<&str>) {
        if right.is_none() && left.is_none() {
            return;
        }
        self.line(&format!("{:>SIDE$}  {label:^LABEL$}  {}", right.unwrap_or(""), left.unwrap_or("")));
    }

    /// A step of the hands: as [`Page::spine`], with labels that begin under one another.
    pub(crate) fn step(&mut self, label: &str, right: Option<&str>, left: Option<&str>) {
        self.spine(&format!("{label:<LABEL$}"), right, left);
    }

    /// The head of two-sided rows.
    pub(crate) fn sides(&mut self, label: &str) {
        let line = format!("{:>SIDE$}  {label:^LABEL$}  LEFT", "RIGHT");
        self.weighty(Weight::Quiet, &line);
    }

    fn inked(&self, weight: Weight, text: &str) -> String {
        if !self.colour {
            return text.to_owned();
        }
        let code = match weight {
            Weight::Stop => "1;31",
            Weight::Ask | Weight::Verdict => "1",
            Weight::Warn => "33",
            Weight::Quiet => "2",
        };
        format!("\u{1b}[{code}m{text}\u{1b}[0m")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_the_page_and_none_ends_in_spaces() {
        let mut page = Page::new(false);
        page.rule("0142");
        page.wrapped("[?] ask     R  ", &"a sentence that goes on ".repeat(12));
        page.pieces("  with ", &vec!["along = 12.345678901 mm,".to_owned(); 9]);
        page.spine("thickest edge", Some("4.43 at 208"), Some("4.13 at 340"));
        page.spine("nothing", None, None);
        assert!(page.text().lines().all(|l| l.chars().count() <= WIDTH && !l.ends_with(' ')), "{}", page.text());
        assert!(!page.text().contains("nothing"));
        assert!(page.text().lines().filter(|l| l.contains("along =")).all(|l| l.ends_with("mm,")), "{}", page.text());
    }

    #[test]
    fn labels_stand_under_one_another() {
        let mut page = Page::new(false);
        page.spine("centre", Some("1.50"), Some("1.50"));
        page.spine("centre", None, Some("1.50"));
        page.spine("centre", Some("1.50"), None);
        let at: Vec<_> = page.text().lines().map(|l| l.find("centre")).collect();
        assert_eq!(at, [at[0]; 3]);
    }

    #[test]
    fn colour_adds_to_the_words_and_takes_none() {
        let (mut plain, mut inked) = (Page::new(false), Page::new(true));
        for page in [&mut plain, &mut inked] {
            page.wrapped_under(Weight::Stop, "[X] stop    R  ", "the blank does not cover the shape");
        }
        assert!(inked.text().contains("\u{1b}[1;31m"));
        assert_eq!(inked.text().replace("\u{1b}[1;31m", "").replace("\u{1b}[0m", ""), plain.text());
    }
}
