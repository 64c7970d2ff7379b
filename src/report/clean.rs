//! Text from a spec made safe to show.
//!
//! A spec may hold escape sequences that a terminal obeys, and marks that reorder or hide text. Neither is ever passed on:
//! such a character is shown by its number, `<U+001B>`.

use std::fmt::Write as _;

/// Whether a character would act on the terminal, reorder the text around it, or not be seen at all.
///
/// Control characters (C0, DEL, C1), line and paragraph separators, the directional marks of Unicode Standard Annex 9
/// (section 2), and invisible format characters. The joiners U+200C and U+200D stay: they are part of ordinary writing.
pub(super) fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e007f}')
}

/// One character as it may be shown.
pub(super) fn put(out: &mut String, c: char) {
    if acts(c) {
        let _ = write!(out, "<U+{:04X}>", u32::from(c));
    } else {
        out.push(c);
    }
}

/// Running text on one line: white space becomes single blanks, what acts is shown by its number.
pub(super) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    // The separators U+0085, U+2028 and U+2029 count as white space, but a spec has no honest use for them.
    for word in text.split([' ', '\t', '\n', '\r']).filter(|word| !word.is_empty()) {
        if !out.is_empty() {
            out.push(' ');
        }
        word.chars().for_each(|c| put(&mut out, c));
    }
    out
}

/// [`clean`] text that starts with a capital and ends in a full stop. A first word that is a name of the spec, such as
/// `parts.water`, keeps its letters; so does an end that is a mark already.
pub(super) fn sentence(text: &str) -> String {
    let text = clean(text);
    let word = text.split(' ').next().unwrap_or_default();
    let mut letters = text.chars();
    let mut out = match letters.next() {
        Some(first) if word.chars().all(|c| c.is_ascii_lowercase()) => {
            std::iter::once(first.to_ascii_uppercase()).chain(letters).collect()
        }
        _ => text,
    };
    if !out.is_empty() && !out.ends_with(['.', '!', '?', ':']) {
        out.push('.');
    }
    out
}
