//! Lines of a file with marks below them, fitted into a width.

use miette::{LabeledSpan, SourceCode};
use textwrap::core::display_width;

use super::clean::{clean, put};
use super::paint::{Paint, Tone, wrap};

/// A tab runs to the next multiple of this many columns.
const TAB: usize = 4;
/// Narrower than this, text beside a mark goes below it.
const ROOM_FOR_WORDS: usize = 24;

/// A label found in its file: the first line it touches and the bytes of that line.
#[derive(Debug)]
pub(super) struct Mark {
    pub(super) file: String,
    /// Counted from one.
    pub(super) line: usize,
    /// The last line the label touches.
    pub(super) last_line: usize,
    text: String,
    start: usize,
    end: usize,
    pub(super) primary: bool,
    pub(super) says: String,
}

impl Mark {
    /// Looks a label up. `None` when the source has no such bytes.
    pub(super) fn find(source: &dyn SourceCode, label: &LabeledSpan) -> Option<Self> {
        let contents = source.read_span(label.inner(), 0, 0).ok()?;
        let data = std::str::from_utf8(contents.data()).ok()?;
        let text = data.split(['\n', '\r']).next().unwrap_or_default();
        let start = label.offset().saturating_sub(contents.span().offset()).min(text.len());
        Some(Self {
            file: contents.name().unwrap_or_default().to_owned(),
            line: contents.line() + 1,
            last_line: contents.line() + contents.line_count(),
            end: start.saturating_add(label.len()).min(text.len()),
            text: text.to_owned(),
            start,
            primary: label.primary(),
            says: clean(label.label().unwrap_or_default()),
        })
    }

    /// The bytes of the first line that are marked.
    pub(super) fn marked(&self) -> &str {
        self.text.get(self.start..self.end).unwrap_or_default()
    }

    fn words(&self) -> String {
        match (self.last_line > self.line, self.says.is_empty()) {
            (false, _) => self.says.clone(),
            (true, true) => format!("to line {}", self.last_line),
            (true, false) => format!("{} (to line {})", self.says, self.last_line),
        }
    }
}

/// A character of a line as shown, and the columns it takes.
struct Cell {
    byte: usize,
    column: usize,
    width: usize,
    shown: String,
}

/// A line cut into characters; and its whole width in columns.
fn cells(text: &str) -> (Vec<Cell>, usize) {
    let mut column = 0;
    let mut cells = Vec::with_capacity(text.len());
    for (byte, c) in text.char_indices() {
        let mut shown = String::new();
        if c == '\t' {
            shown.extend(std::iter::repeat_n(' ', TAB - column % TAB));
        } else {
            put(&mut shown, c);
        }
        let width = display_width(&shown);
        cells.push(Cell { byte, column, width, shown });
        column += width;
    }
    (cells, column)
}

/// The columns that the marked bytes take: at least one, so that an empty mark is seen.
fn columns(mark: &Mark, cells: &[Cell], whole: usize) -> (usize, usize) {
    let from = match cells.iter().rfind(|cell| cell.byte <= mark.start) {
        Some(cell) if mark.start < mark.text.len() => cell.column,
        _ => whole,
    };
    let to = cells.iter().find(|cell| cell.byte >= mark.end).map_or(whole, |cell| cell.column);
    (from, to.max(from + 1))
}

/// The columns `start..end` of a line, with a sign where it is cut.
struct Window {
    start: usize,
    end: usize,
    cut_left: usize,
    cut_right: usize,
}

impl Window {
    /// The part of a line of `whole` columns to show in `room` columns so that `from..to` is seen.
    fn around((from, to): (usize, usize), whole: usize, room: usize, sign: usize) -> Self {
        if whole.max(to) <= room {
            return Self { start: 0, end: room, cut_left: 0, cut_right: 0 };
        }
        let start = if to + sign <= room { 0 } else { from.saturating_sub(room / 3).min(whole.max(to) - room) };
        let end = start + room;
        Self { start, end, cut_left: if start > 0 { sign } else { 0 }, cut_right: if end < whole { sign } else { 0 } }
    }

    fn inside(&self) -> (usize, usize) {
        (self.start + self.cut_left, self.end - self.cut_right)
    }

    fn text(&self, cells: &[Cell], sign: &str) -> String {
        let (first, last) = self.inside();
        let mut out = String::new();
        if self.cut_left > 0 {
            out.push_str(sign);
        }
        let mut kept = cells.iter().filter(|cell| cell.column >= first && cell.column + cell.width <= last).peekable();
        if let Some(cell) = kept.peek() {
            // A wide character on the edge is left out; blanks keep what follows in its column.
            out.extend(std::iter::repeat_n(' ', cell.column - first));
        }
        kept.for_each(|cell| out.push_str(&cell.shown));
        if self.cut_right > 0 {
            out.push_str(sign);
        }
        out
    }

    /// Where in the window a mark stands, and how long it is.
    fn place(&self, (from, to): (usize, usize)) -> (usize, usize) {
        let (first, last) = self.inside();
        let from = from.clamp(first, last.saturating_sub(1).max(first));
        let to = to.min(last).max(from + 1);
        (from - self.start, to - from)
    }
}

/// Draws marks of one file, in the order of their lines: each line once, below it a row for each mark.
pub(super) fn draw(out: &mut String, marks: &[&Mark], tone: Tone, paint: &Paint) {
    let digits = marks.iter().map(|mark| mark.line).max().unwrap_or(0).to_string().len().max(3);
    let signs = paint.signs();
    let room = paint.width.saturating_sub(digits + 5).max(12);
    let mut at = 0;
    while let Some(first) = marks.get(at) {
        let same: Vec<&Mark> = marks.iter().skip(at).take_while(|mark| mark.line == first.line).copied().collect();
        at += same.len();
        let (cells, whole) = cells(&first.text);
        let spans: Vec<_> = same.iter().map(|mark| columns(mark, &cells, whole)).collect();
        let all = spans.iter().fold((usize::MAX, 0), |(a, b), (from, to)| (a.min(*from), b.max(*to)));
        let sign = display_width(signs.cut);
        // Marks too far apart for one window get one each.
        let together = all.1 - all.0 + 2 * sign <= room;
        for (index, (mark, span)) in same.iter().zip(&spans).enumerate() {
            let window = Window::around(if together { all } else { *span }, whole, room, sign);
            if index == 0 || !together {
                let line = format!("  {:>digits$} {} {}", mark.line, signs.gutter, window.text(&cells, signs.cut));
                out.push_str(line.trim_end());
                out.push('\n');
            }
            let (from, long) = window.place(*span);
            let (stroke, tone) = if mark.primary { (signs.stroke, tone) } else { (signs.thin, Tone::Plain) };
            let strokes = stroke.repeat(long);
            let gutter = format!("  {:>digits$} {} ", "", signs.gutter);
            let words = mark.words();
            let beside = room.saturating_sub(from + long + 1);
            out.push_str(&format!("{gutter}{}{}", " ".repeat(from), paint.tone(tone, &strokes)));
            if words.is_empty() {
                out.push('\n');
                continue;
            }
            let (indent, mut rows) = if display_width(&words) <= beside || beside >= ROOM_FOR_WORDS {
                (from + long + 1, wrap(&words, beside).into_iter())
            } else {
                let indent = from.min(room.saturating_sub(ROOM_FOR_WORDS));
                out.push('\n');
                (indent, wrap(&words, room - indent).into_iter())
            };
            if indent == from + long + 1
                && let Some(row) = rows.next()
            {
                out.push_str(&format!(" {row}\n"));
            }
            for row in rows {
                out.push_str(&format!("{gutter}{}{row}\n", " ".repeat(indent)));
            }
        }
    }
}
