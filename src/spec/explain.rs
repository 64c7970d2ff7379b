//! Syntax errors in a beginner's words.

use crate::problem::{Problem, Span};
use granit_parser::ErrorKind;
use std::ops::Range;

/// Bytes to overwrite so that the rest of a broken document can be read for further problems.
#[derive(Debug, Clone)]
pub(super) struct Mend {
    pub(super) bytes: Range<usize>,
    /// An ASCII character.
    pub(super) with: u8,
}

/// A syntax error as a problem, and how to read on where one knows. `bracket` is the innermost bracket that was open.
pub(super) fn explain(
    kind: &ErrorKind,
    text: &str,
    file: u16,
    at: usize,
    bracket: Option<Span>,
) -> (Problem, Option<Mend>) {
    use ErrorKind as E;
    let error = Error { text, file, at, line: line_around(text, at), bracket };
    match kind {
        E::TabInBlockIndentation
        | E::TabInIndentation
        | E::TabNotAllowed
        | E::TabInPlainScalar
        | E::TabAtBlockScalarStart => error.tab(),
        E::MappingValueNotAllowed
        | E::ExpectedBlockMappingKey
        | E::ExpectedBlockSequenceEntry
        | E::InvalidIndentation
        | E::SimpleKeyExpected
        | E::InvalidSimpleKey
            if error.tab_in_indentation().is_some() =>
        {
            error.tab()
        }
        E::MappingValueNotAllowed => error.colon(),
        E::SimpleKeyExpected | E::InvalidSimpleKey => error.no_colon(),
        E::ExpectedBlockMappingKey | E::InvalidIndentation => error.out_of_line(),
        E::ExpectedBlockSequenceEntry => error.plain(
            "this line does not continue the list above it",
            "a list entry begins with `- `",
            "begin the line with `- `, or indent it to belong to the entry above",
        ),
        E::BlockSequenceEntryNotAllowed | E::BlockEntryInFlowCollection | E::InvalidBlockEntryWhitespace => error
            .plain(
                "a list entry can't begin here",
                "`- ` begins a list entry",
                "start each `- ` on its own line below the key; if it is text, put it in quotes",
            ),
        E::UnclosedQuotedScalar | E::DocumentIndicatorInQuotedScalar => error.plain(
            "a quote is opened and never closed",
            "opened here",
            "close it with the same quote; inches in text are safe between single quotes: '3/4\"'",
        ),
        E::InvalidQuotedScalarIndent => error.plain(
            "a quoted value runs on to a line that is not indented",
            "the quote is still open here",
            "close the quote, or indent the lines that belong to it",
        ),
        E::InvalidTrailingDoubleQuotedScalar | E::InvalidTrailingSingleQuotedScalar => {
            let (problem, _) = error.plain(
                "there is text after the closing quote",
                "not part of the quoted value",
                "put the whole value between one pair of quotes, or none; check that the quotes above are closed too",
            );
            (problem, Some(Mend { bytes: at..error.line.end, with: b' ' }))
        }
        E::UnknownQuotedScalarEscape
        | E::InvalidQuotedScalarHexEscape
        | E::InvalidLowSurrogateHexEscape
        | E::InvalidLowSurrogate
        | E::MissingLowSurrogate
        | E::UnpairedLowSurrogate
        | E::InvalidUnicodeEscape => {
            let error = Error { at: error.bad_escape().unwrap_or(at), ..error };
            let (problem, _) = error.plain(
                "`\\` between double quotes begins a code, and this one is unknown",
                "unknown code",
                "use single quotes, or write the backslash twice: `\\\\`",
            );
            let slash = error.at..error.at + 1;
            (problem, (text.as_bytes().get(error.at) == Some(&b'\\')).then_some(Mend { bytes: slash, with: b'/' }))
        }
        E::UnclosedFlowCollection { open } => error.plain(
            &format!("`{open}` is opened and never closed"),
            "opened here",
            &format!("add the closing `{}`", if *open == '[' { ']' } else { '}' }),
        ),
        E::UnexpectedEofFlowSequence | E::UnexpectedEofFlowMapping | E::UnexpectedEofImplicitFlowMapping => {
            error.in_brackets("a bracket is opened and never closed", "the text ends here", "add the closing bracket")
        }
        E::ExpectedFlowSequenceSeparator
        | E::ExpectedFlowMappingSeparator
        | E::InvalidColonPlacement
        | E::InvalidFlowScalarIndent
        | E::FlowMappingValueAdjacentCollection => error.in_brackets(
            "a comma or a closing bracket is missing",
            "not expected inside brackets",
            "put a `,` between the entries, and close the bracket where they end",
        ),
        E::MismatchedFlowCollectionEnd { open, close } => error.plain(
            &format!("`{open}` is closed by `{close}`"),
            "opened here",
            "close `[` with `]` and `{` with `}`",
        ),
        E::MisplacedFlowCollectionEnd => error.plain(
            "this bracket closes nothing",
            "no bracket is open here",
            "remove it; if it is text, put the value in quotes",
        ),
        E::UnexpectedCharacter { character } => {
            let shown: String = character.escape_default().collect();
            let (problem, _) = error.plain(
                &format!("a value can't begin with `{shown}`"),
                "has a meaning of its own in YAML",
                &format!("put the value in quotes: {}", error.quoted(at)),
            );
            let mend = text.get(at..).and_then(|rest| rest.chars().next()).filter(|c| c == character && *c != '\0');
            (problem, mend.map(|c| Mend { bytes: at..at + c.len_utf8(), with: b'x' }))
        }
        E::PlainScalarStartsWithDashFlowIndicator => error.plain(
            "a value can't begin with `-` here",
            "reads as the start of a list entry",
            "put the value in quotes",
        ),
        E::MissingAnchorOrAliasName => error.plain(
            "`&` and `*` at the start of a value need a name",
            "no name follows",
            &format!("put the value in quotes if it is text: {}", error.quoted(at)),
        ),
        E::CommentNotSeparated | E::CommentInterceptedScalar => error.plain(
            "a comment needs a space before its `#`",
            "comment or text?",
            "put a space before `#`, or put the value in quotes if `#` is part of it",
        ),
        E::InvalidMappingValueWhitespace | E::ExpectedWhitespace => {
            error.plain("a space is missing", "needs a space here", "write a space after `:` and after `-`")
        }
        E::InvalidBlockScalarHeader | E::ZeroBlockScalarIndent => error.plain(
            "text after `|` or `>` must start on the next line",
            "begins a text of several lines",
            "move the text below the key and indent it, or put the value in quotes",
        ),
        E::InvalidBlockScalarIndent => error.plain(
            "a line of this text is indented less than its first line",
            "wrong indentation",
            "indent every line of a `|` or `>` text alike",
        ),
        E::RecursionLimitExceeded => error.plain(
            &format!("values are nested more than {} levels deep; that is the limit", super::limits::DEPTH),
            "one level too many",
            "a rig needs about six levels",
        ),
        E::InvalidDocumentEnd => error.plain(
            "`...` ends a document, and nothing may follow it on its line",
            "text after the end",
            "remove the text, or put the value in quotes",
        ),
        E::BomInsideDocument => error.plain(
            "there is a byte order mark in the middle of this file",
            "an invisible character",
            "delete it; it usually comes from files joined together",
        ),
        E::MappingKeyNotAllowed => error.plain(
            "`?` at the start of a value has a meaning of its own in YAML",
            "reads as the start of a key",
            "put the value in quotes",
        ),
        E::UndeclaredTagHandle
        | E::ExpectedTagBang
        | E::MissingTagUri
        | E::InvalidTagTerminator
        | E::UnclosedVerbatimTag
        | E::InvalidTagEscape
        | E::InvalidGlobalTagCharacter
        | E::InvalidTagUtf8
        | E::InvalidTagUtf8LeadingByte
        | E::InvalidTagUtf8TrailingByte => error.plain(
            "a value can't begin with `!`",
            "YAML reads this as a tag",
            &format!("put the value in quotes: {}", error.quoted(at)),
        ),
        E::UnsupportedYamlMajorVersion
        | E::DuplicateVersionDirective
        | E::DuplicateTagDirective
        | E::MissingDocumentEndBeforeDirective
        | E::InvalidDirectiveTerminator
        | E::DirectiveDisallowed
        | E::MissingYamlVersionSeparator
        | E::MissingDirectiveName
        | E::InvalidDirectiveName
        | E::DirectiveByteLimitExceeded { .. }
        | E::TooManyReservedDirectiveParams { .. }
        | E::YamlVersionTooLong
        | E::MissingYamlVersion
        | E::ExpectedTagDirectiveBang
        | E::InvalidTagDirectiveTerminator => error.plain(
            "a line can't begin with `%`",
            "YAML reads this as an instruction to itself",
            "remove the line; a spec needs none",
        ),
        // The rest is rare; the parser's own words follow ours, so that they can be looked up.
        other => error.plain(
            "this line cannot be read",
            &format!("the YAML parser says: {other}"),
            "check the indentation and the quotes on this line and the one above",
        ),
    }
}

/// Where a syntax error stands.
#[derive(Clone)]
struct Error<'t> {
    text: &'t str,
    file: u16,
    at: usize,
    line: Range<usize>,
    bracket: Option<Span>,
}

impl Error<'_> {
    fn span(&self, bytes: Range<usize>) -> Span {
        Span { file: self.file, start: bytes.start as u32, end: bytes.end as u32 }
    }

    /// The word at the error; at the end of a line, the last character before it.
    fn marked(&self) -> Span {
        let rest = self.text.get(self.at..self.line.end.max(self.at)).unwrap_or_default();
        let word = rest.find([' ', '\t']).unwrap_or(rest.len());
        if word > 0 {
            return self.span(self.at..self.at + word);
        }
        if let Some(next) = rest.chars().next() {
            return self.span(self.at..self.at + next.len_utf8());
        }
        let before = self.text.get(..self.at).unwrap_or_default().trim_end();
        let last = before.chars().next_back().map_or(0, char::len_utf8);
        self.span(before.len() - last..before.len())
    }

    fn plain(&self, says: &str, label: &str, fix: &str) -> (Problem, Option<Mend>) {
        (Problem::new(says, self.marked(), label).fix(fix), None)
    }

    fn in_brackets(&self, says: &str, label: &str, fix: &str) -> (Problem, Option<Mend>) {
        let (mut problem, mend) = self.plain(says, label, fix);
        if let Some(bracket) = self.bracket {
            problem = problem.also(bracket, "the bracket opened here is not closed yet");
        }
        (problem, mend)
    }

    fn line_text(&self) -> &str {
        self.text.get(self.line.clone()).unwrap_or_default()
    }

    fn tab_in_indentation(&self) -> Option<usize> {
        let line = self.line_text();
        let indentation = line.len() - line.trim_start_matches([' ', '\t']).len();
        line.get(..indentation)?.find('\t').map(|tab| self.line.start + tab)
    }

    fn tab(&self) -> (Problem, Option<Mend>) {
        // A text that runs on to the next line is reported at its end, one line before the tab.
        let crlf = self.text.get(self.line.end..).is_some_and(|rest| rest.starts_with("\r\n"));
        let next = line_around(self.text, self.line.end + if crlf { 2 } else { 1 });
        let next = Error { line: next, ..self.clone() };
        let tab = self.tab_in_indentation().or_else(|| next.tab_in_indentation());
        let says = if tab.is_some() { "a tab can't indent; use spaces" } else { "a tab can't stand here; use a space" };
        let at = tab.or_else(|| self.text.get(..self.at + 1)?.rfind('\t').filter(|tab| *tab >= self.line.start));
        let span = at.map_or_else(|| self.marked(), |tab| self.span(tab..tab + 1));
        (Problem::new(says, span, "a tab").fix("set your editor to indent YAML files with spaces"), None)
    }

    /// The rest of the line from a byte on, without a comment, in single quotes.
    fn quoted(&self, from: usize) -> String {
        let rest = self.text.get(from..self.line.end.max(from)).unwrap_or_default();
        let rest = rest.split(" #").next().unwrap_or_default().trim();
        let short: String = rest.chars().take(60).collect();
        format!("'{}'", short.replace('\'', "''"))
    }

    /// The first backslash of a double-quoted value that begins no code of YAML 1.2.2 (section 5.7). The parser points
    /// at the opening quote.
    fn bad_escape(&self) -> Option<usize> {
        let mut rest = self.text.get(self.at..)?.strip_prefix('"')?;
        loop {
            rest = rest.get(rest.find(['\\', '"'])?..)?;
            let slash = self.text.len() - rest.len();
            let mut after = rest.strip_prefix('\\')?.chars();
            let code = after.next()?;
            let digits = match code {
                'x' => 2,
                'u' => 4,
                'U' => 8,
                _ if "0abtnvfre \"/\\N_LP\t\r\n".contains(code) => 0,
                _ => return Some(slash),
            };
            let number: String = after.as_str().chars().take_while(char::is_ascii_hexdigit).take(digits).collect();
            let is_character = |number: u32| char::from_u32(number).is_some();
            if digits > 0 && !(number.len() == digits && u32::from_str_radix(&number, 16).is_ok_and(is_character)) {
                return Some(slash);
            }
            rest = after.as_str();
        }
    }

    /// A colon where none may be.
    fn colon(&self) -> (Problem, Option<Mend>) {
        let line = self.line_text();
        let indentation = line.len() - line.trim_start_matches([' ', '-']).len();
        let before = self.text.get(self.line.start..self.at).unwrap_or_default();
        if let Some(first) = before.find(": ").or_else(|| before.find(":\t")) {
            let after = line.get(first + 1..).unwrap_or_default();
            let value = self.line.start + first + 1 + (after.len() - after.trim_start().len());
            let key = before.get(indentation.min(first)..first).unwrap_or_default();
            let problem = Problem::new(
                "there is a second `: ` in one value",
                self.span(self.at..(self.at + 1).min(self.text.len())),
                "a value with `: ` in it needs quotes",
            );
            let fix = format!("put the value in quotes: `{key}: {}`", self.quoted(value));
            return (problem.fix(fix), Some(Mend { bytes: value..self.line.end, with: b'x' }));
        }
        let above = self.line_above();
        if let Some(problem) = self.tight_colon(above.clone()) {
            return (problem, None);
        }
        let problem = Problem::new(
            "this line is indented under a key that already has a value",
            self.span(self.line.start + indentation..self.at.max(self.line.start + indentation)),
            "belongs to nothing",
        )
        .fix("line it up with the keys above, or leave the key above without a value of its own");
        let above = self.text.get(above.clone()).map_or(above.clone(), |text| {
            let start = above.start + (text.len() - text.trim_start().len());
            start..(above.start + text.trim_end().len()).max(start)
        });
        (problem.also(self.span(above), "has its value already"), None)
    }

    /// The line above that holds something.
    fn line_above(&self) -> Range<usize> {
        let mut line = self.line.clone();
        while line.start > 0 {
            line = line_around(self.text, line.start - 1);
            let text = self.text.get(line.clone()).unwrap_or_default().trim();
            if !text.is_empty() && !text.starts_with('#') {
                break;
            }
        }
        line
    }

    /// `key:value`, which YAML reads as one text.
    fn tight_colon(&self, line: Range<usize>) -> Option<Problem> {
        let text = self.text.get(line.clone())?;
        let content = text.trim();
        let colon = content.find(':')?;
        if content.contains(": ") || content.ends_with(':') || content.starts_with(['"', '\'', '#', '[', '{']) {
            return None;
        }
        let start = line.start + (text.len() - text.trim_start().len());
        let (key, value) = content.split_at_checked(colon)?;
        let span = self.span(start..start + content.len());
        let fix = format!("write `{key}: {}`", value.trim_start_matches(':'));
        Some(Problem::new("a space is missing after the colon", span, "YAML reads this as one text").fix(fix))
    }

    /// A line that should hold a key and has no colon.
    fn no_colon(&self) -> (Problem, Option<Mend>) {
        if let Some(problem) = self.tight_colon(self.line.clone()) {
            return (problem, None);
        }
        let line = self.line_text();
        let start = self.line.start + (line.len() - line.trim_start().len());
        let span = self.span(start..(self.line.start + line.trim_end().len()).max(start));
        let problem = Problem::new("this line has no `:`", span, "a key needs a colon after it")
            .fix("write `key: value`; if it continues the value above, indent it");
        (problem, None)
    }

    fn out_of_line(&self) -> (Problem, Option<Mend>) {
        let line = self.line_text();
        let start = self.line.start + (line.len() - line.trim_start().len());
        let first = line.trim_start();
        if first.starts_with("- ") || first == "-" {
            let problem =
                Problem::new("a list begins where a key is expected", self.span(start..start + 1), "a list entry")
                    .fix("put the list below a key of its own, or write `key: value` here");
            return (problem, None);
        }
        let end = first.find(':').map_or(self.line.start + line.trim_end().len(), |colon| start + colon);
        let problem = Problem::new(
            "this line does not line up with the lines above",
            self.span(start..end.max(start)),
            "indented differently",
        )
        .fix("keys of one mapping start in the same column; check quotes and brackets above, too");
        (problem, None)
    }
}

/// The bytes of the line around a byte, without its break.
fn line_around(text: &str, at: usize) -> Range<usize> {
    let bytes = text.as_bytes();
    let is_break = |b: &u8| matches!(b, b'\n' | b'\r');
    let at = at.min(bytes.len());
    let start = bytes.get(..at).and_then(|before| before.iter().rposition(is_break)).map_or(0, |found| found + 1);
    let end = bytes.get(at..).and_then(|after| after.iter().position(is_break)).map_or(bytes.len(), |found| at + found);
    start..end
}
