//! Walks the letters of one quantity: numbers, units and what stands between them.

use super::refuse::not_a_number;
use super::{Measure, Misread};

/// A part of the text that knows where it stands in the whole.
#[derive(Clone, Copy)]
pub(super) struct Piece<'a> {
    pub(super) text: &'a str,
    /// The byte of the whole at which it starts.
    pub(super) at: usize,
}

impl<'a> Piece<'a> {
    pub(super) fn part(self, from: usize, to: usize) -> Self {
        Self { text: self.text.get(from..to).unwrap_or_default(), at: self.at + from }
    }

    pub(super) fn trim(self) -> Self {
        let start = self.text.len() - self.text.trim_start().len();
        self.part(start, start + self.text.trim().len())
    }

    /// Without the leading word, when it is there and more follows.
    pub(super) fn without_word(self, word: &str) -> Option<Self> {
        let head = self.text.get(..word.len())?;
        let rest = self.text.get(word.len()..)?;
        (head.eq_ignore_ascii_case(word) && rest.starts_with(char::is_whitespace))
            .then(|| self.part(word.len(), self.text.len()).trim())
    }

    /// What stands before and after the first "to" that is a word of its own.
    pub(super) fn split_to(self) -> Option<(Self, Self)> {
        let bytes = self.text.as_bytes();
        let at = bytes.windows(4).position(|four| {
            matches!(four, [a, t, o, b] if a.is_ascii_whitespace() && b.is_ascii_whitespace()
                && t.eq_ignore_ascii_case(&b't') && o.eq_ignore_ascii_case(&b'o'))
        })?;
        Some((self.part(0, at).trim(), self.part(at + 4, self.text.len()).trim()))
    }

    /// The sides of a size, parted by `x` or `×`.
    pub(super) fn split_sides(self) -> Vec<Self> {
        let mut sides = Vec::new();
        let (mut start, mut before) = (0, ' ');
        for (at, letter) in self.text.char_indices() {
            if letter == '×' || (matches!(letter, 'x' | 'X') && !before.is_alphabetic()) {
                sides.push(self.part(start, at).trim());
                start = at + letter.len_utf8();
            }
            before = letter;
        }
        sides.push(self.part(start, self.text.len()).trim());
        sides
    }

    pub(super) fn misread(self, says: String) -> Misread {
        Misread { says, span: self.at..self.at + self.text.len(), fix: None }
    }

    pub(super) fn misread_with(self, says: String, fix: String) -> Misread {
        Misread { fix: Some(fix), ..self.misread(says) }
    }
}

/// Walks the letters of one quantity.
pub(super) struct Scan<'a> {
    piece: Piece<'a>,
    /// Byte offset and letter.
    letters: Vec<(usize, char)>,
    next: usize,
}

impl<'a> Scan<'a> {
    pub(super) fn new(piece: Piece<'a>) -> Self {
        Self { piece, letters: piece.text.char_indices().collect(), next: 0 }
    }

    fn peek(&self, ahead: usize) -> Option<char> {
        self.letters.get(self.next + ahead).map(|(_, letter)| *letter)
    }

    fn digit(&self, ahead: usize) -> bool {
        self.peek(ahead).is_some_and(|letter| letter.is_ascii_digit())
    }

    pub(super) fn at_end(&self) -> bool {
        self.next >= self.letters.len()
    }

    /// Whether a number comes next.
    pub(super) fn at_number(&self) -> bool {
        self.digit(0) || (self.peek(0) == Some('.') && self.digit(1))
    }

    /// What is read already.
    pub(super) fn before(&self) -> Piece<'a> {
        self.part(0, self.next).trim()
    }

    /// What is still to read.
    pub(super) fn rest(&self) -> Piece<'a> {
        self.part(self.next, self.letters.len())
    }

    fn skip_spaces(&mut self) {
        while self.peek(0).is_some_and(char::is_whitespace) {
            self.next += 1;
        }
    }

    /// The part from letter `from` up to where the scan stands.
    fn since(&self, from: usize) -> Piece<'a> {
        self.part(from, self.next)
    }

    fn part(&self, from: usize, to: usize) -> Piece<'a> {
        let byte = |index: usize| self.letters.get(index).map_or(self.piece.text.len(), |(at, _)| *at);
        self.piece.part(byte(from), byte(to))
    }

    /// Takes a leading sign; whether it is a minus.
    pub(super) fn sign(&mut self) -> bool {
        let sign = self.peek(0);
        if matches!(sign, Some('-' | '−' | '+')) && (self.digit(1) || self.peek(1) == Some('.')) {
            self.next += 1;
            return sign != Some('+');
        }
        false
    }

    /// A decimal, a fraction or a mixed number, and the text of it.
    pub(super) fn number(&mut self, wanted: Measure) -> Result<(f64, Piece<'a>), Misread> {
        let start = self.next;
        if !self.at_number() {
            return Err(not_a_number(self.rest(), wanted));
        }
        while self.digit(0) || (matches!(self.peek(0), Some('.' | ',')) && self.digit(1)) {
            self.next += 1;
        }
        self.refuse_exponent(start)?;
        let plain = self.since(start);
        let value = decimal(plain, self.part(self.next, self.letters.len()))?;
        if !plain.text.bytes().all(|byte| byte.is_ascii_digit()) {
            return Ok((value, plain));
        }
        if self.peek(0) == Some('/') && self.digit(1) {
            let fraction = self.fraction_below(value, start)?;
            return Ok((fraction, self.since(start)));
        }
        let Some(gap) = self.gap_before_fraction() else {
            self.refuse_spaced_digits(start)?;
            return Ok((value, plain));
        };
        self.next += gap;
        let top_start = self.next;
        while self.digit(0) {
            self.next += 1;
        }
        let top = decimal(self.since(top_start), self.part(self.next, self.letters.len()))?;
        let fraction = self.fraction_below(top, start)?;
        let mixed = self.since(start);
        if fraction >= 1.0 {
            return Err(mixed.misread(format!("the fraction in {} is not less than one", mixed.text)));
        }
        Ok((value + fraction, mixed))
    }

    /// How many letters part a whole number from the fraction that belongs to it: `1-1/2`, `1 1/2`.
    fn gap_before_fraction(&self) -> Option<usize> {
        let mut gap = 0;
        if self.peek(0) == Some('-') {
            gap = 1;
        } else {
            while self.peek(gap).is_some_and(char::is_whitespace) {
                gap += 1;
            }
        }
        let mut after = gap;
        while self.digit(after) {
            after += 1;
        }
        (gap > 0 && after > gap && self.peek(after) == Some('/') && self.digit(after + 1)).then_some(gap)
    }

    /// Takes the stroke and the number below it.
    fn fraction_below(&mut self, top: f64, start: usize) -> Result<f64, Misread> {
        self.next += 1;
        let from = self.next;
        while self.digit(0) {
            self.next += 1;
        }
        let below = decimal(self.since(from), self.part(self.next, self.letters.len()))?;
        if below == 0.0 {
            let fraction = self.since(start);
            return Err(fraction.misread(format!("{} divides by zero", fraction.text)));
        }
        Ok(top / below)
    }

    fn refuse_exponent(&mut self, start: usize) -> Result<(), Misread> {
        let sign = usize::from(matches!(self.peek(1), Some('+' | '-')));
        if !matches!(self.peek(0), Some('e' | 'E')) || !self.digit(1 + sign) {
            return Ok(());
        }
        self.next += 1 + sign;
        while self.digit(0) {
            self.next += 1;
        }
        let written = self.since(start);
        let says = format!("{} is written with an exponent; write the number out", written.text);
        Err(match written.text.parse::<f64>() {
            Ok(value) if (1e-6..1e9).contains(&value) => written.misread_with(says, format!("{value}")),
            _ => written.misread(says),
        })
    }

    /// `1 500`: thousands parted by a space, or a slip.
    fn refuse_spaced_digits(&mut self, start: usize) -> Result<(), Misread> {
        let end = self.next;
        self.skip_spaces();
        if !self.digit(0) {
            self.next = end;
            return Ok(());
        }
        while self.digit(0) || (self.peek(0).is_some_and(char::is_whitespace) && self.digit(1)) {
            self.next += 1;
        }
        let written = self.since(start);
        let groups: Vec<&str> = written.text.split_whitespace().collect();
        let joined = groups.join(",");
        let says = format!("{} has a space between its digits", written.text);
        let is_thousands = decimal(Piece { text: &joined, at: 0 }, Piece { text: "", at: 0 }).is_ok();
        Err(if is_thousands {
            written.misread_with(format!("{says}; write {joined}"), joined)
        } else {
            written.misread(says)
        })
    }

    /// What stands before and after a dash, when one comes next: it could be a minus, a fraction or a range.
    pub(super) fn dash(&mut self) -> Option<(Piece<'a>, Piece<'a>)> {
        self.skip_spaces();
        let at = self.next;
        if !matches!(self.peek(0), Some('-' | '–' | '—' | '−')) {
            return None;
        }
        self.next += 1;
        self.skip_spaces();
        Some((self.part(0, at).trim(), self.part(self.next, self.letters.len())))
    }

    /// The unit that follows, as written; empty when none does.
    pub(super) fn unit(&mut self) -> Piece<'a> {
        self.skip_spaces();
        let start = self.next;
        let mut end = start;
        while let Some(letter) = self.peek(0) {
            let before =
                if self.next > start { self.letters.get(self.next - 1).map(|(_, letter)| *letter) } else { None };
            match letter {
                '\'' | '"' | '′' | '″' | '’' | '”' => {
                    if end == start {
                        self.next += 1;
                        end = self.next;
                    }
                    break;
                }
                '-' if before.is_some_and(char::is_alphanumeric) && self.peek(1).is_some_and(char::is_alphabetic) => {}
                '0'..='9' if self.is_power(before) => {}
                letter if letter.is_whitespace() => {
                    self.next += 1;
                    continue;
                }
                letter if letter.is_alphabetic() || is_unit_mark(letter) => {}
                _ => break,
            }
            self.next += 1;
            end = self.next;
        }
        self.next = end;
        let spelling = self.since(start);
        self.skip_spaces();
        spelling
    }

    /// Whether the digit that comes next belongs to the unit: `ft2`, `m3/h`, `H2O`, `ft^2`.
    fn is_power(&self, before: Option<char>) -> bool {
        match before {
            Some('^') => true,
            Some('h' | 'H') if self.peek(0) == Some('2') && matches!(self.peek(1), Some('o' | 'O')) => true,
            Some(letter) if letter.is_alphabetic() => {
                matches!(self.peek(0), Some('2' | '3'))
                    && self
                        .peek(1)
                        .is_none_or(|after| after.is_whitespace() || matches!(after, '/' | '·' | '*' | '⋅' | ')'))
            }
            _ => false,
        }
    }
}

fn is_unit_mark(letter: char) -> bool {
    matches!(letter, '°' | 'º' | '%' | '#' | '²' | '³' | '₂' | '/' | '·' | '*' | '⋅' | '^' | '.' | '(' | ')')
        || "½¼¾⅛⅜⅝⅞⅓⅔".contains(letter)
}

/// A floating-point number carries fifteen decimal digits faithfully.
const MOST_DIGITS: usize = 15;

/// Digits with an optional decimal point and thousands in groups of three. `after` is what follows them.
fn decimal(digits: Piece<'_>, after: Piece<'_>) -> Result<f64, Misread> {
    let text = digits.text;
    if text.bytes().filter(u8::is_ascii_digit).count() > MOST_DIGITS {
        return Err(digits.misread("this number has more digits than anything can be measured to".to_owned()));
    }
    let (whole, fraction) = text.split_once('.').map_or((text, None), |(whole, fraction)| (whole, Some(fraction)));
    let groups: Vec<&str> = whole.split(',').collect();
    let first = groups.first().copied().unwrap_or_default();
    let grouped = groups.len() == 1
        || ((1..=3).contains(&first.len())
            && !first.starts_with('0')
            && groups.iter().skip(1).all(|group| group.len() == 3));
    let fraction_is_plain = fraction.is_none_or(|fraction| !fraction.contains(['.', ',']));
    if grouped && fraction_is_plain {
        return text.replace(',', "").parse().map_err(|_| digits.misread(format!("{text} is not a number")));
    }
    let marks: Vec<char> = text.chars().filter(|letter| !letter.is_ascii_digit()).collect();
    // What it would be with the decimal mark of the other half of the world.
    let swapped = match marks.as_slice() {
        [','] => Some(text.replace(',', ".")),
        [.., '.', ','] => Some(text.replace('.', "").replace(',', ".")),
        _ => None,
    };
    Err(match swapped {
        Some(swapped) => {
            let says = format!("{text} has a decimal comma; did you mean {swapped}{}?", spaced(after.text));
            digits.misread_with(says, swapped)
        }
        None => digits.misread(format!("the points and commas in {text} do not make a number")),
    })
}

/// The unit after a number, with one space before it; nothing when nothing follows.
fn spaced(after: &str) -> String {
    if after.trim().is_empty() { String::new() } else { format!(" {}", after.trim()) }
}
