//! The files that were read, and where a byte stands in them.

use crate::problem::Span;
use std::sync::Arc;

/// The byte order mark, which is no part of the first line.
const BOM: &str = "\u{feff}";

/// A file that was read.
#[derive(Debug, Clone)]
pub struct Source {
    /// The name as it was given, relative if it was given so.
    pub name: String,
    /// The text, byte order mark included, so that a byte here is a byte of the file.
    pub text: Arc<str>,
    /// First byte of every line.
    starts: Vec<u32>,
}

/// A line and a column, as an editor shows them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Position {
    /// The line, counted from one.
    pub line: usize,
    /// The column in characters (Unicode scalar values), counted from one.
    pub column: usize,
}

impl Source {
    /// A source from its name and text. Lines end at `\n`, `\r\n` or a lone `\r`, as YAML 1.2.2 (5.4) has it.
    pub fn new(name: impl Into<String>, text: impl Into<Arc<str>>) -> Self {
        let text: Arc<str> = text.into();
        let bytes = text.as_bytes();
        let mut starts = vec![if text.starts_with(BOM) { BOM.len() as u32 } else { 0 }];
        for (at, byte) in bytes.iter().enumerate() {
            if *byte == b'\n' || (*byte == b'\r' && bytes.get(at + 1) != Some(&b'\n')) {
                starts.push(at as u32 + 1);
            }
        }
        Self { name: name.into(), text, starts }
    }

    /// Where a byte stands. A byte past the end stands at the end; one inside a character counts as that character.
    pub fn position(&self, byte: u32) -> Position {
        let index = self.line_index(byte);
        let start = self.starts.get(index).copied().unwrap_or(0) as usize;
        let end = (byte as usize).clamp(start, self.text.len().max(start));
        // Continuation bytes of UTF-8 are not characters of their own.
        let before = self.text.as_bytes().get(start..end).unwrap_or_default();
        let mut column = before.iter().filter(|b| **b & 0xC0 != 0x80).count();
        if !self.text.is_char_boundary(end) {
            column = column.saturating_sub(1);
        }
        Position { line: index + 1, column: column + 1 }
    }

    /// The text of a line, counted from one, without its line break. `None` past the last line.
    pub fn line(&self, line: usize) -> Option<&str> {
        let span = self.line_bytes(line)?;
        self.text.get(span)
    }

    /// The bytes of a line, counted from one, without its line break.
    pub fn line_bytes(&self, line: usize) -> Option<std::ops::Range<usize>> {
        let index = line.checked_sub(1)?;
        let start = *self.starts.get(index)? as usize;
        let next = self.starts.get(index + 1).map_or(self.text.len(), |next| *next as usize);
        let text = self.text.get(start..next)?;
        Some(start..start + text.trim_end_matches(['\n', '\r']).len())
    }

    /// The byte of a line and a column, the reverse of [`Source::position`]. A column past the end of the line gives the
    /// end of the line.
    pub fn byte(&self, at: Position) -> Option<u32> {
        let range = self.line_bytes(at.line)?;
        let line = self.text.get(range.clone())?;
        let inside = line.char_indices().nth(at.column.checked_sub(1)?).map_or(line.len(), |(byte, _)| byte);
        Some((range.start + inside) as u32)
    }

    /// How many lines there are; text that ends in a line break has an empty last line.
    pub fn lines(&self) -> usize {
        self.starts.len()
    }

    fn line_index(&self, byte: u32) -> usize {
        self.starts.partition_point(|start| *start <= byte).saturating_sub(1)
    }
}

/// All files that one run read; a [`Span`] points into one of them.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    /// The files, in the order they were read.
    pub files: Vec<Source>,
}

impl Sources {
    /// No files yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file and gives its index. A file of the same name and text keeps its index. `None` when 65 536 files are
    /// held already, since a span counts files in 16 bits.
    pub fn add(&mut self, name: &str, text: impl Into<Arc<str>>) -> Option<u16> {
        let text = text.into();
        if let Some(known) = self.files.iter().position(|file| file.name == name && file.text == text) {
            return u16::try_from(known).ok();
        }
        let index = u16::try_from(self.files.len()).ok()?;
        self.files.push(Source::new(name, text));
        Some(index)
    }

    /// The file a span points into.
    pub fn get(&self, file: u16) -> Option<&Source> {
        self.files.get(usize::from(file))
    }

    /// The bytes a span marks, as text. `None` when the span does not fit the file.
    pub fn slice(&self, span: Span) -> Option<&str> {
        self.get(span.file)?.text.get(span.start as usize..span.end as usize)
    }

    /// Where a span starts.
    pub fn position(&self, span: Span) -> Option<Position> {
        Some(self.get(span.file)?.position(span.start))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(source: &Source, needle: &str) -> (usize, usize) {
        let byte = source.text.find(needle).unwrap() as u32;
        let position = source.position(byte);
        assert_eq!(source.byte(position), Some(byte), "{needle}");
        (position.line, position.column)
    }

    #[test]
    fn columns_count_characters_and_lines_count_every_kind_of_break() {
        // YAML 1.2.2, production [28] b-break: CR LF, CR, LF.
        let source = Source::new("a.yaml", "\u{feff}tést: X\r\nb: Y\rc: Z\n日本: W");
        assert_eq!(at(&source, "tést"), (1, 1));
        assert_eq!(at(&source, "X"), (1, 7));
        assert_eq!(at(&source, "Y"), (2, 4));
        assert_eq!(at(&source, "Z"), (3, 4));
        assert_eq!(at(&source, "W"), (4, 5));
        assert_eq!(source.line(1), Some("tést: X"));
        assert_eq!(source.line(2), Some("b: Y"));
        assert_eq!(source.line(4), Some("日本: W"));
        assert_eq!(source.line(5), None);
        assert_eq!(source.line(0), None);
    }

    #[test]
    fn a_byte_inside_a_character_or_past_the_end_still_has_a_position() {
        let source = Source::new("a.yaml", "é\n");
        assert_eq!(source.position(0), Position { line: 1, column: 1 });
        assert_eq!(source.position(1), Position { line: 1, column: 1 });
        assert_eq!(source.position(2), Position { line: 1, column: 2 });
        assert_eq!(source.position(3), Position { line: 2, column: 1 });
        assert_eq!(source.position(u32::MAX), Position { line: 2, column: 1 });
        assert_eq!(Source::new("e", "").position(9), Position { line: 1, column: 1 });
        assert_eq!(Source::new("e", "").line(1), Some(""));
    }

    #[test]
    fn the_same_file_keeps_its_index() {
        let mut sources = Sources::new();
        let a = sources.add("a.yaml", "x: 1");
        let b = sources.add("b.yaml", "x: 1");
        assert_ne!(a, b);
        assert_eq!(sources.add("a.yaml", "x: 1"), a);
        assert_ne!(sources.add("a.yaml", "x: 2"), a);
        assert_eq!(sources.slice(Span { file: 0, start: 0, end: 1 }), Some("x"));
        assert_eq!(sources.slice(Span { file: 0, start: 0, end: 99 }), None);
        assert_eq!(sources.slice(Span { file: 9, start: 0, end: 0 }), None);
    }
}
