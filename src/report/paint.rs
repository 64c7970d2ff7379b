//! Colour, signs and line breaks of what a terminal shows.

use owo_colors::XtermColors;

use crate::rulebook::card::Signal;

/// How a report looks on a terminal. The command line decides it; nothing here asks the terminal.
#[derive(Debug, Clone)]
pub struct Style {
    /// Columns to stay within; fewer than 32 count as 32. File names and unbroken words may run over.
    pub width: usize,
    /// Whether to send colour codes. Colour never says anything that a word does not say too.
    pub color: bool,
    /// Marks made of ASCII only.
    pub ascii: bool,
    /// How many items of one rule are shown in full; of the others the places are named.
    pub per_rule_cap: usize,
    /// How many open questions are shown. One that could settle a danger is always shown.
    pub question_cap: usize,
    /// Whether the standing caution closes the report.
    pub caution: bool,
}

impl Default for Style {
    fn default() -> Self {
        Self { width: 80, color: false, ascii: false, per_rule_cap: 3, question_cap: 6, caution: true }
    }
}

/// From this width on, text stands in a column beside its head.
const ROOMY: usize = 60;

/// The signs that excerpts are drawn with.
pub(super) struct Signs {
    /// Between the line number and the line.
    pub(super) gutter: &'static str,
    /// Below what is wrong.
    pub(super) stroke: &'static str,
    /// Below what decided it.
    pub(super) thin: &'static str,
    /// Where a line is cut.
    pub(super) cut: &'static str,
}

const BLOCKS: Signs = Signs { gutter: "▏", stroke: "▀", thin: "▔", cut: "…" };
const ASCII: Signs = Signs { gutter: ":", stroke: "=", thin: "-", cut: "..." };

/// What a stretch of text is, for colour.
#[derive(Debug, Clone, Copy)]
pub(super) enum Tone {
    Plain,
    Faint,
    Strong,
    /// A mark in the colour of a signal word.
    Of(Signal),
    /// The block around a signal word: ANSI Z535.4 has white on red, black on orange, black on yellow, white on blue.
    Block(Signal),
    /// A block that is no signal word.
    Head,
}

/// A [`Style`] at work.
pub(super) struct Paint {
    pub(super) width: usize,
    color: bool,
    ascii: bool,
}

impl Paint {
    pub(super) fn new(style: &Style) -> Self {
        Self { width: style.width.max(32), color: style.color, ascii: style.ascii }
    }

    pub(super) fn signs(&self) -> &'static Signs {
        if self.ascii { &ASCII } else { &BLOCKS }
    }

    /// The name of a note: set apart by a column where there is room, by a colon where there is not.
    pub(super) fn note_name(&self, name: &str) -> String {
        if self.width >= ROOMY || name.is_empty() { name.to_owned() } else { format!("{name}:") }
    }

    /// Text in its tone; unchanged without colour.
    pub(super) fn tone(&self, tone: Tone, text: &str) -> String {
        if !self.color || text.is_empty() {
            return text.to_owned();
        }
        let base = owo_colors::Style::new();
        let style = match tone {
            Tone::Plain => return text.to_owned(),
            Tone::Faint => base.dimmed(),
            Tone::Strong => base.bold(),
            Tone::Of(signal) => base.color(hue(signal)),
            Tone::Block(signal) => {
                let ink = match signal {
                    Signal::Danger | Signal::Notice => XtermColors::from(231),
                    Signal::Warning | Signal::Caution => XtermColors::from(16),
                };
                base.bold().color(ink).on_color(hue(signal))
            }
            Tone::Head => base.bold().reversed(),
        };
        style.style(text).to_string()
    }

    /// Text after a short head, from `column` on; where room is short, further lines stand near the edge.
    pub(super) fn after(&self, out: &mut String, (indent, head): (usize, &str), tone: Tone, column: usize, text: &str) {
        let own = indent + head.chars().count() + 1;
        let (lead, column) = match (self.width >= ROOMY, head.is_empty()) {
            (true, _) => (own.max(column), column),
            (false, true) => (indent + 2, indent + 2),
            (false, false) => (own, indent + 2),
        };
        let (first, further) = (" ".repeat(lead), " ".repeat(column));
        let options = textwrap::Options::new(self.width).initial_indent(&first).subsequent_indent(&further);
        for (index, row) in wrap_with(text, options).iter().enumerate() {
            if index == 0 {
                out.push_str(&" ".repeat(indent));
                out.push_str(&self.tone(tone, head));
                out.push_str(&" ".repeat(lead - indent - head.chars().count()));
                out.push_str(row.trim_start());
            } else {
                out.push_str(row);
            }
            out.push('\n');
        }
    }

    /// Text with every line indented.
    pub(super) fn indented(&self, out: &mut String, indent: usize, tone: Tone, text: &str) {
        let blanks = " ".repeat(indent);
        for row in wrap(text, self.width - indent) {
            out.push_str(&blanks);
            out.push_str(&self.tone(tone, &row));
            out.push('\n');
        }
    }
}

/// Red, orange, yellow and blue of the 256-colour table, near the safety colours of ANSI Z535.1.
fn hue(signal: Signal) -> XtermColors {
    XtermColors::from(match signal {
        Signal::Danger => 160,
        Signal::Warning => 208,
        Signal::Caution => 220,
        Signal::Notice => 26,
    })
}

/// Text broken into rows of at most `width` columns.
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
    wrap_with(text, textwrap::Options::new(width.max(8)))
}

/// Breaks at blanks only, so that ids and file names stay whole; never between a number and its unit.
fn wrap_with(text: &str, options: textwrap::Options<'_>) -> Vec<String> {
    let options = options
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .wrap_algorithm(textwrap::WrapAlgorithm::FirstFit);
    textwrap::wrap(&hold_units(text), options).into_iter().map(|row| row.replace('\u{a0}', " ")).collect()
}

/// Puts a no-break space between a digit and the letter after it.
fn hold_units(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    let mut digit = false;
    while let Some(c) = chars.next() {
        let unit = chars.peek().is_some_and(|next| next.is_alphabetic() || *next == '%');
        out.push(if c == ' ' && digit && unit { '\u{a0}' } else { c });
        digit = c.is_ascii_digit();
    }
    out
}
